package film

import (
	"context"
	"crypto/md5"
	"errors"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"
)

// write makes a file of the test with the content.
func write(t testing.TB, name string, content []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func noise(n int) []byte {
	rng := rand.New(rand.NewPCG(1, 2))
	b := make([]byte, n)
	for k := range b {
		b[k] = byte(rng.Uint32())
	}
	return b
}

// TestRefusals checks cause and words of every kind of file that is no clip.
func TestRefusals(t *testing.T) {
	e := native(t)
	secret := clip(t, "cfr60.mp4")
	script := "ffconcat version 1.0\nfile " + secret + "\n"
	playlist := "#EXTM3U\n#EXT-X-TARGETDURATION:3\n#EXTINF:3,\nfile://" + secret + "\n#EXT-X-ENDLIST\n"
	jpg, err := os.ReadFile(clip(t, "still.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	cases := []struct {
		name, path string
		cause      error
		says       string
	}{
		{"empty", write(t, "zero.mp4", nil), ErrEmpty, "zero.mp4 is empty"},
		{"text", write(t, "text.mp4", []byte("hello, I am a text file")), ErrNotFilm, "not a film"},
		{"random", write(t, "random.mp4", noise(300000)), ErrNotFilm, "not a film"},
		{"concat script", write(t, "script.mp4", []byte(script)), ErrNotFilm, "not a film file"},
		{"playlist", write(t, "list.mp4", []byte(playlist)), ErrNotFilm, "not a film file"},
		{"JPEG as MP4", write(t, "jpg.mp4", jpg), ErrNotFilm, "not a film file"},
		{"bare stream", clip(t, "raw.h264"), ErrNotFilm, "not a film file"},
		{"sound", clip(t, "audio.m4a"), ErrNoVideo, "no moving picture"},
		{"sound with cover", clip(t, "cover.m4a"), ErrNoVideo, "no moving picture"},
		{"one frame", clip(t, "oneframe.mp4"), ErrTooFew, "at least two"},
		{"cut before its contents", clip(t, "truncmoov.mp4"), ErrUnfinished, "did not finish"},
		{"nothing decodable", clip(t, "headless.ts"), ErrNotFilm, "cannot be read"},
		{"folder", t.TempDir(), ErrNotFilm, "not a file"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := e.Probe(t.Context(), c.path)
			if !errors.Is(err, c.cause) || !errors.Is(err, ErrRefused) {
				t.Errorf("got %v, want cause %v", err, c.cause)
			}
			if err == nil || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "0x") {
				t.Errorf("says %q, want it to say %q", err, c.says)
			}
		})
	}
	if _, err := e.Probe(t.Context(), filepath.Join(t.TempDir(), "none.mp4")); !errors.Is(err, os.ErrNotExist) || errors.Is(err, ErrRefused) {
		t.Errorf("missing file: %v", err)
	}
}

// TestEmbeddedRefuses checks that the embedded engine refuses the same, above
// all the script that points at another file. It needs no native ffmpeg.
func TestEmbeddedRefuses(t *testing.T) {
	e := embedded(t)
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "victim.mp4"), selfTestClip, 0o600); err != nil {
		t.Fatal(err)
	}
	script := filepath.Join(dir, "script.mp4")
	if err := os.WriteFile(script, []byte("ffconcat version 1.0\nfile victim.mp4\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := e.Probe(t.Context(), script); !errors.Is(err, ErrNotFilm) {
		t.Errorf("concat script: %v", err)
	}
	if _, err := e.Probe(t.Context(), write(t, "random.mp4", noise(100000))); !errors.Is(err, ErrNotFilm) {
		t.Errorf("random bytes: %v", err)
	}
	if err := e.selfTest(t.Context()); err != nil {
		t.Errorf("a sound clip: %v", err)
	}
}

