package film

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"sync"
)

// PixelLayout is the layout of the raw pictures handed to Encode.
type PixelLayout string

// The layouts. RGB is the zero value.
const (
	RGB     PixelLayout = ""        // 3 bytes a pixel: red, green, blue
	RGBA    PixelLayout = "rgba"    // 4 bytes a pixel, alpha ignored; as image.RGBA
	Gray    PixelLayout = "gray"    // 1 byte a pixel, 0 black, 255 white
	YUV420P PixelLayout = "yuv420p" // three planes, 16-235, BT.709; even sizes
)

// bytes returns the size of a picture of the layout.
func (l PixelLayout) bytes(w, h int) int {
	switch l {
	case RGBA:
		return 4 * w * h
	case Gray:
		return w * h
	case YUV420P:
		return w * h * 3 / 2
	}
	return 3 * w * h
}

// EncodeRequest says what Encode is to make: H.264 in an MP4 file at a steady
// rate. Width, Height and FPS must be set; the other zero values are the defaults.
type EncodeRequest struct {
	Width, Height int   // px, even
	FPS           Ratio // frames a second
	Layout        PixelLayout
	CRF           int     // quality, 1 (best) to 51; 0 = 20
	Preset        string  // x264's name for speed against size; "" = "veryfast"
	KeyEvery      int     // frames between whole pictures; 0 = one second
	BFrames       int     // most B-frames in a row
	Title         string  // stored in the file; "" = none
	CaptureFPS    float64 // rate at which it was filmed, stored as a tag as phones do; 0 = none
}

// Encode writes the raw pictures that next gives as a film to the file out,
// replacing it when all is written. next fills frame (as long as the layout
// says) with the next picture and returns nil, or io.EOF when there is none;
// another error stops the encoding and is returned. One thread is used and no
// dates or versions are written, so that equal pictures give equal files with
// equal engines. At least two pictures must be given.
func (e *Engine) Encode(ctx context.Context, req EncodeRequest, out string, next func(frame []byte) error) error {
	if req.Width <= 0 || req.Height <= 0 || req.Width%2 != 0 || req.Height%2 != 0 || req.Width*req.Height > maxPixels {
		return fmt.Errorf("encode film: size %d by %d is not even and positive", req.Width, req.Height)
	}
	if req.FPS.Num <= 0 || req.FPS.Den <= 0 {
		return fmt.Errorf("encode film: rate %d/%d is not positive", req.FPS.Num, req.FPS.Den)
	}
	return replacing(out, func(path string) error {
		src := &frameSource{next: next, buf: make([]byte, req.Layout.bytes(req.Width, req.Height))}
		return e.encodeTo(ctx, path, src, req.args(e.tool.url(path, true)))
	})
}

// replacing lets write make a file beside out, which then takes its place; when
// write fails, out stays as it was and nothing is left.
func replacing(out string, write func(path string) error) error {
	abs, err := filepath.Abs(out)
	if err != nil {
		return fmt.Errorf("encode film: %w", err)
	}
	part, err := os.CreateTemp(filepath.Dir(abs), "."+filepath.Base(abs)+".*.part")
	if err != nil {
		return fmt.Errorf("encode film: %w", err)
	}
	defer func() { _ = os.Remove(part.Name()) }() // gone already after success
	if err := part.Close(); err != nil {
		return fmt.Errorf("encode film: %w", err)
	}
	if err := write(part.Name()); err != nil {
		return fmt.Errorf("encode %s: %w", filepath.Base(abs), err)
	}
	if err := os.Chmod(part.Name(), 0o644); err != nil {
		return fmt.Errorf("encode film: %w", err)
	}
	return os.Rename(part.Name(), abs)
}

// encodeTo runs the encoder with args, which write the file path, on what src gives.
func (e *Engine) encodeTo(ctx context.Context, path string, src *frameSource, args []string) error {
	p, err := e.start(ctx, run{what: "encode film", program: "ffmpeg", out: path, stdin: src, args: args})
	if err != nil {
		return err
	}
	err = p.wait()
	switch {
	case src.failure() != nil:
		return src.failure() // the cause; what the process said follows from it
	case err != nil:
		return err
	case src.count < 2:
		return errors.New("a film needs at least two pictures")
	}
	return nil
}

func (req EncodeRequest) args(url string) []string {
	layout, crf, preset, every := string(req.Layout), req.CRF, req.Preset, req.KeyEvery
	if layout == "" {
		layout = "rgb24"
	}
	if crf == 0 {
		crf = 20
	}
	if preset == "" {
		preset = "veryfast"
	}
	if every <= 0 {
		every = int(max(1, (req.FPS.Num+req.FPS.Den/2)/req.FPS.Den))
	}
	convert := "scale=out_color_matrix=bt709:out_range=tv,format=yuv420p,setsar=1"
	if req.Layout == YUV420P {
		convert = "setsar=1"
	}
	args := []string{
		"-hide_banner", "-nostats", "-loglevel", "warning", "-y",
		"-f", "rawvideo", "-pix_fmt", layout, "-s", fmt.Sprintf("%dx%d", req.Width, req.Height),
		"-framerate", fmt.Sprintf("%d/%d", req.FPS.Num, req.FPS.Den), "-i", "pipe:0",
		"-vf", convert,
		"-c:v", "libx264", "-preset", preset, "-crf", strconv.Itoa(crf), "-g", strconv.Itoa(every),
		"-bf", strconv.Itoa(req.BFrames), "-threads", "1", "-colorspace", "bt709", "-color_primaries", "bt709",
		"-color_trc", "bt709", "-color_range", "tv", "-fflags", "+bitexact", "-flags:v", "+bitexact", "-map_metadata", "-1",
	}
	if req.Title != "" {
		args = append(args, "-metadata", "title="+req.Title)
	}
	flags := "+faststart"
	if req.CaptureFPS > 0 {
		args = append(args, "-metadata", fmt.Sprintf("com.android.capture.fps=%f", req.CaptureFPS))
		flags += "+use_metadata_tags"
	}
	return append(args, "-movflags", flags, "-f", "mp4", url)
}

// frameSource is the standard input of the encoder: the pictures of next, one
// after the other.
type frameSource struct {
	next  func([]byte) error
	head  func(picture int) []byte // what stands before each picture in the stream; nil = nothing
	buf   []byte
	rest  []byte // of buf, not yet read
	lead  []byte // of what stands before it, not yet read
	count int

	mu  sync.Mutex // a killed process may leave Read running behind
	err error      // what next returned, but for io.EOF
}

func (s *frameSource) failure() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.err
}

// Read gives the next bytes of the pictures.
func (s *frameSource) Read(p []byte) (int, error) {
	if len(s.rest) == 0 {
		if err := s.next(s.buf); err != nil {
			if !errors.Is(err, io.EOF) {
				s.mu.Lock()
				s.err = err
				s.mu.Unlock()
			}
			return 0, io.EOF
		}
		if s.head != nil {
			s.lead = s.head(s.count)
		}
		s.rest = s.buf
		s.count++
	}
	if len(s.lead) > 0 {
		n := copy(p, s.lead)
		s.lead = s.lead[n:]
		return n, nil
	}
	n := copy(p, s.rest)
	s.rest = s.rest[n:]
	return n, nil
}
