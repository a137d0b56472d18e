package web

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"underkick/internal/drawing"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

// clipFixture is what the fixture knows of made clips.
type clipFixture struct {
	asked poolside.ClipSpec // for the last clip or picture
	made  poolside.MadeView
	dir   string // of the made file
}

func (f *fixture) ClipOut(_ context.Context, runID string) (poolside.ClipOutView, error) {
	if runID != f.run.ID {
		return poolside.ClipOutView{}, poolside.ErrNotFound
	}
	v := poolside.ClipOutView{
		Swimmer: f.swimmer, Name: f.swimmer.Name, Visit: f.visit(), Run: f.run, Kicks: []int{1, 2, 3}, Widest: 960,
		Maker: "MP4 with H.264, which plays everywhere.",
		Beside: poolside.CompareChoices{Swimmers: []poolside.CompareSwimmer{
			{ID: "w2", Name: "Swimmer <2>", Squad: "Harbour Juniors", Runs: []poolside.CompareChoice{{ID: "r2", Words: "8 March 2026, 1.60 m/s"}}},
		}},
	}
	if f.poor {
		v.Problem = "Nothing is marked yet."
	}
	if f.clips.made.Job.ID != "" {
		v.Made = []poolside.MadeView{f.clips.made}
	}
	return v, nil
}

func (f *fixture) ClipPicture(ctx context.Context, spec poolside.ClipSpec) ([]byte, error) {
	f.clips.asked = spec
	if spec.Soften {
		return nil, fmt.Errorf("the face cannot be softened: %w", poolside.ErrInput)
	}
	return f.Picture(ctx, "c1", 1)
}

func (f *fixture) MakeClip(_ context.Context, spec poolside.ClipSpec) (string, error) {
	f.clips.asked = spec
	if spec.Audience == record.OutsideSquad {
		return "", fmt.Errorf("Mira Okonjo: no consent for <that>: %w", poolside.ErrInput)
	}
	f.clips.made = poolside.MadeView{
		Job: poolside.JobView{ID: "j7", State: "running", Fraction: 0.25, Doing: "drawing and writing, picture 5 of 20"}, Spec: spec, RunID: "r1",
		Words: "Kick 2, a quarter of the speed",
	}
	return "j7", nil
}

func (f *fixture) Made(_ context.Context, jobID string) (poolside.MadeView, error) {
	if jobID != f.clips.made.Job.ID || jobID == "" {
		return poolside.MadeView{}, poolside.ErrNotFound
	}
	return f.clips.made, nil
}

func (f *fixture) MadeClip(_ context.Context, jobID string) (string, string, error) {
	if jobID != f.clips.made.Job.ID || f.clips.dir == "" {
		return "", "", poolside.ErrNotFound
	}
	return filepath.Join(f.clips.dir, "made.mp4"), "video/mp4", nil
}

// finish makes the fixture's clip be done, with a file of ten bytes.
func (c *clipFixture) finish(t *testing.T) {
	t.Helper()
	c.dir = t.TempDir()
	if err := os.WriteFile(filepath.Join(c.dir, "made.mp4"), []byte("0123456789"), 0o600); err != nil {
		t.Fatal(err)
	}
	c.made = poolside.MadeView{
		Job: poolside.JobView{ID: "j7", State: "done", Fraction: 1}, RunID: "r1", Words: "Kick 2, a quarter of the speed",
		Spec: poolside.ClipSpec{Runs: []poolside.ClipRun{{RunID: "r1", Kick: 2}}, Slow: 4, Layers: drawing.Only(drawing.ClockLayer)},
		Type: "video/mp4", Name: "Mira Okonjo kick-2026-05-03-slow4.mp4", Note: "960 by 540 px.",
	}
}
