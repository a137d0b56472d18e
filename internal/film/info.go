package film

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Info is what a clip is.
type Info struct {
	Name        string    // file name without folder
	Size        int64     // bytes
	Container   string    // ffmpeg's name of the format, such as "mov,mp4,m4a,3gp,3g2,mj2"
	Codec       string    // such as "h264"
	PixelFormat string    // such as "yuv420p"
	Recorded    time.Time // when the file says it was filmed; zero = it does not say

	// Width and Height are the size in px of the upright picture with square
	// pixels, which is the size of every picture at full width.
	Width, Height int
	// CodedWidth and CodedHeight are the size as stored, PixelAspect the
	// stored width of a pixel over its height, Rotation the clockwise turn in
	// degrees (0, 90, 180 or 270) that makes the picture upright. All three
	// are applied already by Decode.
	CodedWidth, CodedHeight int
	PixelAspect             float64
	Rotation                int
	// FieldOrder is "" for progressive film, else "tff" or "bff" (top or
	// bottom field first, as measured on the pictures): each field is then
	// made a frame.
	FieldOrder string

	Frames   int     // number of shown frames
	Duration float64 // s from the first to the last frame plus one frame spacing
	// NominalFPS is the rate the file claims, FPS the rate it has: frames
	// less one over the time from first to last. Both in film time.
	NominalFPS, FPS float64
	Variable        bool // frames are not evenly spaced
	// CaptureFPS is the rate at which the file says it was filmed, 0 when it
	// does not say. When it differs from FPS the film plays in slow motion:
	// true time = film time * FPS / CaptureFPS, once the coach has confirmed it.
	CaptureFPS float64

	Exact    bool // the frames were counted by decoding or from a table that can be trusted
	Warnings []Warning

	stream   int     // index of the video stream in the file
	timeBase Ratio   // unit of Frame.PTS, s
	reorder  int     // frames the decoder holds back
	full     bool    // luma spans 0-255 instead of 16-235
	matrix   string  // how colour was made luma and colour differences; "" = not said
	start    float64 // the container's start time, s
	average  float64 // the average rate the header claims, per s; 0 = none
}

// TimeBase returns the unit of Frame.PTS in seconds.
func (i *Info) TimeBase() Ratio { return i.timeBase }

// SlowMotion reports whether the file says it was filmed at another rate than
// it plays at, and returns the proposed factor from film time to true time,
// FPS / CaptureFPS (such as 30/240 = 0.125); 1 when it does not say so.
func (i *Info) SlowMotion() (factor float64, slow bool) {
	if i.CaptureFPS <= 0 || i.FPS <= 0 || math.Abs(i.CaptureFPS/i.FPS-1) < 0.1 {
		return 1, false
	}
	return i.FPS / i.CaptureFPS, true
}

// add appends a warning unless one of its code is there.
func (i *Info) add(w Warning) {
	for _, have := range i.Warnings {
		if have.Code == w.Code {
			return
		}
	}
	i.Warnings = append(i.Warnings, w)
}

// Has reports whether the clip carries a warning of the code.
func (i *Info) Has(code WarningCode) bool {
	for _, w := range i.Warnings {
		if w.Code == code {
			return true
		}
	}
	return false
}

// describe fills Info from the answer for the video stream s; the frames are
// another matter.
func describe(a *probeAnswer, s *probeStream) (*Info, error) {
	info := &Info{
		Container: a.format.Name, Codec: s.CodecName, PixelFormat: s.PixFmt,
		CodedWidth: s.Width, CodedHeight: s.Height,
		stream: s.Index, timeBase: parseRatio(s.TimeBase), reorder: s.HasBFrames,
		matrix: s.ColorSpace,
		full:   s.ColorRange == "pc" || strings.HasPrefix(s.PixFmt, "yuvj") || !isYUV(s.PixFmt),
	}
	if s.Width <= 0 || s.Height <= 0 || s.PixFmt == "" {
		return nil, refuse(ErrNotFilm, "the film's pictures cannot be read (its video track has no picture size). Copy the clip again from the camera.")
	}
	if s.Width > maxSide || s.Height > maxSide || s.Width*s.Height > maxPixels {
		return nil, refuse(ErrTooLarge, "the pictures are %d by %d pixels; at most 8K is read. Export the clip smaller.", s.Width, s.Height)
	}
	if info.timeBase.Num == 0 {
		return nil, refuse(ErrNotFilm, "the film has no clock. Copy the clip again from the camera.")
	}
	info.start, _ = strconv.ParseFloat(a.format.Start, 64) // "N/A" is 0
	info.NominalFPS, info.average = parseRatio(s.RFrameRate).Float(), parseRatio(s.AvgRate).Float()
	info.PixelAspect = 1
	if r := parseRatio(s.SAR); r.Num > 0 && r.Float() > 0.1 && r.Float() < 10 {
		info.PixelAspect = r.Float()
	}
	info.turn(s)
	info.upright()
	if info.Width > maxSide || info.Height > maxSide || info.Width*info.Height > maxPixels {
		return nil, refuse(ErrTooLarge, "the pictures are %d by %d pixels when shown; at most 8K is read. Export the clip smaller.", info.Width, info.Height)
	}
	info.readTags(a, s)
	return info, nil
}

