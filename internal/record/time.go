package record

import (
	"fmt"
	"time"
)

// TimeFormat is the one text form of a moment: UTC, milliseconds, fixed width,
// so that texts sort as the moments do.
const TimeFormat = "2006-01-02T15:04:05.000Z"

// FormatTime returns t in TimeFormat, cut to the millisecond.
func FormatTime(t time.Time) string { return t.UTC().Format(TimeFormat) }

// ParseTime reads a text in TimeFormat.
func ParseTime(s string) (time.Time, error) {
	t, err := time.Parse(TimeFormat, s)
	if err != nil {
		return time.Time{}, fmt.Errorf("read a moment: %w", err)
	}
	return t, nil
}

const dateFormat = "2006-01-02"

// Date is a day, YYYY-MM-DD; empty = not known. Dates compare as texts do.
type Date string

// DateOf returns the day of t where t stands.
func DateOf(t time.Time) Date { return Date(t.Format(dateFormat)) }

// Valid reports whether d is an existing day of the years 1900 to 2199.
func (d Date) Valid() bool {
	t, err := time.Parse(dateFormat, string(d))
	return err == nil && t.Year() >= 1900 && t.Year() < 2200
}

// AddMonths returns the day n months later; where that month is shorter, its last
// day. A day that is none stays as it is.
func (d Date) AddMonths(n int) Date {
	t, err := time.Parse(dateFormat, string(d))
	if err != nil {
		return d
	}
	first := time.Date(t.Year(), t.Month()+time.Month(n), 1, 0, 0, 0, 0, time.UTC)
	last := first.AddDate(0, 1, -1).Day()
	return DateOf(first.AddDate(0, 0, min(t.Day(), last)-1))
}

// AddDays returns the day n days later; a day that is none stays as it is.
func (d Date) AddDays(n int) Date {
	t, err := time.Parse(dateFormat, string(d))
	if err != nil {
		return d
	}
	return DateOf(t.AddDate(0, 0, n))
}

func (f *Faults) date(field string, d Date, needed bool) {
	switch {
	case d == "" && !needed:
	case d == "":
		f.add(field, "is missing; write it as YYYY-MM-DD")
	case !d.Valid():
		f.add(field, "is %q; write it as YYYY-MM-DD, such as 2026-03-09", string(d))
	}
}
