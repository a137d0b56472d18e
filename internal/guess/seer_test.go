package guess

import (
	"context"
	"errors"
	"image"
	"math"
	"os"
	"path/filepath"
	"testing"

	"underkick/internal/guess/network"
)

func TestWhatWasSeenIsKept(t *testing.T) {
	path := filepath.Join(t.TempDir(), "seen.jsonl")
	s := &seer{progress: func() {}}
	if err := s.openSeen(path); err != nil {
		t.Fatal(err)
	}
	var pts [network.Points]network.Point
	for i := range pts {
		pts[i] = network.Point{X: float64(3 * i), Y: 100, Visible: 0.5}
	}
	c := around(xy{700, 300}, xy{200, 310}, true)
	want := newSight(12, c, pts)
	if err := errors.Join(s.keep(want), s.keep(newSight(14, c, pts)), s.close()); err != nil {
		t.Fatal(err)
	}
	// A stop in the middle of a line leaves it without an end.
	f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	_, err = f.WriteString(`{"frame":16,"poi`)
	if err := errors.Join(err, f.Close()); err != nil {
		t.Fatal(err)
	}
	s = &seer{progress: func() {}}
	if err := s.openSeen(path); err != nil {
		t.Fatal(err)
	}
	if got, ok := s.recall(12, true); !ok || got != want {
		t.Errorf("recalled %v, %v", got, ok)
	}
	if _, ok := s.recall(12, false); ok {
		t.Error("the mirror image was not looked at otherwise")
	}
	if err := errors.Join(s.keep(newSight(16, c, pts)), s.close()); err != nil {
		t.Fatal(err)
	}
	s = &seer{progress: func() {}}
	if err := s.openSeen(path); err != nil || len(s.seen) != 3 {
		t.Errorf("%d frames, %v", len(s.seen), err)
	}
	if err := s.close(); err != nil {
		t.Error(err)
	}
}

func TestStartsThatCannotBeMeant(t *testing.T) {
	good := Request{
		Clip: "a", Width: 640, Height: 360, From: 0, To: 50, CacheDir: t.TempDir(),
		Start: Start{Frame: 10, FingertipX: 500, FingertipY: 200, ToeX: 100, ToeY: 210},
	}
	good.Pictures = func(_ context.Context, _ int) (image.Image, error) { return nil, errors.New("not read") }
	for name, spoil := range map[string]func(*Request){
		"frame outside":   func(r *Request) { r.Start.Frame = 50 },
		"point outside":   func(r *Request) { r.Start.ToeX = -3 },
		"too short":       func(r *Request) { r.Start.ToeX, r.Start.ToeY = 480, 200 },
		"one frame":       func(r *Request) { r.From, r.To = 10, 11 },
		"not a number":    func(r *Request) { r.Start.ToeY = math.NaN() },
		"before the clip": func(r *Request) { r.From = -1 },
	} {
		r := good
		spoil(&r)
		if _, err := Run(t.Context(), r); !errors.Is(err, ErrStart) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if a, b := good.key(), func() string { r := good; r.Start.ToeX++; return r.key() }(); a == b {
		t.Error("another start has the same key")
	}
}

// TestOnlyWhatIsKept reads a guess that somebody else is writing: nothing is made,
// nothing is cut off, and what is not there is an error of its own.
func TestOnlyWhatIsKept(t *testing.T) {
	dir := t.TempDir()
	req := Request{
		Clip: "a", Width: 640, Height: 360, To: 50, CacheDir: dir, Kept: true,
		Start: Start{Frame: 10, FingertipX: 500, FingertipY: 200, ToeX: 100, ToeY: 210},
	}
	if _, err := Run(t.Context(), req); !errors.Is(err, ErrNotKept) {
		t.Errorf("nothing kept: %v", err)
	}
	if _, err := os.Stat(filepath.Join(dir, "guess")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a folder was made, %v", err)
	}
	path := filepath.Join(Dir(dir, "a"), req.key()+".jsonl")
	text := []byte(`{"frame":10,"points":[]}` + "\n" + `{"frame":12,"po`)
	if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o700), os.WriteFile(path, text, 0o600)); err != nil {
		t.Fatal(err)
	}
	if _, err := Run(t.Context(), req); !errors.Is(err, ErrNotKept) {
		t.Errorf("half kept: %v", err)
	}
	if after, err := os.ReadFile(path); err != nil || string(after) != string(text) {
		t.Errorf("the file was changed to %q, %v", after, err)
	}
}

func TestStepAt(t *testing.T) {
	for fps, want := range map[float64]int{25: 1, 60: 1, 99.9: 1, 100: 2, 120: 2, 240: 4} {
		if got := StepAt(fps); got != want {
			t.Errorf("%g: %d, want %d", fps, got, want)
		}
	}
}
