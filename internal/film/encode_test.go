package film

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
)

// flat gives n pictures of one grey each, 20 steps apart.
func flat(n int) func([]byte) error {
	k := 0
	return func(b []byte) error {
		if k == n {
			return io.EOF
		}
		for i := range b {
			b[i] = byte(40 + 20*k)
		}
		k++
		return nil
	}
}

// TestEncode checks that equal pictures give equal files, that the film has
// the frames, times and greys that were put in, and that nothing else is left.
// Grey v of 0 to 255 is luma 16 + 219 v / 255 (ITU-R BT.709-6, item 3.4 and 4.6).
func TestEncode(t *testing.T) {
	for name, open := range map[string]func(testing.TB) *Engine{"native": native, "embedded": embedded} {
		t.Run(name, func(t *testing.T) { checkEncode(t, open(t)) })
	}
}

func checkEncode(t *testing.T, e *Engine) {
	dir := t.TempDir()
	req := EncodeRequest{Width: 64, Height: 48, FPS: Ratio{60000, 1001}, BFrames: 2}
	var files [2][]byte
	for k, name := range []string{"a.mp4", "b.mp4"} {
		if err := e.Encode(t.Context(), req, filepath.Join(dir, name), flat(10)); err != nil {
			t.Fatal(err)
		}
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		files[k] = b
	}
	if !bytes.Equal(files[0], files[1]) {
		t.Errorf("%s: equal pictures gave different files", e.Name())
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	_, err := e.Decode(t.Context(), filepath.Join(dir, "a.mp4"), Request{}, func(p Picture) error {
		want := 16 + 219*float64(40+20*p.N)/255
		if got := float64(p.Data[24*64+32]); got < want-2 || got > want+2 {
			t.Errorf("%s: frame %d has luma %g, want %.1f", e.Name(), p.N, got, want)
		}
		if want := float64(p.N) * 1001 / 60000; p.Time < want-1e-9 || p.Time > want+1e-9 {
			t.Errorf("%s: frame %d at %g, want %g", e.Name(), p.N, p.Time, want)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
	if info, err := e.Probe(t.Context(), filepath.Join(dir, "a.mp4")); err != nil || info.Frames != 10 || len(info.Warnings) > 0 {
		t.Errorf("%+v, %v", info, err)
	}
}

// TestEncodeFails checks that failures leave an older file as it was and no
// part of a new one.
func TestEncodeFails(t *testing.T) {
	e := native(t)
	dir := t.TempDir()
	out := filepath.Join(dir, "film.mp4")
	if err := os.WriteFile(out, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	broken := errors.New("renderer broke")
	cancelled, cancel := context.WithCancel(t.Context())
	good := EncodeRequest{Width: 64, Height: 48, FPS: Ratio{30, 1}, Layout: Gray}
	odd, still := good, good
	odd.Width, still.FPS = 63, Ratio{}
	cases := []struct {
		ctx  context.Context
		req  EncodeRequest
		next func([]byte) error
		want error
	}{
		{t.Context(), odd, flat(3), nil},
		{t.Context(), still, flat(3), nil},
		{t.Context(), good, flat(1), nil},
		{t.Context(), good, func([]byte) error { return broken }, broken},
		{cancelled, good, func([]byte) error { cancel(); return nil }, context.Canceled},
	}
	for k, c := range cases {
		err := e.Encode(c.ctx, c.req, out, c.next)
		if err == nil || c.want != nil && !errors.Is(err, c.want) {
			t.Errorf("case %d: %v", k, err)
		}
		if b, _ := os.ReadFile(out); string(b) != "old" {
			t.Errorf("case %d: the older file was changed", k)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	if err := e.Encode(t.Context(), good, filepath.Join(dir, "none", "film.mp4"), flat(3)); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("missing folder: %v", err)
	}
}

// bars gives n pictures of eight colour bars, 160 by 120.
func bars(n int) func([]byte) error {
	k := 0
	return func(b []byte) error {
		if k == n {
			return io.EOF
		}
		for i := range 160 * 120 {
			bar := i % 160 / 20
			b[3*i], b[3*i+1], b[3*i+2] = byte(40+bar&1*150), byte(40+bar>>1&1*150), byte(40+bar>>2*150)
		}
		k++
		return nil
	}
}
