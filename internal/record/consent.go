package record

import (
	"slices"
	"time"
)

// Purpose is what a consent is given for.
type Purpose string

// The purposes.
const (
	ForFilming Purpose = "filming" // to be filmed, and the film kept
	ForSquad   Purpose = "squad"   // to be shown to the own squad
	ForOutside Purpose = "outside" // to be shown to anybody else
)

// Purposes lists the purposes, in the order of the form.
func Purposes() []Purpose { return []Purpose{ForFilming, ForSquad, ForOutside} }

// Words returns the purpose as a sentence says it: "showing in the squad".
func (p Purpose) Words() string {
	switch p {
	case ForFilming:
		return "filming"
	case ForSquad:
		return "showing in the squad"
	case ForOutside:
		return "showing outside the squad"
	}
	return string(p)
}

// Giver is as what somebody gave a consent.
type Giver string

// The givers.
const (
	BySwimmer Giver = "swimmer"
	ByParent  Giver = "parent or guardian"
)

// Givers lists the givers, in the order of the form.
func Givers() []Giver { return []Giver{BySwimmer, ByParent} }

// OfAge is the age, in years, from which a swimmer gives consent alone.
const OfAge = 18

// Minor reports whether a swimmer born in a year may be under OfAge on a day. Only
// the year is known, so the whole year of the birthday counts as under age; so does
// a year of birth of 0 = not known, and a day that is none.
func Minor(birthYear int, on Date) bool {
	t, err := time.Parse(dateFormat, string(on))
	return err != nil || birthYear == 0 || t.Year()-birthYear <= OfAge
}

// GiverOf returns who must give consent for a swimmer on a day.
func GiverOf(birthYear int, on Date) Giver {
	if Minor(birthYear, on) {
		return ByParent
	}
	return BySwimmer
}

// Consent is what one person allowed to be done with film of a swimmer. It is never
// deleted but with the swimmer, only withdrawn.
type Consent struct {
	ID        string
	SwimmerID string
	GivenBy   string // name of who gave it
	As        Giver
	On        Date      // first day
	Until     Date      // last day; empty = no end was named
	For       []Purpose // in the order of Purposes, at least one
	Withdrawn Date      // from this day on it allows nothing; empty = it was not withdrawn
	Notes     string
	Created   time.Time
}

// Validate returns nil or Faults of swimmer, given_by, as, on, until (not before
// on), for (at least one, none twice), withdrawn (not before on), notes.
func (c Consent) Validate() error {
	var f Faults
	f.required("swimmer", c.SwimmerID, "the swimmer")
	f.name("given_by", c.GivenBy)
	if !slices.Contains(Givers(), c.As) {
		f.add("as", "is %q; choose whether the swimmer or a parent or guardian gave it", string(c.As))
	}
	f.date("on", c.On, true)
	f.date("until", c.Until, false)
	if c.Until != "" && c.Until < c.On {
		f.add("until", "lies before the day it was given")
	}
	if len(c.For) == 0 {
		f.add("for", "is empty; choose what it allows")
	}
	for i, p := range c.For {
		if !slices.Contains(Purposes(), p) || slices.Contains(c.For[:i], p) {
			f.add("for", "holds %q; name each of filming, squad, outside once at most", string(p))
		}
	}
	f.date("withdrawn", c.Withdrawn, false)
	if c.Withdrawn != "" && c.Withdrawn < c.On {
		f.add("withdrawn", "lies before the day it was given")
	}
	f.text("notes", c.Notes, maxNotes)
	return f.err()
}

// Ended returns the first day on which the consent allows nothing any more, empty
// when no end is known.
func (c Consent) Ended() Date {
	end := c.Withdrawn
	if c.Until != "" {
		if after := c.Until.AddDays(1); end == "" || after < end {
			end = after
		}
	}
	return end
}

// Allows reports whether this consent allows p on a day to a swimmer born in a year
// (0 = not known): the day is one of its days, p is named, it is not withdrawn, and
// who gave it was the one to give it, both on the day it was given and on this day. A
// parent's ends when the swimmer is of age; a swimmer's own that was given under age
// never counts.
func (c Consent) Allows(birthYear int, p Purpose, on Date) bool {
	if !on.Valid() || !slices.Contains(c.For, p) || on < c.On {
		return false
	}
	if end := c.Ended(); end != "" && on >= end {
		return false
	}
	return c.As == GiverOf(birthYear, c.On) && c.As == GiverOf(birthYear, on)
}

// Allowed reports whether one of the consents allows p on a day to a swimmer born
// in a year (0 = not known); see Consent.Allows.
func Allowed(birthYear int, consents []Consent, p Purpose, on Date) bool {
	return slices.ContainsFunc(consents, func(c Consent) bool { return c.Allows(birthYear, p, on) })
}

// AllowedUntil returns the last day up to which p is allowed without a gap from a
// day on; empty = no end is known. False when it is not allowed on that day.
func AllowedUntil(birthYear int, consents []Consent, p Purpose, on Date) (Date, bool) {
	last, ok := Date(""), false
	for day := on; ; {
		next := Date("")
		for _, c := range consents {
			if !c.Allows(birthYear, p, day) {
				continue
			}
			end := c.lastDay(birthYear)
			if end == "" {
				return "", true
			}
			next = max(next, end)
		}
		if next == "" {
			return last, ok
		}
		last, ok = next, true
		day = next.AddDays(1)
	}
}

// lastDay is the last day on which the consent allows anything to a swimmer born in
// a year, empty when no end is known.
func (c Consent) lastDay(birthYear int) Date {
	last := Date("")
	if end := c.Ended(); end != "" {
		last = end.AddDays(-1)
	}
	if c.As == ByParent && birthYear > 0 {
		grown := DateOf(time.Date(birthYear+OfAge, time.December, 31, 0, 0, 0, 0, time.UTC))
		if last == "" || grown < last {
			last = grown
		}
	}
	return last
}
