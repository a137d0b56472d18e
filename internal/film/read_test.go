package film

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
)

// Lines as printed by the ffmpeg releases named.
var shownLines = []struct {
	line string
	want shown
	ok   bool
}{
	// 5.1
	{
		"[Parsed_showinfo_1 @ 0x558692aa73c0] n:   1 pts:    256 pts_time:0.0166667 pos:    20039 fmt:gray sar:1/1 s:640x360 i:P iskey:0 type:B ",
		shown{n: 1, pts: 256, hasPTS: true, width: 640, height: 360},
		true,
	},
	{
		"[Parsed_showinfo_0 @ 0x55] n:   0 pts:      0 pts_time:0       pos:       48 fmt:yuv420p sar:0/1 s:64x64 i:P iskey:1 type:I ",
		shown{n: 0, hasPTS: true, key: true, intra: true, width: 64, height: 64},
		true,
	},
	{
		"[Parsed_showinfo_0 @ 0x55] n:   3 pts:    NOPTS pts_time:NOPTS pos:       48 fmt:yuv420p sar:0/1 s:64x64 i:P iskey:0 type:P ",
		shown{n: 3, width: 64, height: 64},
		true,
	},
	{
		"[Parsed_showinfo_0 @ 0x55] n:   3 pts:  -9000 pts_time:-0.1 pos:  -1 fmt:yuv420p sar:0/1 s:64x64 i:P iskey:0 type:P ",
		shown{n: 3, pts: -9000, hasPTS: true, width: 64, height: 64},
		true,
	},
	// 6.1 and later, with durations and chroma place
	{
		"[Parsed_showinfo_0 @ 0x55] n:  12 pts:   6144 pts_time:0.4     duration:    512 duration_time:0.0333333 fmt:yuv420p cl:left sar:1/1 s:320x180 i:P iskey:0 type:P checksum:1F",
		shown{n: 12, pts: 6144, hasPTS: true, width: 320, height: 180},
		true,
	},
	// a message of another thread behind it
	{
		"[Parsed_showinfo_0 @ 0x55] n:   4 pts:      8 pts_time:8 pos:1 fmt:gray sar:1/1 s:2x2 i:P iskey:0 type:P [h264 @ 0x1] concealing 20 DC errors",
		shown{n: 4, pts: 8, hasPTS: true, width: 2, height: 2},
		true,
	},
	// behind a line that another thread has not ended
	{
		"  Stream #0:0: Video: rawvideo (Y800n:   0 pts:      0 pts_time:0       pos:       48 fmt:gray sar:0/1 s:64x64 i:P iskey:1 type:I ",
		shown{n: 0, hasPTS: true, key: true, intra: true, width: 64, height: 64},
		true,
	},
	{"[Parsed_showinfo_1 @ 0x55] color_range:unknown color_space:unknown color_primaries:unknown color_trc:unknown", shown{}, false},
	{"[Parsed_showinfo_1 @ 0x55] config in time_base: 1/15360, frame_rate: 60/1", shown{}, false},
	{"[h264 @ 0x55] n:   1 pts:    256 s:640x360", shown{}, false},
	{"[Parsed_showinfo_1 @ 0x55] n:   1 pts:    256 pts_time:1 fmt:gray", shown{}, false},
	{"[Parsed_showinfo_1 @ 0x55] n:   1 pts:    256", shown{}, false},
	{"[Parsed_showinfo_1 @ 0x55] n:   1 pts:    256 pts_time:1 s:0x360", shown{}, false},
	{"[Parsed_showinfo_1 @ 0x55] n:  -1 pts:    256 pts_time:1 s:640x360", shown{}, false},
	{"", shown{}, false},
}

func TestParseShown(t *testing.T) {
	for _, c := range shownLines {
		if got, ok := parseShown(c.line); ok != c.ok || ok && got != c.want {
			t.Errorf("%q: %+v %v, want %+v %v", c.line, got, ok, c.want, c.ok)
		}
	}
	if r, ok := parseClock("[Parsed_showinfo_1 @ 0x55] config in time_base: 1/15360, frame_rate: 60/1"); !ok || r != (Ratio{1, 15360}) {
		t.Errorf("clock %v %v", r, ok)
	}
	for line, want := range map[string]bool{
		"[h264 @ 0x1] concealing 20 DC, 20 AC, 20 MV errors in P frame": true,
		"file:x.mp4: corrupt decoded frame in stream 0":                 true,
		"[hevc @ 0x1] Could not find ref with POC 14":                   true,
		"[h264 @ 0x1] non-existing PPS 0 referenced":                    false, // nothing is shown for it
		"[swscaler @ 0x1] deprecated pixel format used":                 false,
		shownLines[0].line: false,
	} {
		if got := tellsDamage(line); got != want {
			t.Errorf("%q: damage %v, want %v", line, got, want)
		}
	}
}

