package poolside

import (
	"context"
	"errors"
	"time"

	"underkick/internal/limit"
	"underkick/internal/record"
)

// problemOf splits errors: what a coach can mend goes onto the page.
func problemOf(err error) (string, bool) {
	var faults record.Faults
	if errors.Is(err, ErrInput) || errors.As(err, &faults) {
		return err.Error(), true
	}
	return "", false
}

// ownRuns returns the swimmer's measured runs as the finding compares them,
// oldest first. Their results come without kicks and are not to be changed.
func (a *App) ownRuns(ctx context.Context, w record.Swimmer) ([]limit.Run, error) {
	_, runs, err := a.measuredRuns(ctx, w.ID)
	return runs, err
}

func personOf(w record.Swimmer) limit.Person {
	return limit.Person{BirthYear: w.BirthYear, Sex: w.Sex.Body(), Level: limit.Level(w.Level)}
}

// yearOf returns the year of a day, 0 when not known.
func yearOf(d record.Date) int {
	if t, err := time.Parse(time.DateOnly, string(d)); err == nil {
		return t.Year()
	}
	return 0
}

// longDate writes a day as a sentence says it: 3 May 2026.
func longDate(d record.Date) string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return string(d)
	}
	return t.Format("2 January 2006")
}
