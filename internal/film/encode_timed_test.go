package film

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// unevenTimes are those of a phone clip that skips pictures, slowed to a quarter:
// no two neighbouring steps are equal.
func unevenTimes(n int) (times []float64, end float64) {
	t := 0.0
	for k := range n {
		times = append(times, t)
		t += 4 * (1 + float64(k%3)) * 1001 / 60000
	}
	return times, t
}

// greys fills picture k with the luma 40 + 10 k.
func greys(k int, frame []byte) error {
	n := len(frame) * 2 / 3
	for i := range frame {
		frame[i] = 128
		if i < n {
			frame[i] = byte(40 + 10*k)
		}
	}
	return nil
}

// TestEncodeTimedKeepsTimes reads films of every codec back and compares the
// times with those put in, within what the containers can hold: 1/90000 s as we
// set it in MP4, 1 ms in WebM (the container guidelines of WebM fix the
// TimestampScale at one millisecond), equal steps in AVI.
func TestEncodeTimedKeepsTimes(t *testing.T) {
	for name, open := range map[string]func(testing.TB) *Engine{"native": native, "embedded": embedded} {
		for _, c := range []struct {
			codec Codec
			off   float64 // s
		}{{H264, 0.5/90000 + 1e-6}, {VP8, 0.5e-3 + 1e-6}} {
			t.Run(fmt.Sprint(name, c.codec.Ext()), func(t *testing.T) {
				e := open(t)
				times, end := unevenTimes(9)
				path := filepath.Join(t.TempDir(), "made"+c.codec.Ext())
				req := TimedRequest{Width: 64, Height: 48, Times: times, End: end, Codec: c.codec}
				if err := e.EncodeTimed(t.Context(), req, path, greys); err != nil {
					t.Fatal(err)
				}
				checkTimes(t, e, path, times, c.off)
			})
		}
	}
}

func checkTimes(t *testing.T, e *Engine, path string, times []float64, off float64) {
	t.Helper()
	n := 0
	_, err := e.Decode(t.Context(), path, Request{}, func(p Picture) error {
		if want := times[p.N]; math.Abs(p.Time-want) > off {
			t.Errorf("picture %d is at %.6f s, want %.6f", p.N, p.Time, want)
		}
		if got, want := float64(p.Data[24*64+32]), float64(40+10*p.N); math.Abs(got-want) > 3 {
			t.Errorf("picture %d has luma %g, want %g", p.N, got, want)
		}
		n++
		return nil
	})
	if err != nil || n != len(times) {
		t.Errorf("%d pictures of %d, %v", n, len(times), err)
	}
	info, err := e.Probe(t.Context(), path)
	odd := slices.DeleteFunc(slices.Clone(info.Warnings), func(w Warning) bool { return w.Code == WarnVariable })
	if err != nil || len(odd) > 0 || info.PixelFormat != "yuv420p" {
		t.Errorf("%+v, %v", info, err)
	}
}

// TestTheLastPictureIsShown makes short films at steady rates: every picture is in the
// film, none hidden, and the last one lasts as long as it was to. (An edit list made from
// the encoder's own guess of that hid the last picture at 100 a second.)
func TestTheLastPictureIsShown(t *testing.T) {
	e := native(t)
	for _, step := range []float64{1.0 / 240, 0.01, 1001.0 / 60000, 0.04, 0.3} {
		for _, n := range []int{3, 6} {
			var times []float64
			for k := range n {
				times = append(times, float64(k)*step)
			}
			path, end := filepath.Join(t.TempDir(), "made.mp4"), float64(n)*step
			if err := e.EncodeTimed(t.Context(), TimedRequest{Width: 64, Height: 48, Times: times, End: end}, path, greys); err != nil {
				t.Fatal(err)
			}
			// The movie's own clock counts in milliseconds.
			if info, err := e.Probe(t.Context(), path); err != nil || info.Frames != n || len(info.Warnings) > 0 || math.Abs(info.Duration-end) > 1e-3 {
				t.Errorf("%d pictures of %.4f s: %+v, %v", n, step, info, err)
			}
		}
	}
}