// TestStrangeNames checks names that ffmpeg would take for an option or for an
// address if it were handed them as they are.
func TestStrangeNames(t *testing.T) {
	e := native(t)
	dir := t.TempDir()
	t.Chdir(dir)
	names := []string{"-x.mp4", "with space & 'quote'.mp4", "%03d.mp4", "Übung Ä.mp4"}
	if runtime.GOOS != "windows" {
		names = append(names, "http:x.mp4", "concat:x.mp4", "a|b.mp4")
	}
	for _, name := range names {
		if err := os.WriteFile(name, selfTestClip, 0o600); err != nil {
			t.Fatal(err)
		}
		rep, err := e.Decode(t.Context(), name, Request{}, func(Picture) error { return nil })
		if err != nil || rep.Pictures != 4 {
			t.Errorf("%s: %d pictures, %v", name, rep.Pictures, err)
		}
	}
	if testing.Short() {
		return
	}
	if err := embedded(t).Encode(t.Context(), EncodeRequest{Width: 16, Height: 16, FPS: Ratio{10, 1}, Layout: Gray},
		"-out put.mp4", flat(3)); err != nil {
		t.Error(err)
	}
	if info, err := embedded(t).Probe(t.Context(), "-out put.mp4"); err != nil || info.Frames != 3 {
		t.Error(info.Frames, err)
	}
}

// TestWarnings checks what is said of doubtful clips, and that nothing is said
// of sound ones.
func TestWarnings(t *testing.T) {
	e := native(t)
	cases := []struct {
		name string
		want []WarningCode
	}{
		{"cfr60.mp4", nil},
		{"noedit.mp4", nil},
		{"frag.mp4", nil},
		{"full.ts", nil},
		{"wrap.ts", nil},
		{"ntsc.mp4", nil},
		{"audiofirst.mp4", nil},
		{"hevc10.mp4", nil},
		{"oddmjpeg.avi", nil},
		{"vfr.mp4", []WarningCode{WarnVariable}},
		{"vfr6030.mp4", []WarningCode{WarnVariable}},
		{"slow.mp4", []WarningCode{WarnSlowMotion}},
		{"late.mkv", []WarningCode{WarnRoundedClock}},
		{"vp9.webm", []WarningCode{WarnRoundedClock}},
		{"editlist.mp4", []WarningCode{WarnHidden}},
		{"trimmed.mp4", []WarningCode{WarnHidden}},
		{"trimend.mp4", []WarningCode{WarnHidden}},
		{"truncfast.mp4", []WarningCode{WarnTruncated, WarnGaps}},
		{"claim2h.mp4", []WarningCode{WarnHeader}},
		{"twovideo.mp4", []WarningCode{WarnTwoVideos}},
		{"nokey.ts", []WarningCode{WarnMissingStart, WarnGaps}},
		{"jump.ts", []WarningCode{WarnClockJump}},
		{"i50.mts", []WarningCode{WarnInterlaced}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			idx, err := e.Index(t.Context(), clip(t, c.name), nil)
			if err != nil {
				t.Fatal(err)
			}
			var got []WarningCode
			for _, w := range idx.Info.Warnings {
				got = append(got, w.Code)
				if !strings.HasSuffix(w.Text, ".") {
					t.Errorf("not a sentence: %s", w.Text)
				}
			}
			if fmt.Sprint(got) != fmt.Sprint(c.want) {
				t.Errorf("warnings %v, want %v", got, c.want)
			}
		})
	}
}

