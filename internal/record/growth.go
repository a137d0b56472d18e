package record

import (
	"math"
	"time"
)

// Growth is what was measured of a swimmer's body on one day.
type Growth struct {
	SwimmerID string
	On        Date    // empty = the day is not known
	HeightM   float64 // standing height, m; 0 = not measured then
	MassKg    float64 // 0 = not measured then
	Created   time.Time
}

// Validate returns nil or Faults of swimmer, on, height_m (0.8 to 2.5), mass_kg (15
// to 250); one of the two must be there.
func (g Growth) Validate() error {
	var f Faults
	f.required("swimmer", g.SwimmerID, "the swimmer")
	f.date("on", g.On, false)
	f.number("height_m", g.HeightM, 0.8, 2.5, "m")
	f.number("mass_kg", g.MassKg, 15, 250, "kg")
	if g.HeightM == 0 && g.MassKg == 0 {
		f.add("height_m", "is empty, and so is the mass; write one of them")
	}
	return f.err()
}

// Grown returns the swimmer with the height and the mass that were measured nearest
// to a day, each with its own day. Of two as near the earlier one counts; one whose
// day is not known counts only where no other is there; a day that is none takes the
// newest. Where the history knows nothing, what the swimmer says stays.
func (s Swimmer) Grown(history []Growth, on Date) Swimmer {
	var height, mass nearest
	for _, g := range history {
		height.offer(g.HeightM, g.On, on)
		mass.offer(g.MassKg, g.On, on)
	}
	if height.value > 0 {
		s.HeightM, s.HeightOn = height.value, height.on
	}
	if mass.value > 0 {
		s.MassKg, s.MassOn = mass.value, mass.on
	}
	return s
}

// nearest keeps the value measured nearest to a day.
type nearest struct {
	value float64
	on    Date
}

func (n *nearest) offer(value float64, measured, want Date) {
	if value > 0 && (n.value == 0 || nearer(measured, n.on, want)) {
		*n = nearest{value, measured}
	}
}

// nearer reports whether day a counts before day b as one near to a day.
func nearer(a, b, to Date) bool {
	if a == "" || b == "" || !to.Valid() {
		return a > b
	}
	x, y := apart(a, to), apart(b, to)
	return x < y || x == y && a < b
}

// apart returns how many days lie between two valid days.
func apart(a, b Date) float64 {
	x, _ := time.Parse(dateFormat, string(a))
	y, _ := time.Parse(dateFormat, string(b))
	return math.Abs(x.Sub(y).Hours() / 24)
}
