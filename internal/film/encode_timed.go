package film

import (
	"context"
	"fmt"
	"io"
	"math"
	"strconv"
)

// TimedRequest says what EncodeTimed is to make. Width, Height, Times and End
// must be set; the other zero values are the defaults.
type TimedRequest struct {
	Width, Height int       // px, even
	Times         []float64 // of the pictures, s, rising from 0
	End           float64   // when the last picture ends, s; kept by H264 alone
	Codec         Codec
	CRF           int    // quality, 1 (best) to 51; 0 = 20
	Preset        string // x264's name for speed against size; "" = "veryfast"
}

// clockRate is the unit of the times in an MP4 file made here, 1/s: a common
// multiple of the rates that cameras use.
const clockRate = 90000

// mostTimed is the largest number of pictures of a film made here.
const mostTimed = 20000

// EncodeTimed writes a film whose pictures are shown at times of their own, to
// the file out, replacing it when all is written. picture fills frame, three
// planes as YUV420P says, with picture k; it is called for 0 to len(Times)-1 in
// order, from one goroutine, and its error stops the encoding and is returned.
//
// How exactly the times are kept depends on the codec: within half of 1/90000 s
// for H264, within half a millisecond for VP8; MJPEG shows each picture at the
// nearest of equal steps as long as the shortest picture's.
func (e *Engine) EncodeTimed(ctx context.Context, req TimedRequest, out string, picture func(k int, frame []byte) error) error {
	if err := req.check(); err != nil {
		return fmt.Errorf("encode film: %w", err)
	}
	given, shown := req, func(k int) int { return k }
	if req.Codec == MJPEG {
		req, shown = given.even()
	}
	return replacing(out, func(path string) error {
		k, filled := 0, -1
		src := &frameSource{
			buf: make([]byte, YUV420P.bytes(req.Width, req.Height)),
			next: func(frame []byte) error {
				if k == len(req.Times) {
					return io.EOF
				}
				if err := ctx.Err(); err != nil {
					return err
				}
				k++
				for want := shown(k - 1); filled < want; {
					filled++
					if err := picture(filled, frame); err != nil {
						return err
					}
				}
				return nil
			},
			head: (&rawStream{width: req.Width, height: req.Height, times: req.Times, end: req.End}).head,
		}
		return e.encodeTo(ctx, path, src, req.args(e.tool.url(path, true)))
	})
}

// even returns the request with equal steps as long as the shortest picture's, and
// which picture is shown in each: the last one that began by the middle of it.
func (req TimedRequest) even() (TimedRequest, func(k int) int) {
	given, step := req.Times, req.shortest()
	n := min(max(2, int(math.Round(req.End/step))), mostTimed)
	req.Times, req.End = make([]float64, n), float64(n)*step
	at := make([]int, n)
	for k := range n {
		req.Times[k] = float64(k) * step
		for at[k] = at[max(k-1, 0)]; at[k]+1 < len(given) && given[at[k]+1] <= req.Times[k]+step/2; {
			at[k]++
		}
	}
	return req, func(k int) int { return at[k] }
}

func (req TimedRequest) check() error {
	if req.Width <= 0 || req.Height <= 0 || req.Width%2 != 0 || req.Height%2 != 0 || req.Width*req.Height > maxPixels {
		return fmt.Errorf("size %d by %d is not even and positive", req.Width, req.Height)
	}
	n := len(req.Times)
	if n < 2 || n > mostTimed {
		return fmt.Errorf("a film has 2 to %d pictures, not %d", mostTimed, n)
	}
	if req.Times[0] != 0 {
		return fmt.Errorf("the first picture is at %g s, not at 0", req.Times[0])
	}
	for k, t := range append(req.Times[1:n:n], req.End) {
		if step := t - req.Times[k]; !(step >= 1e-4 && step < 600) { // also not a number
			return fmt.Errorf("picture %d lasts %g s; 0.0001 to 600 s can be kept", k, step)
		}
	}
	return nil
}

// shortest is the shortest time that a picture is shown, s.
func (req TimedRequest) shortest() float64 {
	least := req.End - req.Times[len(req.Times)-1]
	for k, t := range req.Times[1:] {
		least = math.Min(least, t-req.Times[k])
	}
	return least
}

func (req TimedRequest) args(url string) []string {
	args := []string{
		"-hide_banner", "-nostats", "-loglevel", "warning", "-y", "-f", "matroska", "-i", "pipe:0",
		"-map", "0:v:0", "-vf", "setsar=1", "-threads", "1", "-colorspace", "bt709", "-color_primaries", "bt709",
		"-color_trc", "bt709", "-color_range", "tv", "-fflags", "+bitexact", "-flags:v", "+bitexact", "-map_metadata", "-1",
	}
	crf := req.CRF
	if crf == 0 {
		crf = 20
	}
	every := strconv.Itoa(max(1, int(math.Round(float64(len(req.Times))/req.End)))) // a whole picture a second
	switch req.Codec {
	case VP8:
		// Without -lag-in-frames 0 the embedded encoder fails; hidden pictures
		// would be no frames.
		return append(args, "-fps_mode", "passthrough", "-c:v", "libvpx", "-deadline", "realtime", "-cpu-used", "4", "-lag-in-frames", "0",
			"-auto-alt-ref", "0", "-crf", strconv.Itoa(min(4+crf/2, 63)), "-b:v", "8M", "-g", every, "-f", "webm", url)
	case MJPEG:
		return append(args, "-fps_mode", "cfr", "-r", fmt.Sprintf("%d/%d", microsecond*1000, max(1, micros(req.shortest()))),
			"-pix_fmt", "yuvj420p", "-c:v", "mjpeg", "-color_range", "pc", "-q:v", "4", "-f", "avi", url)
	}
	preset := req.Preset
	if preset == "" {
		preset = "veryfast"
	}
	rate := strconv.Itoa(clockRate)
	// How long the last picture lasts is a guess of the encoder otherwise, and an edit
	// list made from it may hide that picture.
	n := len(req.Times)
	last := fmt.Sprintf("setts=duration=if(eq(N\\,%d)\\,%d\\,DURATION)", n-1, int(math.Round((req.End-req.Times[n-1])*clockRate)))
	return append(args, "-fps_mode", "passthrough", "-enc_time_base", "1:"+rate, "-c:v", "libx264", "-preset", preset,
		"-crf", strconv.Itoa(crf), "-pix_fmt", "yuv420p", "-g", every, "-bf", "0", "-bsf:v", last,
		"-video_track_timescale", rate, "-movflags", "+faststart", "-f", "mp4", url)
}