// TestJoined checks that only the first of joined recordings is used, with the
// pictures it had alone.
func TestJoined(t *testing.T) {
	e := native(t)
	for _, c := range []struct {
		path string
		n    int
		code WarningCode
	}{
		{join(t, "j.ts", "full.ts", "full.ts"), 180, WarnClockJump},
		{join(t, "s.ts", "big.ts", "small.ts"), 30, WarnSizeChange},
	} {
		idx, err := e.Index(t.Context(), c.path, nil)
		if err != nil {
			t.Fatal(err)
		}
		if len(idx.Frames) != c.n || !idx.Info.Has(c.code) {
			t.Errorf("%d frames, warnings %v; want %d frames and %s", len(idx.Frames), idx.Info.Warnings, c.n, c.code)
		}
		if _, err := e.Decode(t.Context(), c.path, Request{}, func(p Picture) error {
			if got := number(p, box); got != p.N || p.Width != clipW {
				t.Errorf("frame %d shows %d, %d wide", p.N, got, p.Width)
			}
			return nil
		}); err != nil {
			t.Error(err)
		}
	}
}

// TestSlowMotion checks the proposed factor: 240 frames a second filmed,
// played at 30, is an eighth.
func TestSlowMotion(t *testing.T) {
	info, err := native(t).Probe(t.Context(), clip(t, "slow.mp4"))
	if err != nil {
		t.Fatal(err)
	}
	factor, slow := info.SlowMotion()
	if !slow || factor != 0.125 || info.CaptureFPS != 240 {
		t.Errorf("factor %g, slow %v, capture %g", factor, slow, info.CaptureFPS)
	}
	if want := time.Date(2026, 5, 1, 10, 0, 0, 0, time.UTC); !info.Recorded.Equal(want) {
		t.Errorf("recorded %v, want %v", info.Recorded, want)
	}
}