// A Motion JPEG film shows every picture at the nearest of equal steps.
func TestMotionJPEGIsMadeInEqualSteps(t *testing.T) {
	e := native(t)
	times, end := unevenTimes(9)
	path := filepath.Join(t.TempDir(), "made.avi")
	req := TimedRequest{Width: 64, Height: 48, Times: times, End: end, Codec: MJPEG}
	if err := e.EncodeTimed(t.Context(), req, path, greys); err != nil {
		t.Fatal(err)
	}
	step := req.shortest()
	_, err := e.Decode(t.Context(), path, Request{}, func(p Picture) error {
		shown := 0
		for k, at := range times {
			if at <= p.Time+step/2 {
				shown = k
			}
		}
		// Full range, so luma 40 + 10 k of 16 to 235 is spread to 0 to 255.
		if got, want := float64(p.Data[24*64+32]), (float64(40+10*shown)-16)*255/219; math.Abs(got-want) > 6 {
			t.Errorf("at %.3f s luma is %g, want %.0f of picture %d", p.Time, got, want, shown)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

// TestMP4StartsBeforeItIsLoaded looks for the table of contents before the
// pictures (ISO/IEC 14496-12: boxes moov and mdat).
func TestMP4StartsBeforeItIsLoaded(t *testing.T) {
	e := native(t)
	path := filepath.Join(t.TempDir(), "made.mp4")
	times, end := unevenTimes(3)
	if err := e.EncodeTimed(t.Context(), TimedRequest{Width: 64, Height: 48, Times: times, End: end}, path, greys); err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var boxes []string
	for at := 0; at+8 <= len(b); {
		boxes = append(boxes, string(b[at+4:at+8]))
		size := int(b[at])<<24 | int(b[at+1])<<16 | int(b[at+2])<<8 | int(b[at+3])
		if size < 8 {
			break
		}
		at += size
	}
	if len(boxes) < 3 || boxes[0] != "ftyp" || boxes[1] != "moov" {
		t.Errorf("boxes %v", boxes)
	}
}

func TestEncodeTimedFailsWithoutTraces(t *testing.T) {
	e := native(t)
	dir := t.TempDir()
	out := filepath.Join(dir, "made.mp4")
	good := TimedRequest{Width: 64, Height: 48, Times: []float64{0, 0.1, 0.2}, End: 0.3}
	late, back, stopped, single := good, good, good, good
	late.Times = []float64{0.1, 0.2, 0.3}
	back.Times = []float64{0, 0.2, 0.1}
	stopped.End = 0.2
	single.Times, single.End = []float64{0}, 1
	for k, req := range []TimedRequest{{}, late, back, stopped, single} {
		if err := e.EncodeTimed(t.Context(), req, out, greys); err == nil {
			t.Errorf("request %d is taken", k)
		}
	}
	broken := errors.New("renderer broke")
	ctx, cancel := context.WithCancel(t.Context())
	if err := e.EncodeTimed(t.Context(), good, out, func(int, []byte) error { return broken }); !errors.Is(err, broken) {
		t.Error(err)
	}
	if err := e.EncodeTimed(ctx, good, out, func(int, []byte) error { cancel(); return nil }); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	if left, _ := os.ReadDir(dir); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestTheBestEncoderIsFound(t *testing.T) {
	for name, open := range map[string]func(testing.TB) *Engine{"native": native, "embedded": embedded} {
		t.Run(name, func(t *testing.T) {
			e := open(t)
			enc, err := e.Encoder(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			want := nativeWidth
			if e.Slow() {
				want = embeddedWidth
			}
			if enc.Codec != H264 || enc.MaxWidth != want || enc.Words == "" {
				t.Errorf("%+v", enc)
			}
		})
	}
}

// textured fills pictures with what costs an encoder something: a moving ramp with
// coarse texture.
func textured(w, h int) func(int, []byte) error {
	return func(k int, frame []byte) error {
		for y := range h {
			for x := range w {
				frame[y*w+x] = byte(16 + (x+3*k+y/2+(x*y/64)&31)%200)
			}
		}
		for i := w * h; i < len(frame); i++ {
			frame[i] = 128
		}
		return nil
	}
}

func BenchmarkEncodeTimed(b *testing.B) {
	for name, open := range map[string]func(testing.TB) *Engine{"native": native, "embedded": embedded} {
		b.Run(name, func(b *testing.B) {
			e := open(b)
			enc, err := e.Encoder(b.Context())
			if err != nil {
				b.Fatal(err)
			}
			var times []float64
			for k := range 60 {
				times = append(times, float64(k)/30)
			}
			req := TimedRequest{Width: 960, Height: 540, Times: times, End: 2, Codec: enc.Codec, Preset: enc.Preset}
			for b.Loop() {
				if err := e.EncodeTimed(b.Context(), req, filepath.Join(b.TempDir(), "made"+enc.Codec.Ext()), textured(960, 540)); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(60*float64(b.N)/b.Elapsed().Seconds(), "f/s")
		})
	}
}
