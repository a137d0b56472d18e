package poolside

import (
	"context"
	"fmt"

	"underkick/internal/body"
	"underkick/internal/record"
)

// Growth returns what was measured of a swimmer's height and mass, newest first.
func (a *App) Growth(ctx context.Context, swimmerID string) ([]record.Growth, error) {
	if _, err := a.store.Swimmer(ctx, swimmerID); err != nil {
		return nil, fmt.Errorf("list heights and masses: %w", err)
	}
	list, err := a.store.Growth(ctx, swimmerID)
	for i, j := 0, len(list)-1; i < j; i, j = i+1, j-1 {
		list[i], list[j] = list[j], list[i]
	}
	return list, err
}

// HeightOn returns the height of a swimmer that was measured nearest to a day, m, and when
// it was; 0 when none is known.
func (a *App) HeightOn(ctx context.Context, swimmerID string, day record.Date) (heightM float64, measured record.Date, err error) {
	history, err := a.store.Growth(ctx, swimmerID)
	if err != nil {
		return 0, "", err
	}
	w := record.Swimmer{}.Grown(history, day)
	return w.HeightM, w.HeightOn, nil
}

// KeepGrowth keeps a height, a mass or both of one day, "" = today, and has the runs
// measured again for which it is the nearest. It returns how many.
func (a *App) KeepGrowth(ctx context.Context, g record.Growth) (runs int, err error) {
	if g.On == "" {
		g.On = record.Date(today())
	}
	return a.grow(ctx, g.SwimmerID, func(ctx context.Context) error { return a.store.KeepGrowth(ctx, g) })
}

// RemoveGrowth takes a day's height and mass away, as KeepGrowth adds them; "" is the entry
// whose day is not known.
func (a *App) RemoveGrowth(ctx context.Context, swimmerID string, on record.Date) (runs int, err error) {
	return a.grow(ctx, swimmerID, func(ctx context.Context) error { return a.store.RemoveGrowth(ctx, swimmerID, on) })
}

// grow changes a swimmer's history and has the runs measured again that stand on another
// height or mass then: both are kept, or neither.
func (a *App) grow(ctx context.Context, swimmerID string, change func(ctx context.Context) error) (runs int, err error) {
	err = a.store.Together(ctx, func(ctx context.Context) error {
		if _, err := a.store.Swimmer(ctx, swimmerID); err != nil {
			return fmt.Errorf("keep height and mass: %w", err)
		}
		before, err := a.store.Growth(ctx, swimmerID)
		if err != nil {
			return err
		}
		if err := change(ctx); err != nil {
			return err
		}
		after, err := a.store.Growth(ctx, swimmerID)
		if err != nil {
			return err
		}
		measured, err := a.store.MeasuredDays(ctx, swimmerID)
		if err != nil {
			return err
		}
		var again []string
		for _, r := range measured {
			if nobody := (record.Swimmer{}); bodyOf(nobody, before, r.On) != bodyOf(nobody, after, r.On) {
				again = append(again, r.RunID)
			}
		}
		runs = len(again)
		return a.store.RenewRuns(ctx, again...)
	})
	if err == nil && runs > 0 {
		err = a.renewSoon(ctx)
	}
	if err != nil {
		return 0, err
	}
	return runs, nil
}

func bodyOf(w record.Swimmer, history []record.Growth, on record.Date) body.Subject {
	return w.Grown(history, on).Subject()
}

// BodyWords says with which height and mass a run was measured, and when those were.
func BodyWords(w record.Swimmer) string {
	one := func(what string, known bool, on record.Date) string {
		switch {
		case !known:
			return ""
		case on == "":
			return what + " (day not noted)"
		}
		return what + " of " + longDate(on)
	}
	height := one(fmt.Sprintf("%.2f\u00a0m", w.HeightM), w.HeightM > 0, w.HeightOn)
	mass := one(fmt.Sprintf("%.0f\u00a0kg", w.MassKg), w.MassKg > 0, w.MassOn)
	switch {
	case height == "" && mass == "":
		return "neither height nor mass is noted"
	case mass == "":
		return height + ", mass not noted"
	case height == "":
		return mass + ", height not noted"
	case w.HeightOn == w.MassOn && w.HeightOn != "":
		return fmt.Sprintf("%.2f\u00a0m and %.0f\u00a0kg of %s", w.HeightM, w.MassKg, longDate(w.HeightOn))
	}
	return height + ", " + mass
}

// FinishWork waits until all background work has ended, for whoever closes the app next.
func (a *App) FinishWork(ctx context.Context) error {
	open, err := a.store.OpenJobs(ctx)
	if err != nil {
		return err
	}
	for _, j := range open {
		if _, err := a.jobs.Wait(ctx, j.ID); err != nil {
			return fmt.Errorf("wait for the background work: %w", err)
		}
	}
	return nil
}
