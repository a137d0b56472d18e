package spread

import "math"

// Bounds is what a quantity can be at all: a share lies from 0 to 1, a travel is not
// negative. Ends are -Inf and +Inf where there is none.
type Bounds struct{ Least, Most float64 }

// Unbounded quantities may be anything.
func Unbounded() Bounds { return Bounds{math.Inf(-1), math.Inf(1)} }

// Cut returns the part of a band that the quantity can be in, with its value always
// inside: low <= value <= high. Nothing true is lost by it, so a band that holds the truth
// 95 times in 100 still does. The far end keeps its place, so half of an uncut band can
// still be had as max(value-low, high-value) unless both ends were cut. NaN stays NaN.
func (b Bounds) Cut(value, low, high float64) (lo, hi float64) {
	if math.IsNaN(value) {
		return low, high
	}
	return min(value, max(low, b.Least)), max(value, min(high, b.Most))
}

// Difference returns the bounds of the difference of two such quantities.
func (b Bounds) Difference() Bounds { return Bounds{b.Least - b.Most, b.Most - b.Least} }