// turn takes the rotation from the display matrix or, in old files, the tag.
func (i *Info) turn(s *probeStream) {
	var anticlockwise float64
	if v, err := strconv.ParseFloat(s.Tags["rotate"], 64); err == nil {
		anticlockwise = -v
	}
	for _, d := range s.SideData {
		if d.Rotation != nil {
			anticlockwise = *d.Rotation
		}
	}
	quarters := math.Round(anticlockwise / 90)
	if math.IsNaN(anticlockwise) || math.Abs(quarters) > 1e6 {
		return
	}
	if math.Abs(anticlockwise-90*quarters) > 2 {
		i.add(warn(WarnRotation, "The camera says it was turned by %.0f degrees. The picture may lean; check it.", anticlockwise))
	}
	i.Rotation = ((-int(quarters)%4 + 4) % 4) * 90
}

// upright sets the size of the picture after square pixels and rotation.
func (i *Info) upright() {
	w, h := float64(i.CodedWidth), float64(i.CodedHeight)
	if i.PixelAspect >= 1 {
		w *= i.PixelAspect
	} else {
		h /= i.PixelAspect
	}
	i.Width, i.Height = int(math.Round(w)), int(math.Round(h))
	if i.Rotation%180 == 90 {
		i.Width, i.Height = i.Height, i.Width
	}
}

func (i *Info) readTags(a *probeAnswer, s *probeStream) {
	for _, tags := range []map[string]string{a.format.Tags, s.Tags} {
		for k, v := range tags {
			lower := strings.ToLower(k)
			switch {
			case strings.HasSuffix(lower, "capture.fps"):
				if f, err := strconv.ParseFloat(v, 64); err == nil && f >= 1 && f <= 100000 {
					i.CaptureFPS = f
				}
			case lower == "creation_time":
				if t, err := time.Parse(time.RFC3339, v); err == nil {
					i.Recorded = t
				}
			}
		}
	}
}

// mainVideo returns the video stream to use: the largest that is not a cover
// picture, and how many there are; nil when there is none.
func mainVideo(streams []probeStream) (best *probeStream, count int) {
	for k := range streams {
		s := &streams[k]
		if s.CodecType != "video" || s.Disposition["attached_pic"] != 0 || s.Disposition["timed_thumbnails"] != 0 {
			continue
		}
		count++
		if best == nil || s.Width*s.Height > best.Width*best.Height {
			best = s
		}
	}
	return best, count
}

// checkRange returns the frames from and to (to = 0: the end) of a request
// that keeps the limits, or an error wrapping ErrRange.
func checkRange(frames []Frame, from, to int) (int, int, error) {
	if to == 0 {
		to = len(frames)
	}
	if from < 0 || to > len(frames) || from >= to {
		return 0, 0, fmt.Errorf("%w: frames %d to %d were asked for, the clip has %d", ErrRange, from, to, len(frames))
	}
	n, seconds := to-from, frames[to-1].Time-frames[from].Time
	if n > MaxFrames || n > freeFrames && seconds > MaxSeconds {
		return 0, 0, fmt.Errorf("%w: %d frames (%.1f s) were asked for; at most %d frames and %.0f s are read at once. Choose the stretch with the kicks",
			ErrRange, n, seconds, MaxFrames, MaxSeconds)
	}
	return from, to, nil
}
