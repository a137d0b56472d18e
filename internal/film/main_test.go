package film

import (
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// testDir holds the clips made for the tests and the compiled embedded engine.
var testDir string

func TestMain(m *testing.M) {
	if len(os.Args) > 1 && os.Args[1] == WorkerWord {
		os.Exit(WorkerMain(os.Args[2:], os.Stdin, os.Stdout, os.Stderr))
	}
	var err error
	if testDir, err = os.MkdirTemp("", "underkick-film-test-"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	code := m.Run()
	os.RemoveAll(testDir)
	os.Exit(code)
}

var openNativeOnce = sync.OnceValues(func() (*Engine, error) {
	return Open(context.Background(), Options{Prefer: Native})
})

var openEmbeddedOnce = sync.OnceValues(func() (*Engine, error) {
	e, err := Open(context.Background(), Options{Prefer: Embedded, CacheDir: filepath.Join(testDir, "engine")})
	if err != nil {
		return nil, err
	}
	return e, e.Warm(context.Background())
})

// native returns the native engine or skips the test.
func native(t testing.TB) *Engine {
	t.Helper()
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		t.Skip("needs native ffmpeg, which is not installed here")
	}
	e, err := openNativeOnce()
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// embedded returns the embedded engine; it is left out by -short, since
// compiling it takes up to half a minute.
func embedded(t testing.TB) *Engine {
	t.Helper()
	if testing.Short() {
		t.Skip("compiling the embedded engine is left out by -short")
	}
	e, err := openEmbeddedOnce()
	if err != nil {
		t.Fatal(err)
	}
	return e
}

const (
	clipW, clipH = 320, 180
	box          = 32 // side of a painted bit, px
)

// painted is a lavfi source whose frames carry their number as ten black or
// white boxes along the top edge, lowest bit first.
func painted(w, h, rate int, seconds float64, side int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "testsrc2=s=%dx%d:r=%d:d=%g", w, h, rate, seconds)
	for bit := range 10 {
		fmt.Fprintf(&b, ",drawbox=x=%d:y=0:w=%d:h=%d:c=black:t=fill", bit*side, side, side)
		fmt.Fprintf(&b, ",drawbox=x=%d:y=0:w=%d:h=%d:c=white:t=fill:enable='gt(bitand(n\\,%d)\\,0)'", bit*side, side, side, 1<<bit)
	}
	return b.String()
}

// halved makes a painted source show (n+1)/2 instead of n, so that the two
// fields of each picture differ by a step and the next picture goes on from
// the later one: the order of the fields can be read from the numbers. (The
// lowest bit of n itself would be a comb that stands still.)
func halved(source string) string {
	return strings.ReplaceAll(source, `bitand(n\,`, `bitand(floor((n+1)/2)\,`)
}

// number reads the painted number back from a luma picture of scale 1.
func number(p Picture, side int) int {
	n := 0
	for bit := range 10 {
		if p.Data[(side/2)*p.Width+bit*side+side/2] > 128 {
			n |= 1 << bit
		}
	}
	return n
}

// src is the usual source: 60 frames a second.
func src(seconds float64) []string {
	return []string{"-f", "lavfi", "-i", painted(clipW, clipH, 60, seconds, box)}
}

var x264 = []string{"-c:v", "libx264", "-preset", "veryfast", "-crf", "24", "-pix_fmt", "yuv420p", "-threads", "1"}

// recipe is how an odd clip is made: by ffmpeg from a source or another clip,
// then changed by hand.
type recipe struct {
	from string   // another clip, "" = none
	args []string // ffmpeg arguments; FROM stands for the path of from
	edit func([]byte) []byte
}

func cat(parts ...[]string) []string {
	var all []string
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

// recipes are the odd files. Their kinds are those that phones, action
// cameras, camcorders and broken copies are known to produce.
var recipes = map[string]recipe{
	"cfr60.mp4": {args: cat(src(3), []string{"-f", "lavfi", "-i", "sine=r=48000:d=3"}, x264,
		[]string{"-bf", "2", "-g", "60", "-c:a", "aac", "-movflags", "+faststart"})},
	"long.mp4": {args: cat(src(9), x264, []string{"-bf", "2", "-g", "60"})},
	"vfr.mp4": {args: cat(src(3), []string{
		"-vf", `select='mod(n\,7)',setpts='PTS+(random(0)*0.006)/TB'`, "-fps_mode", "vfr",
		"-enc_time_base", "1:90000",
	}, x264, []string{"-bf", "0", "-g", "30", "-video_track_timescale", "90000"})},
	"vfr6030.mp4": {args: cat(src(3), []string{"-vf", `select='lt(t\,1)+gte(t\,1)*mod(n\,2)'`, "-fps_mode", "vfr"}, x264, []string{"-bf", "2"})},
	"slow.mp4": {args: cat([]string{"-f", "lavfi", "-i", painted(clipW, clipH, 30, 2, box)}, x264, []string{
		"-bf", "0",
		"-movflags", "use_metadata_tags", "-metadata", "com.android.capture.fps=240.000000", "-metadata", "creation_time=2026-05-01T10:00:00Z",
	})},
	"hfr240.mp4":   {args: cat([]string{"-f", "lavfi", "-i", painted(clipW, clipH, 240, 1, box)}, x264)},
	"editlist.mp4": {from: "cfr60.mp4", args: []string{"-ss", "1.5", "-i", "FROM", "-c", "copy", "-t", "1"}},
	"trimmed.mp4":  {from: "cfr60.mp4", edit: func(b []byte) []byte { return trim(b, 70, 1000) }},
	"trimend.mp4":  {from: "cfr60.mp4", edit: func(b []byte) []byte { return trim(b, 0, 1000) }},
	"rot90.mp4":    {from: "cfr60.mp4", args: []string{"-i", "FROM", "-c", "copy", "-metadata:s:v", "rotate=90"}},
	"rot180.mp4":   {from: "cfr60.mp4", args: []string{"-i", "FROM", "-c", "copy", "-metadata:s:v", "rotate=180"}},
	"rot270.mp4":   {from: "cfr60.mp4", args: []string{"-i", "FROM", "-c", "copy", "-metadata:s:v", "rotate=270"}},
	"late.mkv":     {from: "cfr60.mp4", args: []string{"-itsoffset", "3.4", "-i", "FROM", "-c", "copy", "-copyts"}},
	"late.ts":      {from: "cfr60.mp4", args: []string{"-i", "FROM", "-map", "0:v", "-c", "copy", "-output_ts_offset", "10"}},
	"noedit.mp4":   {from: "cfr60.mp4", args: []string{"-i", "FROM", "-map", "0:v", "-c", "copy", "-use_editlist", "0"}},
	"audiofirst.mp4": {from: "cfr60.mp4", args: []string{
		"-itsoffset", "0.25", "-i", "FROM", "-i", "FROM",
		"-map", "0:v", "-map", "1:a", "-c", "copy",
	}},
	"full.ts": {from: "cfr60.mp4", args: []string{"-i", "FROM", "-map", "0:v", "-c", "copy"}},
	"wrap.ts": {from: "cfr60.mp4", args: []string{"-i", "FROM", "-map", "0:v", "-c", "copy", "-output_ts_offset", "95442.5"}},
	"nokey.ts": {from: "full.ts", edit: func(b []byte) []byte {
		n := len(b) / 188
		return append(append([]byte(nil), b[:188*3]...), b[188*(n/2):]...)
	}},
	"jump.ts":       {from: "full.ts", edit: func(b []byte) []byte { return append(append([]byte(nil), b...), b...) }},
	"moovend.mp4":   {from: "cfr60.mp4", args: []string{"-i", "FROM", "-c", "copy"}},
	"truncmoov.mp4": {from: "moovend.mp4", edit: func(b []byte) []byte { return b[:len(b)*7/10] }},
	"truncfast.mp4": {from: "cfr60.mp4", edit: func(b []byte) []byte { return b[:len(b)*6/10] }},
	"corrupt.mp4": {from: "cfr60.mp4", edit: func(b []byte) []byte {
		b = append([]byte(nil), b...)
		for k := range 12 {
			b[len(b)/3+(k*7919+13)%(len(b)/3)] ^= 0xff
		}
		return b
	}},
	"i50.mts": {args: cat([]string{
		"-f", "lavfi", "-i", halved(painted(720, 576, 50, 2, 64)) + ",tinterlace=interleave_top",
		"-vf", "setsar=16/15",
	}, x264, []string{"-flags", "+ildct+ilme", "-x264opts", "tff=1", "-bf", "2", "-g", "12"})},
	"h264_422p10.mov": {args: cat(src(0.5), []string{"-c:v", "libx264", "-preset", "veryfast", "-pix_fmt", "yuv422p10le"})},
	"hevc10.mp4": {args: cat(src(0.5), []string{
		"-c:v", "libx265", "-preset", "ultrafast", "-x265-params",
		"log-level=error:colorprim=bt2020:transfer=arib-std-b67:colormatrix=bt2020nc", "-pix_fmt", "yuv420p10le", "-tag:v", "hvc1",
	})},
	"hevcopen.mp4": {from: "long.mp4", args: []string{
		"-i", "FROM", "-c:v", "libx265", "-preset", "ultrafast", "-x265-params",
		"log-level=error:open-gop=1:keyint=30:bframes=3", "-tag:v", "hvc1",
	}},
	"cra.mp4":     {from: "hevcopen.mp4", args: []string{"-ss", "2", "-i", "FROM", "-map", "0:v", "-c", "copy", "-use_editlist", "0"}},
	"headless.ts": {from: "open.mp4", args: []string{"-ss", "2", "-i", "FROM", "-map", "0:v", "-c", "copy", "-bsf:v", "h264_mp4toannexb,filter_units=remove_types=7-8"}},
	"prores.mov":  {args: cat(src(0.3), []string{"-c:v", "prores_ks", "-profile:v", "3"})},
	"odd444.mp4": {args: []string{
		"-f", "lavfi", "-i", "testsrc=s=322x182:r=30:d=0.5", "-vf", "format=yuv444p,crop=321:181:0:0",
		"-c:v", "libx264", "-preset", "veryfast",
	}},
	"oddmjpeg.avi": {args: []string{
		"-f", "lavfi", "-i", "testsrc=s=322x182:r=30:d=0.5", "-vf", "format=yuv444p,crop=321:181:0:0,format=yuvj420p",
		"-c:v", "mjpeg", "-q:v", "3",
	}},
	"vp9.webm":    {args: cat(src(0.5), []string{"-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-b:v", "1M"})},
	"vp8.webm":    {args: cat(src(0.5), []string{"-c:v", "libvpx", "-deadline", "realtime", "-cpu-used", "8", "-b:v", "1M", "-auto-alt-ref", "1", "-lag-in-frames", "10"})},
	"open.mp4":    {from: "long.mp4", args: cat([]string{"-i", "FROM"}, x264, []string{"-x264opts", "open-gop=1:keyint=30:bframes=3"})},
	"refresh.mp4": {from: "long.mp4", args: cat([]string{"-i", "FROM"}, x264, []string{"-x264opts", "intra-refresh=1:keyint=60"})},
	"long.ts":     {from: "long.mp4", args: []string{"-i", "FROM", "-map", "0:v", "-c", "copy"}},
	"long.mkv":    {from: "long.mp4", args: []string{"-i", "FROM", "-map", "0:v", "-c", "copy"}},
	"frag.mp4":    {from: "cfr60.mp4", args: []string{"-i", "FROM", "-map", "0:v", "-c", "copy", "-movflags", "frag_keyframe+empty_moov"}},
	"ntsc.mp4": {args: cat([]string{"-f", "lavfi", "-i", strings.Replace(painted(clipW, clipH, 1, 2, box), "r=1:", "r=30000/1001:", 1)}, x264,
		[]string{"-bf", "2"})},
	"claim2h.mp4": {from: "cfr60.mp4", edit: claimTwoHours},
	"raw.h264":    {from: "cfr60.mp4", args: []string{"-i", "FROM", "-map", "0:v", "-c", "copy"}},
	"small.ts":    {from: "cfr60.mp4", args: cat([]string{"-i", "FROM", "-vf", "scale=160:90", "-an", "-t", "0.5"}, x264, []string{"-bf", "0"})},
	"big.ts":      {from: "cfr60.mp4", args: cat([]string{"-i", "FROM", "-an", "-t", "0.5"}, x264, []string{"-bf", "0"})},
	"twovideo.mp4": {from: "cfr60.mp4", args: []string{
		"-i", "FROM", "-f", "lavfi", "-i", "testsrc2=s=160x90:r=5:d=3",
		"-map", "1:v", "-map", "0:v", "-c:v:0", "libx264", "-c:v:1", "copy",
	}},
	"audio.m4a": {args: []string{"-f", "lavfi", "-i", "sine=d=1", "-c:a", "aac"}},
	"still.jpg": {args: []string{"-f", "lavfi", "-i", "testsrc2=s=320x180:d=1", "-frames:v", "1"}},
	"cover.m4a": {from: "still.jpg", args: []string{
		"-f", "lavfi", "-i", "sine=d=1", "-i", "FROM", "-map", "0", "-map", "1",
		"-c:a", "aac", "-c:v", "copy", "-disposition:v:0", "attached_pic",
	}},
	"oneframe.mp4": {args: cat(src(1), x264, []string{"-frames:v", "1"})},
}

// trim changes the edit list of the first track (ISO/IEC 14496-12, elst of
// version 0 with one entry) as phones do when a film is trimmed without being
// written anew: it starts frames later, 256 units each, and lasts ms.
func trim(b []byte, frames, ms uint32) []byte {
	b = append([]byte(nil), b...)
	at := strings.Index(string(b), "elst") + 12
	binary.BigEndian.PutUint32(b[at:], ms)
	binary.BigEndian.PutUint32(b[at+4:], binary.BigEndian.Uint32(b[at+4:])+256*frames)
	return b
}

// claimTwoHours makes the headers of an MP4 file say 7,200 s (ISO/IEC
// 14496-12: mvhd, tkhd and mdhd of version 0).
func claimTwoHours(b []byte) []byte {
	b = append([]byte(nil), b...)
	for _, tag := range []string{"mvhd", "tkhd", "mdhd"} {
		for at := 0; ; {
			k := strings.Index(string(b[at:]), tag)
			if k < 0 {
				break
			}
			p := at + k + 4
			if tag == "tkhd" {
				binary.BigEndian.PutUint32(b[p+20:], 7200*1000)
			} else {
				binary.BigEndian.PutUint32(b[p+16:], 7200*binary.BigEndian.Uint32(b[p+12:]))
			}
			at = p
		}
	}
	return b
}

var made sync.Map // name -> func() (string, error)

// clip returns the path of an odd clip, making it when it is first wanted, and
// skips the test where this ffmpeg lacks the encoder.
func clip(t testing.TB, name string) string {
	t.Helper()
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		t.Skip("making the test clips needs native ffmpeg, which is not installed here")
	}
	path, err := makeClip(name)
	if err != nil {
		if strings.Contains(err.Error(), "Unknown encoder") {
			t.Skip(err)
		}
		t.Fatal(err)
	}
	return path
}

func makeClip(name string) (string, error) {
	f, _ := made.LoadOrStore(name, sync.OnceValues(func() (string, error) { return cook(name) }))
	return f.(func() (string, error))()
}

func cook(name string) (string, error) {
	r, ok := recipes[name]
	if !ok {
		return "", fmt.Errorf("no recipe for %s", name)
	}
	path, from := filepath.Join(testDir, name), ""
	var err error
	if r.from != "" {
		if from, err = makeClip(r.from); err != nil {
			return "", err
		}
	}
	if r.edit != nil {
		b, err := os.ReadFile(from)
		if err != nil {
			return "", err
		}
		return path, os.WriteFile(path, r.edit(b), 0o600)
	}
	args := []string{"-hide_banner", "-loglevel", "error", "-nostdin", "-y"}
	for _, a := range r.args {
		if a == "FROM" {
			a = from
		}
		args = append(args, a)
	}
	out, err := exec.Command("ffmpeg", append(args, path)...).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("make %s: %w: %s", name, err, out)
	}
	return path, nil
}

// join writes a file with the bytes of several clips.
func join(t testing.TB, name string, parts ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	out, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer out.Close()
	for _, p := range parts {
		in, err := os.Open(clip(t, p))
		if err != nil {
			t.Fatal(err)
		}
		_, err = io.Copy(out, in)
		in.Close()
		if err != nil {
			t.Fatal(err)
		}
	}
	return path
}
