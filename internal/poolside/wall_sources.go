package poolside

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"

	"underkick/internal/limit/worth"
	"underkick/internal/record"
	"underkick/internal/report"
	"underkick/internal/store"
	"underkick/internal/wall"
)

// wallSwimmer gathers what a plan needs of a kept swimmer.
func (a *App) wallSwimmer(ctx context.Context, w record.Swimmer) (WallSwimmer, error) {
	who := WallSwimmer{Mass: w.MassKg, Height: w.HeightM, Female: w.Sex == record.Female}
	if w.MassKg == 0 && w.HeightM > 0 {
		s, _ := w.Subject().Complete()
		who.Mass = s.Mass
	}
	runs, err := a.kickRuns(ctx, w.ID)
	if err != nil {
		return who, err
	}
	ladders, err := a.ladderSources(ctx, w.ID)
	if err != nil {
		return who, err
	}
	who.Own = append(runs, ladders...)
	return who, nil
}

// kickRuns returns the measured runs that have a speed and a tempo, newest first.
func (a *App) kickRuns(ctx context.Context, swimmerID string) ([]KickSource, error) {
	measured, err := a.store.Measured(ctx, swimmerID, "speed", "kick_frequency")
	if err != nil {
		return nil, err
	}
	var list []KickSource
	for _, m := range slices.Backward(measured) {
		run, err := a.store.Run(ctx, m.RunID)
		if err != nil {
			return nil, err
		}
		s, ok := kickSource(m, run)
		if !ok {
			continue
		}
		if err := a.addEstimate(ctx, m.RunID, &s); err != nil {
			return nil, err
		}
		list = append(list, s)
	}
	return list, nil
}

// addEstimate takes the personal factor and the limiter's worth from the newest kept estimate of
// the run.
func (a *App) addEstimate(ctx context.Context, runID string, s *KickSource) error {
	text, err := a.store.LatestEstimate(ctx, runID, worth.Method)
	if errors.Is(err, ErrNotFound) {
		return nil
	}
	if err != nil {
		return err
	}
	var kept report.WorthDocument
	if err := json.Unmarshal(text, &kept); err != nil {
		return fmt.Errorf("read the estimate of run %s: %w", runID, err)
	}
	if kept.Refused {
		return nil
	}
	if factor := float64(kept.Factor); factor > 0 {
		s.Factor = factor
	}
	for _, w := range kept.Worth {
		if w.Quality == kept.Limiter && w.SpeedChange > 0 {
			s.Limiter = w.Quality
			s.Worth = wall.Given{Value: float64(w.SpeedChange), SD: bandSD(float64(w.Low), float64(w.High)), From: s.Words}
		}
	}
	return nil
}

func kickSource(m store.Measured, run record.Run) (KickSource, bool) {
	speed, tempo := keptMeasure(m.Values, "speed"), keptMeasure(m.Values, "kick_frequency")
	if speed == nil || tempo == nil || !(speed.Value > 0) || !(tempo.Value > 0) {
		return KickSource{}, false
	}
	words := "run of " + longDate(m.On)
	if run.Repeat > 0 {
		words += fmt.Sprintf(", number %d", run.Repeat)
	}
	return KickSource{
		Key: "run:" + m.RunID, Words: words,
		Speed:  wall.Given{Value: speed.Value, SD: math.Hypot(bandSD(speed.Low, speed.High), ownRunRel*speed.Value), From: words},
		Tempo:  wall.Given{Value: tempo.Value, SD: math.Hypot(bandSD(tempo.Low, tempo.High), ownRunRel*tempo.Value), From: words},
		Supine: run.Position == record.Supine, Easy: run.Effort == record.Easy, Fins: run.Equipment,
	}, true
}

// ladderSources returns the kept ladders that can be read, newest first.
func (a *App) ladderSources(ctx context.Context, swimmerID string) ([]KickSource, error) {
	plans, err := a.store.Plans(ctx, swimmerID)
	if err != nil {
		return nil, err
	}
	var list []KickSource
	for _, p := range slices.Backward(plans) {
		if p.Kind != record.TempoLadder || p.Removed {
			continue
		}
		var in LadderInput
		if err := json.Unmarshal(p.Body, &in); err != nil {
			return nil, fmt.Errorf("read tempo ladder %s: %w", p.ID, err)
		}
		if l, err := wall.Climb(in.Steps); err == nil {
			words := "tempo ladder " + p.Name
			l.Top.From, l.Tempo.From = words, words
			list = append(list, KickSource{Key: "ladder:" + p.ID, Words: words, Speed: l.Top, Tempo: l.Tempo})
		}
	}
	return list, nil
}
