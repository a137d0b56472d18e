package film

import (
	"bufio"
	"bytes"
	"context"
	"crypto/md5"
	"fmt"
	"math"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// outside is ffprobe's own list of the frames that come out of a full
// decoding (-show_frames), which is another way through ffmpeg than ours: the
// best-effort time of each in stream units.
func outside(t testing.TB, path string, stream int) []int64 {
	t.Helper()
	out, err := exec.Command("ffprobe", "-v", "quiet", "-select_streams", strconv.Itoa(stream), "-show_entries",
		"frame=best_effort_timestamp", "-of", "csv=p=0", "file:"+path).Output()
	if err != nil {
		t.Fatalf("ffprobe: %v", err)
	}
	var pts []int64
	for sc := bufio.NewScanner(bytes.NewReader(out)); sc.Scan(); {
		v, err := strconv.ParseInt(strings.Trim(sc.Text(), ", "), 10, 64)
		if err != nil {
			continue // side data of some frames make empty lines
		}
		pts = append(pts, v)
	}
	return pts
}

// TestFrames checks on each odd clip that Index lists exactly the frames that
// ffprobe decodes, that frame k is the picture painted with the number it
// should have, and that its time is that of the painted number.
func TestFrames(t *testing.T) {
	sixty := func(n int) float64 { return float64(n) / 60 }
	even := func(k int) int { return k }
	cases := []struct {
		name    string
		n       int             // frames; 0 = as ffprobe counts
		painted func(k int) int // number on frame k
		time    func(n int) float64
		tol     float64 // s
	}{
		{"cfr60.mp4", 180, even, sixty, 1e-9},
		{"noedit.mp4", 180, even, sixty, 1e-9},
		{"audiofirst.mp4", 180, even, sixty, 1e-9},
		{"frag.mp4", 180, even, sixty, 1e-9},
		{"full.ts", 180, even, sixty, 1e-9},
		{"late.ts", 180, even, sixty, 1e-9},
		{"wrap.ts", 180, even, sixty, 2e-5}, // one unit of 1/90000 s
		{"late.mkv", 180, even, sixty, 1e-9},
		{"claim2h.mp4", 180, even, sixty, 1e-9},
		{"twovideo.mp4", 180, even, sixty, 1e-9},
		{"h264_422p10.mov", 30, even, sixty, 1e-9},
		{"hevc10.mp4", 30, even, sixty, 1e-9},
		{"prores.mov", 18, even, sixty, 1e-9},
		{"vp9.webm", 30, even, sixty, 1e-9},
		{"vp8.webm", 30, even, sixty, 1e-9},
		{"hfr240.mp4", 240, even, func(n int) float64 { return float64(n) / 240 }, 1e-9},
		{"slow.mp4", 60, even, func(n int) float64 { return float64(n) / 30 }, 1e-9},
		{"ntsc.mp4", 60, even, func(n int) float64 { return float64(n) * 1001 / 30000 }, 1e-9},
		// Every seventh frame (0, 7, ...) dropped, up to 6 ms of jitter.
		{"vfr.mp4", 154, func(k int) int { return k + k/6 + 1 }, sixty, 6.1e-3},
		// From 1 s on the odd ones only.
		{"vfr6030.mp4", 120, func(k int) int {
			if k < 60 {
				return k
			}
			return 61 + 2*(k-60)
		}, sixty, 1e-9},
		// Cut at 1.5 s without encoding: the frames from the key at 1 s are hidden.
		{"editlist.mp4", 0, func(k int) int { return k + 90 }, sixty, 1e-9},
		// Trimmed on a phone: an edit list leaves out the first 70 frames and
		// all after one second.
		{"trimmed.mp4", 60, func(k int) int { return k + 70 }, sixty, 1e-9},
		{"trimend.mp4", 60, even, sixty, 1e-9},
		{"truncfast.mp4", 0, even, sixty, 1e-9},
		{"open.mp4", 540, even, sixty, 1e-9},
		{"refresh.mp4", 540, even, sixty, 1e-9},
	}
	e := native(t)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			path := clip(t, c.name)
			idx, err := e.Index(t.Context(), path, nil)
			if err != nil {
				t.Fatal(err)
			}
			var pts []int64
			for _, f := range idx.Frames {
				pts = append(pts, f.PTS)
			}
			want := outside(t, path, idx.Info.stream)
			if !slices.Equal(pts, want) {
				t.Errorf("frame times differ from ffprobe's: %d against %d: %v / %v", len(pts), len(want), head(pts), head(want))
			}
			if c.n > 0 && len(idx.Frames) != c.n {
				t.Errorf("%d frames, want %d", len(idx.Frames), c.n)
			}
			first := c.time(c.painted(0))
			wrong := 0
			rep, err := e.Decode(t.Context(), path, Request{}, func(p Picture) error {
				n := c.painted(p.N)
				if c.name == "editlist.mp4" || c.name == "truncfast.mp4" { // a frame at the end is missing
					n = c.painted(0) + int(math.Round(p.Time*60))
				}
				if got := number(p, box); got != n && wrong < 3 {
					t.Errorf("frame %d shows number %d, want %d", p.N, got, n)
					wrong++
				}
				if d := p.Time - (c.time(n) - first); math.Abs(d) > c.tol && wrong < 3 {
					t.Errorf("frame %d is %g s off", p.N, d)
					wrong++
				}
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
			if rep.Pictures != len(idx.Frames) {
				t.Errorf("%d pictures of %d frames", rep.Pictures, len(idx.Frames))
			}
			if len(rep.Damaged) > 0 && c.name != "truncfast.mp4" {
				t.Errorf("sound clip called damaged: %v", rep.Damaged)
			}
		})
	}
}