// FuzzShown checks that no log line breaks the reader and that what it accepts
// is within its limits.
func FuzzShown(f *testing.F) {
	for _, c := range shownLines {
		f.Add(c.line)
	}
	f.Fuzz(func(t *testing.T, line string) {
		s, ok := parseShown(line)
		if ok && (s.n < 0 || s.width <= 0 || s.height <= 0 || s.width > 1<<15 || s.height > 1<<15) {
			t.Errorf("accepted %+v", s)
		}
		if r, ok := parseClock(line); ok && (r.Num <= 0 || r.Den <= 0) {
			t.Errorf("accepted clock %+v", r)
		}
		l := newFrameLog(nil)
		l.read(line)
		l.end()
		if _, got := l.wait(0, 0); got != ok {
			t.Errorf("log kept %v, line is %v", got, ok)
		}
	})
}

const probeExample = `{
 "packets": [
  { "stream_index": 0, "pts": 0, "dts": -512, "duration": 256, "flags": "K_" },
  { "stream_index": 1, "pts": -1024, "dts": -1024, "flags": "KD", "side_data_list": [ { "side_data_type": "Skip Samples" } ] },
  { "stream_index": 0, "pts": 768, "dts": -256, "flags": "__" },
  { "stream_index": 0, "pts": 256, "dts": 0, "flags": "__" },
  { "stream_index": 0, "dts": 256, "flags": "_DC" }
 ],
 "programs": [ ],
 "streams": [
  { "index": 0, "codec_name": "h264", "profile": "High", "codec_type": "video", "width": 640, "height": 360, "has_b_frames": 2,
    "sample_aspect_ratio": "4:3", "pix_fmt": "yuv420p", "field_order": "progressive", "r_frame_rate": "60/1", "avg_frame_rate": "60/1",
    "time_base": "1/15360", "duration": "5.000000", "nb_frames": "4", "disposition": { "default": 1, "attached_pic": 0 },
    "tags": { "language": "und" }, "side_data_list": [ { "side_data_type": "Display Matrix", "rotation": -90 } ] },
  { "index": 1, "codec_name": "aac", "profile": 1, "codec_type": "audio", "r_frame_rate": "0/0", "time_base": "1/48000" }
 ],
 "format": { "format_name": "mov,mp4", "start_time": "N/A", "duration": "5.0", "tags": { "com.android.capture.fps": "240.0" } }
}`

func TestReadProbe(t *testing.T) {
	a, err := readProbe(strings.NewReader(probeExample), 100)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.packets[0]) != 4 || len(a.packets[1]) != 1 || len(a.streams) != 2 {
		t.Fatalf("%d and %d packets, %d streams", len(a.packets[0]), len(a.packets[1]), len(a.streams))
	}
	if p := a.packets[0][3]; p.hasPTS || !p.hasDTS || !p.hidden || !p.broken || p.key {
		t.Errorf("packet %+v", p)
	}
	x, err := indexFromPackets(a, &probeNotes{})
	if err != nil {
		t.Fatal(err)
	}
	x.finish()
	// 640 by 360 with pixels 4:3 is 853.3 by 360, turned by a quarter.
	if i := x.Info; i.Width != 360 || i.Height != 853 || i.Rotation != 90 || i.CaptureFPS != 240 || i.Exact || i.Frames != 3 {
		t.Errorf("%+v", i)
	}
	if _, err := readProbe(strings.NewReader(probeExample), 4); !errors.Is(err, errTooManyPackets) {
		t.Errorf("five packets of four allowed: %v", err)
	}
	for _, bad := range []string{"", "[", "{}x{", `{"packets": {}}`, `{"packets": [{"pts": "1"}]}`, `{"streams": 3}`, probeExample[:len(probeExample)/2]} {
		if a, err := readProbe(strings.NewReader(bad), 100); err == nil && bad != "{}x{" {
			t.Errorf("%.20q read as %+v", bad, a)
		}
	}
}

