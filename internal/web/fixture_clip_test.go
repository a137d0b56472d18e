package web

import (
	"context"
	"fmt"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

func (f *fixture) Clip(_ context.Context, id string) (poolside.ClipView, error) {
	if f.fail != nil {
		return poolside.ClipView{}, f.fail
	}
	if id != "c1" {
		return poolside.ClipView{}, poolside.ErrNotFound
	}
	look := &poolside.LookView{
		Runs:  []poolside.SeenRun{{First: 10, Last: 150, Right: true, Kicks: 2, Frequency: 2.1, BodyPx: 500}, {First: 180, Last: 300, Kicks: 3, BodyPx: 480}},
		Whole: true,
	}
	for i := range 20 {
		look.Ribbon = append(look.Ribbon, poolside.RibbonBit{Frame: i * 16, Share: float64(i%7) / 100})
	}
	return poolside.ClipView{
		Clip: f.clip(), Swimmer: f.swimmer, Visit: f.visit(), Look: look, FPS: fixtureRate,
		Runs: []poolside.RunProposal{
			{RunID: "r1", From: 5, To: 160, Position: record.Prone, Habit: true, Kept: true, Seen: &look.Runs[0]},
			{From: 180, To: 300, Seen: &look.Runs[1]},
		},
		Checks: []poolside.ClipCheck{poolside.CheckFrameRate(fixtureRate), poolside.CheckKicks(2)},
	}, nil
}

func (f *fixture) KeepRuns(_ context.Context, _ string, choices []poolside.RunChoice) (string, error) {
	f.chosen = choices
	for i, c := range choices {
		if c.Keep && c.Position == "" {
			return "", record.Faults{{Field: fmt.Sprintf("position_%d", i), Text: "is not said"}}
		}
	}
	return "j1", f.fail
}

func (f *fixture) LookForRuns(context.Context, string) (string, error) { return "j1", f.fail }

func (f *fixture) Preview(ctx context.Context, id string, k int) ([]byte, error) {
	if k >= poolside.PreviewPictures {
		return nil, poolside.ErrNotFound
	}
	return f.Picture(ctx, id, k)
}