func head(pts []int64) []int64 { return pts[:min(len(pts), 6)] }

// TestCutOpenGroup checks a clip cut at a key whose following pictures in the
// file are shown before it: the decoder leaves some out, so that packets are
// not the table of frames.
func TestCutOpenGroup(t *testing.T) {
	e := native(t)
	path := clip(t, "cra.mp4")
	idx, err := e.Index(t.Context(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := outside(t, path, idx.Info.stream)
	if len(idx.Frames) != len(want) || len(want) >= idx.read || idx.Frames[0].PTS != want[0] {
		t.Errorf("%d frames of %d packets, ffprobe decodes %d", len(idx.Frames), idx.read, len(want))
	}
	if _, err := e.Decode(t.Context(), path, Request{}, func(p Picture) error {
		if got := number(p, box); got != p.N+120 {
			t.Errorf("frame %d shows %d, want %d", p.N, got, p.N+120)
		}
		return nil
	}); err != nil {
		t.Error(err)
	}
}

// TestEmbeddedAgrees checks that the embedded engine gives the same frames,
// times and pictures as the native one.
func TestEmbeddedAgrees(t *testing.T) {
	if testing.Short() {
		t.Skip("the embedded engine is left out by -short")
	}
	nat := native(t)
	for _, name := range []string{"vfr.mp4", "editlist.mp4", "rot90.mp4", "h264_422p10.mov", "nokey.ts"} {
		t.Run(name, func(t *testing.T) {
			path := clip(t, name)
			want := fingerprint(t, nat, path)
			if got := fingerprint(t, embedded(t), path); got != want {
				t.Errorf("embedded: %s\nnative:   %s", got, want)
			}
		})
	}
}

// fingerprint is all that an engine says of a clip, with a sum over the
// pictures and their times.
func fingerprint(t *testing.T, e *Engine, path string) string {
	t.Helper()
	idx, err := e.Index(t.Context(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	h := md5.New()
	rep, err := e.Decode(t.Context(), path, Request{To: min(len(idx.Frames), 120)}, func(p Picture) error {
		fmt.Fprintln(h, p.N, p.PTS, p.Time, p.Width, p.Height)
		h.Write(p.Data)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("%+v %d %x", idx.Info, rep.Pictures, h.Sum(nil))
}

// TestFarStretch checks that a stretch late in a long clip, decoded from a key
// near it, has exactly the pictures that decoding from the beginning gives:
// also where key flags lie (intra refresh) or seeking misses (transport
// streams).
func TestFarStretch(t *testing.T) {
	e := native(t)
	for _, name := range []string{"long.mp4", "long.ts", "long.mkv", "open.mp4", "refresh.mp4", "hevcopen.mp4"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			path := clip(t, name)
			sums := map[int][md5.Size]byte{}
			if _, err := e.Decode(t.Context(), path, Request{}, func(p Picture) error {
				sums[p.N] = md5.Sum(p.Data)
				return nil
			}); err != nil {
				t.Fatal(err)
			}
			for _, from := range []int{farAhead + 1, 299, 300, 301, 359, 415, 537} {
				n := from
				rep, err := e.Decode(t.Context(), path, Request{From: from, To: min(from+3, 540)}, func(p Picture) error {
					if p.N != n {
						t.Errorf("frame %d where %d was due", p.N, n)
					}
					if md5.Sum(p.Data) != sums[p.N] {
						t.Errorf("from %d: frame %d shows number %d and differs from linear decoding", from, p.N, number(p, box))
					}
					n++
					return nil
				})
				if err != nil || rep.Pictures != 3 {
					t.Errorf("from %d: %d pictures, %v", from, rep.Pictures, err)
				}
			}
			idx, err := e.Index(t.Context(), path, nil)
			if err != nil {
				t.Fatal(err)
			}
			if idx.linear.Load() != (name == "refresh.mp4") {
				t.Errorf("keys thought unreliable: %v", idx.linear.Load())
			}
		})
	}
}

// TestUpright checks size, turn and pixel shape against what was put in.
func TestUpright(t *testing.T) {
	e := native(t)
	cases := []struct {
		name       string
		w, h, turn int
		corner     func(p Picture) (x, y int) // where the lowest bit's box is
	}{
		{"cfr60.mp4", 320, 180, 0, func(p Picture) (int, int) { return 16, 16 }},
		// ffmpeg's rotate=90 tag becomes a matrix that turns the picture
		// anticlockwise by 90 degrees, 270 clockwise.
		{"rot90.mp4", 180, 320, 270, func(p Picture) (int, int) { return 16, 320 - 16 }},
		{"rot180.mp4", 320, 180, 180, func(p Picture) (int, int) { return 320 - 16, 180 - 16 }},
		{"rot270.mp4", 180, 320, 90, func(p Picture) (int, int) { return 180 - 16, 16 }},
		{"odd444.mp4", 321, 181, 0, nil},
		{"oddmjpeg.avi", 321, 181, 0, nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			path := clip(t, c.name)
			info, err := e.Probe(t.Context(), path)
			if err != nil {
				t.Fatal(err)
			}
			if info.Width != c.w || info.Height != c.h || info.Rotation != c.turn {
				t.Errorf("%d by %d, turned %d; want %d by %d, %d", info.Width, info.Height, info.Rotation, c.w, c.h, c.turn)
			}
			_, err = e.Decode(t.Context(), path, Request{To: 8}, func(p Picture) error {
				if p.Width != c.w || p.Height != c.h || len(p.Data) != c.w*c.h {
					t.Errorf("picture %d by %d with %d bytes", p.Width, p.Height, len(p.Data))
				}
				if c.corner != nil {
					x, y := c.corner(p)
					if bright := p.Data[y*p.Width+x] > 128; bright != (p.N%2 == 1) {
						t.Errorf("frame %d: lowest bit not found at %d,%d", p.N, x, y)
					}
				}
				return nil
			})
			if err != nil {
				t.Error(err)
			}
		})
	}
}

// TestInterlaced checks that each field of a clip of 50 fields a second
// becomes a frame, in the order in which the fields were filmed, with square
// pixels, although the file's pixels are 16:15.
func TestInterlaced(t *testing.T) {
	e := native(t)
	path := clip(t, "i50.mts")
	idx, err := e.Index(t.Context(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	if idx.Info.FieldOrder != "tff" || !idx.Info.Has(WarnInterlaced) {
		t.Errorf("field order %q, warnings %v", idx.Info.FieldOrder, idx.Info.Warnings)
	}
	if len(idx.Frames) != 100 || math.Abs(idx.Info.FPS-50) > 1e-6 || idx.Info.Width != 768 || idx.Info.Height != 576 {
		t.Errorf("%d frames at %g, %d by %d", len(idx.Frames), idx.Info.FPS, idx.Info.Width, idx.Info.Height)
	}
	_, err = e.Decode(t.Context(), path, Request{}, func(p Picture) error {
		got := 0
		for bit := range 10 { // boxes are 64 stored px wide, 64*16/15 shown
			if p.Data[32*p.Width+int((float64(bit)+0.5)*64*16/15)] > 128 {
				got |= 1 << bit
			}
		}
		if want := (p.N + 1) / 2; got != want {
			t.Errorf("frame %d shows number %d, want %d", p.N, got, want)
		}
		if math.Abs(p.Time-float64(p.N)/50) > 1e-9 {
			t.Errorf("frame %d at %g s", p.N, p.Time)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestLumaRange checks that luma comes as stored, on grey ramps made with
// known values: black and white are 16 and 235 in video range and 0 and 255
// in full range (ITU-R BT.601-7, BT.709-6; JFIF 1.02).
func TestLumaRange(t *testing.T) {
	e := native(t)
	for _, c := range []struct {
		layout, codec, name string
		full                bool
		low, high           int
	}{
		{"yuv420p", "libx264", "v.mp4", false, 16, 235},
		{"yuv420p10le", "libx264", "v10.mp4", false, 16, 235},
		{"yuvj420p", "mjpeg", "f.avi", true, 0, 255},
	} {
		path := t.TempDir() + "/" + c.name
		out, err := exec.Command("ffmpeg", "-loglevel", "error", "-f", "lavfi", "-i", "color=black:s=64x64:r=10:d=1,drawbox=x=32:w=32:h=64:c=white:t=fill",
			"-pix_fmt", c.layout, "-c:v", c.codec, path).CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		_, err = e.Decode(t.Context(), path, Request{To: 2}, func(p Picture) error {
			low, high := int(p.Data[32*64+8]), int(p.Data[32*64+56])
			if max(low-c.low, c.low-low, high-c.high, c.high-high) > 1 || p.FullRange != c.full {
				t.Errorf("%s: black %d, white %d, full %v; want %d, %d, %v", c.name, low, high, p.FullRange, c.low, c.high, c.full)
			}
			return nil
		})
		if err != nil {
			t.Error(err)
		}
	}
}

func BenchmarkDecode(b *testing.B) {
	e := native(b)
	path := clip(b, "long.mp4")
	for _, c := range []struct {
		name string
		req  Request
	}{{"luma", Request{}}, {"half luma", Request{Width: clipW / 2}}, {"jpeg", Request{Format: JPEG}}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				rep, err := e.Decode(context.Background(), path, c.req, func(Picture) error { return nil })
				if err != nil || rep.Pictures != 540 {
					b.Fatal(rep, err)
				}
			}
			b.ReportMetric(540*float64(b.N)/b.Elapsed().Seconds(), "frames/s")
		})
	}
}
