package limit

import (
	"math"

	"underkick/internal/kick"
)

// Reach is where a measure stands against a goal, by its band.
type Reach string

// What the band of a measure can say.
const (
	Reached    Reach = "reached"        // the whole band is at or past the target
	Undecided  Reach = "not told apart" // the band holds the target
	NotReached Reach = "not reached"    // the whole band is short of the target
	Unmeasured Reach = ""               // there is no value, or no band
)

// Against holds a measure against a target in the measure's unit: at least, or where
// atMost, at most. Only the band counts: a value past the target whose band is not past it
// is undecided.
func Against(m kick.Measure, target float64, atMost bool) Reach {
	low, high := m.Low, m.High
	if math.IsNaN(m.Value) || math.IsNaN(low) || math.IsNaN(high) {
		return Unmeasured
	}
	if atMost {
		low, high, target = -high, -low, -target
	}
	switch {
	case low >= target:
		return Reached
	case high < target:
		return NotReached
	}
	return Undecided
}
