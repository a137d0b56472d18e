package record

import (
	"math"
	"time"

	"underkick/internal/kick"
)

// Sense is on which side of its target a goal is reached.
type Sense string

// The senses.
const (
	AtLeast Sense = "at least"
	AtMost  Sense = "at most"
)

// Senses lists them.
func Senses() []Sense { return []Sense{AtLeast, AtMost} }

// Goal is what a measure of a swimmer should be by a day. Its versions are only ever
// added.
type Goal struct {
	ID        string
	SwimmerID string
	Measure   string // id, one of kick.Definitions with a unit; never changes
	Created   time.Time

	Sense   Sense
	Target  float64 // in the measure's unit
	On      Date    // the day by which
	Notes   string
	Removed bool // off the lists but its own history

	Seq int64 // which version this is: 1, 2, 3 ...
	By  string
	At  time.Time // of the version
}

// Validate returns nil or Faults of swimmer, measure, sense, target (finite), on, notes,
// by. What a drill must not say, notes must not say.
func (g Goal) Validate() error {
	var f Faults
	f.required("swimmer", g.SwimmerID, "the swimmer")
	if unit, ok := unitOf(g.Measure); !ok || unit == "" {
		f.add("measure", "is %q, which is no measure that has a number; choose one of the list", g.Measure)
	}
	if g.Sense != AtLeast && g.Sense != AtMost {
		f.add("sense", "is %q; say at least or at most", string(g.Sense))
	}
	if math.IsNaN(g.Target) || math.Abs(g.Target) > 1e6 {
		f.add("target", "is no number that a measure could have; write it in the unit of the measure")
	}
	f.date("on", g.On, true)
	f.text("notes", g.Notes, maxNotes)
	f.airless("notes", g.Notes)
	f.text("by", g.By, maxName)
	return f.err()
}

// Overdue reports whether the day of a goal that stands has passed.
func (g Goal) Overdue(today Date) bool { return !g.Removed && g.On < today }

func unitOf(measure string) (string, bool) {
	for _, d := range kick.Definitions() {
		if d.ID == measure {
			return d.Unit, true
		}
	}
	return "", false
}