// TestDamage checks that every picture that differs from the sound clip's lies
// in a stretch called damaged, and that not everything is called so.
func TestDamage(t *testing.T) {
	e := native(t)
	sums := func(name string) (all [][md5.Size]byte, rep Report) {
		rep, err := e.Decode(t.Context(), clip(t, name), Request{}, func(p Picture) error {
			all = append(all, md5.Sum(p.Data))
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		return all, rep
	}
	good, _ := sums("cfr60.mp4")
	bad, rep := sums("corrupt.mp4")
	wrong, missed, flagged := 0, 0, 0
	for n := range bad {
		in := false
		for _, s := range rep.Damaged {
			in = in || n >= s.From && n < s.To
		}
		if in {
			flagged++
		}
		if bad[n] != good[n] {
			wrong++
			if !in {
				missed++
			}
		}
	}
	t.Logf("%d wrong pictures, %d flagged, in %v", wrong, flagged, rep.Damaged)
	if wrong == 0 || missed > 0 || flagged == len(bad) {
		t.Errorf("of %d wrong pictures %d were not flagged; %d of %d flagged", wrong, missed, flagged, len(bad))
	}
}

// TestLimits checks that too long a stretch is refused and a part of it given.
func TestLimits(t *testing.T) {
	frames := func(n int, dt float64) []Frame {
		f := make([]Frame, n)
		for k := range f {
			f[k].Time = float64(k) * dt
		}
		return f
	}
	cases := []struct {
		frames   []Frame
		from, to int
		ok       bool
	}{
		{frames(720, 1./60), 0, 0, true},
		{frames(721, 1./60), 0, 0, true}, // 12 s between first and last
		{frames(722, 1./60), 0, 0, false},
		{frames(722, 1./60), 1, 0, true},
		{frames(2880, 1./240), 0, 0, true},
		{frames(2881, 1./240), 0, 0, false},
		{frames(480, 1./30), 0, 0, true}, // slow motion: few frames, whatever their time
		{frames(10, 1), -1, 5, false},
		{frames(10, 1), 5, 5, false},
		{frames(10, 1), 0, 11, false},
	}
	for k, c := range cases {
		if _, _, err := checkRange(c.frames, c.from, c.to); (err == nil) != c.ok || err != nil && !errors.Is(err, ErrRange) {
			t.Errorf("case %d: %v", k, err)
		}
	}
}

// pidLog catches the process ids that the engine logs.
type pidLog struct {
	slog.Handler
	mu   sync.Mutex
	pids []int
}

func (l *pidLog) Handle(_ context.Context, r slog.Record) error {
	r.Attrs(func(a slog.Attr) bool {
		if a.Key == "pid" {
			l.mu.Lock()
			l.pids = append(l.pids, int(a.Value.Int64()))
			l.mu.Unlock()
		}
		return true
	})
	return nil
}

func (l *pidLog) Enabled(context.Context, slog.Level) bool { return true }

// TestCancel checks that ending the context in the middle of decoding returns
// its error and leaves no child process behind, with both engines.
func TestCancel(t *testing.T) {
	native(t)
	if runtime.GOOS != "linux" {
		t.Skip("looks for the process in /proc, which only Linux has")
	}
	path := clip(t, "long.mp4")
	for _, opt := range []Options{{Prefer: Native}, {Prefer: Embedded, CacheDir: filepath.Join(testDir, "engine")}} {
		if opt.Prefer == Embedded {
			embedded(t) // compiled
		}
		log := &pidLog{}
		opt.Log = slog.New(log)
		e, err := Open(t.Context(), opt)
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithCancel(t.Context())
		rep, err := e.Decode(ctx, path, Request{}, func(p Picture) error {
			if p.N == 5 {
				cancel()
			}
			return nil
		})
		if !errors.Is(err, context.Canceled) || rep.Pictures > 530 {
			t.Errorf("%s: %d pictures, %v", e.Name(), rep.Pictures, err)
		}
		if len(log.pids) == 0 {
			t.Fatal("no process was logged")
		}
		for _, pid := range log.pids {
			if _, err := os.Stat(fmt.Sprintf("/proc/%d", pid)); !errors.Is(err, os.ErrNotExist) {
				t.Errorf("%s: process %d is still there", e.Name(), pid)
			}
		}
	}
}

// TestStop checks that an error of the receiver ends the decoding with it.
func TestStop(t *testing.T) {
	e := native(t)
	enough := errors.New("enough")
	rep, err := e.Decode(t.Context(), clip(t, "long.mp4"), Request{}, func(p Picture) error {
		if p.N == 3 {
			return enough
		}
		return nil
	})
	if !errors.Is(err, enough) || rep.Pictures != 3 {
		t.Errorf("%d pictures, %v", rep.Pictures, err)
	}
}

// TestStdin checks that child processes do not read our standard input:
// ffmpeg takes keys from it otherwise, and would swallow a terminal's.
func TestStdin(t *testing.T) {
	e := native(t)
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	old := os.Stdin
	os.Stdin = r
	defer func() { os.Stdin = old }()
	if _, err := w.WriteString("qqq"); err != nil {
		t.Fatal(err)
	}
	w.Close()
	rep, err := e.Decode(t.Context(), clip(t, "cfr60.mp4"), Request{}, func(Picture) error { return nil })
	if err != nil || rep.Pictures != 180 {
		t.Errorf("%d pictures, %v", rep.Pictures, err)
	}
	left := make([]byte, 8)
	if n, _ := r.Read(left); string(left[:n]) != "qqq" {
		t.Errorf("of the input, %q is left", left[:n])
	}
}

// TestIndexChanged checks that a clip replaced behind an index is noticed.
func TestIndexChanged(t *testing.T) {
	e := native(t)
	path := clip(t, "cfr60.mp4")
	idx, id, err := e.survey(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	promised := *idx
	promised.Frames = append([]Frame(nil), idx.Frames...)
	promised.Frames[20].PTS++
	d := &decoding{e: newEngine(e.tool, e.log), idx: &promised, id: id, req: Request{To: 40}, fn: func(Picture) error { return nil }}
	if _, err := d.run(t.Context()); !errors.Is(err, ErrIndexChanged) {
		t.Errorf("got %v", err)
	}
	if again := d.e.recall(id); again == nil || again.Info.Exact {
		t.Error("the index is still trusted")
	}
}
