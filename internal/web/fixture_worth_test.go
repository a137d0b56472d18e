package web

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sync"

	"underkick/internal/body"
	"underkick/internal/kick/kicktest"
	"underkick/internal/limit/worth"
	"underkick/internal/poolside"
)

// fixtureAsker prepares the fixture's run once for all tests.
var fixtureAsker = sync.OnceValues(func() (*worth.Asker, error) {
	r, err := fixtureMeasured()
	if err != nil {
		return nil, err
	}
	return worth.NewAsker(worth.Run{Result: r}, fixtureSubject, 1)
})

func (f *fixture) WhatIf(_ context.Context, req poolside.WhatIfRequest) (poolside.WhatIfView, error) {
	if req.RunID != f.run.ID {
		return poolside.WhatIfView{}, poolside.ErrNotFound
	}
	view := poolside.WhatIfView{Of: "abc"}
	a, err := fixtureAsker()
	if errors.Is(err, worth.ErrRefused) || f.poor {
		view.Refused = "no estimate: The run has 2 whole kicks; at least 3 are needed."
		return view, nil
	}
	if err != nil {
		return view, err
	}
	got, err := a.Ask(req.Changes)
	if err != nil {
		return view, fmt.Errorf("%w: %w", poolside.ErrInput, err)
	}
	if b := got.SpeedChange.Value; req.Band {
		got.SpeedChange.Low, got.SpeedChange.High = b-0.03, b+0.04
	}
	view.Speed, view.Bottom = a.Measured(), 0.46
	view.SpeedChange, view.EqualEffort, view.PowerChange = got.SpeedChange, got.EqualEffort, got.PowerChange
	view.Measured, view.Changed = poolside.OutlineOf(a.Swim(), req.Phase), poolside.OutlineOf(got.Swim, req.Phase)
	return view, nil
}

func (f *fixture) SetReference(_ context.Context, runID, againstID string) error {
	if runID != f.run.ID {
		return poolside.ErrNotFound
	}
	if againstID == "easy" {
		return fmt.Errorf("the run of 8 March 2026 cannot be the reference: the effort differs: %w", poolside.ErrInput)
	}
	f.reference = againstID
	return nil
}

func (f *fixture) EstimateAgain(context.Context, string) error {
	f.again++
	return nil
}

func (f *fixture) Model(_ context.Context, runID string) (poolside.ModelView, error) {
	if runID != f.run.ID {
		return poolside.ModelView{}, poolside.ErrNotFound
	}
	v := poolside.ModelView{Swimmer: f.swimmer, Visit: f.visit(), Run: f.run, Coefficients: worth.Coefficients()}
	a, err := fixtureAsker()
	if err != nil || f.poor {
		v.Problem = "The run has 2 whole kicks; at least 3 are needed."
		return v, nil //nolint:nilerr // said on the page
	}
	o := a.Swim()
	l := o.Loads()
	v.Speed, v.Factor, v.FactorLow, v.FactorHigh = a.Measured(), o.DragFactor, 0.7, 1.4
	v.Top, v.Bottom, v.Curves, v.Efficiency, v.Draws = l.Top, l.Bottom, o.Curves(), l.Efficiency, 200
	v.Shares = []poolside.PushShare{{Segment: "feet", Down: 0.84, Up: 0.02}}
	return v, nil
}

var fixtureSubject = func() body.Subject {
	s, _ := kicktest.Reference().Subject.Complete()
	return s
}()

// fixtureWorth is an estimate in which facing leads and tempo gains only by working
// harder. Invented.
func fixtureWorth() *worth.Result {
	nan := math.NaN()
	band := func(v, low, high float64) worth.Band { return worth.Band{Value: v, Low: low, High: high, SD: nan} }
	line := func(q worth.Part, alone, share worth.Band, equal, power float64, evidence string) worth.PartLine {
		return worth.PartLine{Quality: q, SpeedChange: alone, Shapley: share, EqualEffort: equal, PowerChange: power, Evidence: evidence}
	}
	return &worth.Result{
		Limiter: "facing", Practice: "facing", Reference: "run", Speed: 1.4, Against: 1.55, Draws: 200,
		Reason:   "Facing carries the largest share of the difference to the reference run: +0.08 m/s of +0.15 m/s.",
		Sentence: "The model expects about +0.07 m/s (0.03 to 0.11) if facing were as in the reference run and everything else stays, about +0.05 m/s of it at the same effort (evidence: experiment).",
		Parts: []worth.PartLine{
			line(worth.Facing, band(0.07, 0.03, 0.11), band(0.08, nan, nan), 0.05, 0.04, "experiment: taping <of the ankles>"),
			line(worth.Sweep, band(0.01, -0.02, 0.04), band(0.01, nan, nan), -0.01, 0.05, "model only"),
			line(worth.Build, band(0.002, -0.02, 0.03), band(0, nan, nan), -0.001, 0.01, "model only"),
			line(worth.Tempo, band(0.05, 0.02, 0.08), band(0.04, nan, nan), 0, 0.16, "model only"),
			line(worth.Rest, band(0.01, -0.03, 0.05), band(0.01, nan, nan), 0.01, 0, "model only"),
		},
		Unexplained: band(0.01, nan, nan), Flags: []worth.Flag{{Code: "trim", Text: "Holding this kick level takes more than usual in the model."}},
	}
}