// FuzzProbe checks that no answer of ffprobe breaks the reader, and that an
// index made of one has its frames in order, starting at 0.
func FuzzProbe(f *testing.F) {
	f.Add([]byte(probeExample))
	f.Add([]byte(`{"packets":[{"pts":1,"flags":"K"},{"pts":1,"flags":"K"}],"streams":[{"codec_type":"video","width":2,"height":2,"pix_fmt":"gray","time_base":"1/9"}]}`))
	f.Add([]byte(`{"packets":[{"pts":9223372036854775807,"flags":"K"},{"pts":-9223372036854775807,"flags":"_"}],"streams":[{"codec_type":"video","width":4294967296,"height":4294967296,"pix_fmt":"gray","time_base":"1/9"}]}`))
	f.Add([]byte(`{"packets":[{"pts":9223372036854775807,"flags":"K"},{"pts":-9223372036854775807,"flags":"_"}],"streams":[{"codec_type":"video","width":2,"height":2,"pix_fmt":"gray","time_base":"1/9"}]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		a, err := readProbe(bytes.NewReader(b), 1000)
		if err != nil {
			return
		}
		x, err := indexFromPackets(a, &probeNotes{})
		if err != nil {
			return
		}
		x.finish()
		for k, fr := range x.Frames {
			if fr.N != k || k == 0 && fr.Time != 0 || k > 0 && fr.PTS < x.Frames[k-1].PTS {
				t.Fatalf("frame %d: %+v", k, fr)
			}
		}
		if i := x.Info; i.Rotation%90 != 0 || i.Rotation < 0 || i.Rotation > 270 || i.Width <= 0 || i.Height <= 0 || i.Width > maxSide || i.Height > maxSide {
			t.Fatalf("%+v", i)
		}
	})
}

// timed makes an index of the given times in units of 1/den s.
func timed(den int64, nominal float64, pts ...int64) *Index {
	x := &Index{Info: Info{NominalFPS: nominal, timeBase: Ratio{1, den}}}
	for _, p := range pts {
		x.Frames = append(x.Frames, Frame{PTS: p})
	}
	x.finish()
	return x
}

// TestTiming checks what is made of patterns of times.
func TestTiming(t *testing.T) {
	var ms, even, ntsc, phone, ramp, hole []int64
	for k := range int64(120) {
		ms = append(ms, 3379+int64(math.Round(float64(k)*1000/60)))
		even = append(even, 1024*k)
		ntsc = append(ntsc, 5+1001*k)
		phone = append(phone, 1500*k+k*k*37%400) // jitter of up to 4.4 ms
		if k < 60 {
			ramp = append(ramp, 512*k)
		} else {
			ramp = append(ramp, 512*60+128*(k-60))
		}
		if k != 50 {
			hole = append(hole, 256*k)
		}
	}
	cases := []struct {
		name             string
		x                *Index
		fps              float64
		variable         bool
		nominal, seconds float64
		warnings         string
	}{
		{"even", timed(61440, 60, even...), 60, false, 60, 2, "[]"},
		{"NTSC", timed(30000, 30000./1001, ntsc...), 30000. / 1001, false, 30000. / 1001, 4.004, "[]"},
		{"whole ms", timed(1000, 60, ms...), 60, false, 60, 2, "[rounded_clock]"},
		{"phone, rate claimed 90000", timed(90000, 90000, phone...), 0, true, 0, 0, "[variable_rate]"},
		{"speed ramp", timed(15360, 120, ramp...), 0, true, 0, 0, "[variable_rate]"},
		{"one frame missing", timed(15360, 60, hole...), 118. / 119 * 60, false, 60, 2, "[gaps]"},
		{"two frames", timed(10, 10, 7, 8), 10, false, 10, 0.2, "[]"},
	}
	for _, c := range cases {
		i := c.x.Info
		var codes []WarningCode
		for _, w := range i.Warnings {
			codes = append(codes, w.Code)
		}
		if i.Variable != c.variable || fmt.Sprint(codes) != c.warnings {
			t.Errorf("%s: variable %v, warnings %v", c.name, i.Variable, codes)
		}
		if c.fps > 0 && (math.Abs(i.FPS-c.fps) > 1e-9*c.fps || math.Abs(i.Duration-c.seconds) > 1e-9 || math.Abs(i.NominalFPS-c.nominal) > 1e-9) {
			t.Errorf("%s: %.9g frames a second (claimed %g) for %g s, want %.9g (%g) for %g s", c.name, i.FPS, i.NominalFPS, i.Duration, c.fps, c.nominal, c.seconds)
		}
	}
	if n := timed(90000, 90000, phone...).Info.NominalFPS; n < 50 || n > 70 {
		t.Errorf("a claimed 90000 frames a second became %g", n)
	}
}

func TestLineReader(t *testing.T) {
	long := strings.Repeat("x", 200000)
	r := newLineReader(io.MultiReader(strings.NewReader("a\nb\r\n"+long), strings.NewReader(long+"\nframe=1\rframe=2\nend")), 1000)
	var got []string
	for {
		line, ok := r.next()
		if !ok {
			break
		}
		got = append(got, line)
	}
	want := []string{"a", "b", "", long[:1000], "frame=1", "frame=2", "end"}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("got %d lines: %.60q", len(got), got)
	}
}

// TestParts reads a stream in the form that RFC 2046 gives for parts, with the
// content length in each head.
func TestParts(t *testing.T) {
	stream := "--b\r\nContent-type: image/jpeg\r\nContent-length: 3\r\n\r\nabc\r\n--b\r\nContent-Length: 5\r\n\r\nde\r\nf\r\n--b--\r\n"
	r := outForm{format: JPEG}.reader(strings.NewReader(stream))
	for _, want := range []string{"abc", "de\r\nf"} {
		if got, err := r.next(); err != nil || string(got) != want {
			t.Errorf("part %q, %v; want %q", got, err, want)
		}
	}
	if got, err := r.next(); !errors.Is(err, io.EOF) {
		t.Errorf("after the last part: %q, %v", got, err)
	}
	for _, bad := range []string{"Content-length: -4\n\n", "content-length: 99999999999\n\n", "content-length: x\n\n"} {
		if _, err := (outForm{format: JPEG}).reader(strings.NewReader(bad)).next(); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}

func FuzzParts(f *testing.F) {
	f.Add([]byte("--b\r\nContent-length: 3\r\n\r\nabc\r\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		r := outForm{format: JPEG}.reader(bytes.NewReader(b))
		total := 0
		for range 1000 {
			data, err := r.next()
			if err != nil {
				return
			}
			if total += len(data); total > len(b) {
				t.Fatalf("%d bytes out of %d", total, len(b))
			}
		}
	})
}

func TestNativeVersion(t *testing.T) {
	for answer, want := range map[string]string{
		"ffmpeg version 5.1.9-0+deb12u1 Copyright (c) 2000-2026":  "5.1.9-0+deb12u1",
		"ffmpeg version n7.0 Copyright":                           "n7.0",
		"ffmpeg version N-117000-gabcdef Copyright":               "N-117000-gabcdef",
		"ffmpeg version 2025-01-02-git-1234-full_build Copyright": "2025-01-02-git-1234-full_build",
		"ffmpeg version 4.4.2-0ubuntu0.22.04.1 Copyright":         "",
		"ffmpeg version 5.0.1 Copyright":                          "",
		"something else":                                          "",
	} {
		if got, err := nativeVersion(answer); got != want || (err == nil) != (want != "") {
			t.Errorf("%q: %q, %v", answer, got, err)
		}
	}
}

// TestTurn checks that a display matrix, whose angle counts anticlockwise, and
// the older tag, which counts clockwise, become the clockwise turn.
func TestTurn(t *testing.T) {
	deg := func(v float64) *float64 { return &v }
	cases := []struct {
		s    probeStream
		want int
		odd  bool
	}{
		{probeStream{}, 0, false},
		{probeStream{SideData: []probeSideData{{"Display Matrix", deg(-90)}}}, 90, false},
		{probeStream{SideData: []probeSideData{{"Display Matrix", deg(90)}}}, 270, false},
		{probeStream{SideData: []probeSideData{{"Display Matrix", deg(-180)}}}, 180, false},
		{probeStream{Tags: map[string]string{"rotate": "90"}}, 90, false},
		{probeStream{Tags: map[string]string{"rotate": "270"}}, 270, false},
		{probeStream{SideData: []probeSideData{{"Display Matrix", deg(-50)}}}, 90, true},
		{probeStream{SideData: []probeSideData{{"Display Matrix", deg(math.NaN())}}}, 0, false},
	}
	for k, c := range cases {
		var i Info
		i.turn(&c.s)
		if i.Rotation != c.want || i.Has(WarnRotation) != c.odd {
			t.Errorf("case %d: %d, warned %v; want %d, %v", k, i.Rotation, i.Has(WarnRotation), c.want, c.odd)
		}
	}
}
