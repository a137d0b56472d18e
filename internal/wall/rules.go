package wall

import "fmt"

// Stroke is what is swum at the surface after the breakout.
type Stroke string

// The strokes; Medley is an event, every one of its legs has a stroke.
const (
	Freestyle    Stroke = "freestyle"
	Backstroke   Stroke = "backstroke"
	Breaststroke Stroke = "breaststroke"
	Butterfly    Stroke = "butterfly"
	Medley       Stroke = "medley"
)

// Strokes lists the strokes as forms do.
func Strokes() []Stroke { return []Stroke{Freestyle, Backstroke, Breaststroke, Butterfly, Medley} }

// Known reports whether s is one of Strokes.
func (s Stroke) Known() bool { return s.Rule() != "" }

// Supine reports whether the swimmer kicks on the back.
func (s Stroke) Supine() bool { return s == Backstroke }

// Limit is where the head must have broken the surface after a start and every turn in
// freestyle, backstroke and butterfly, m (rules of the world governing body as reprinted;
// freestyle SW 5.3, butterfly SW 8.5 in older numbering).
const Limit = 15.0

// deferral stands under every rule.
const deferral = "Your federation's current rule book decides."

// Rule returns the underwater rule in words; "" for an unknown stroke.
func (s Stroke) Rule() string {
	switch s {
	case Freestyle:
		return "The head must have broken the surface by 15 m after the start and every turn. " + deferral
	case Backstroke:
		return "The head must have broken the surface by 15 m after the start and every turn; the swimmer kicks on the back. " + deferral
	case Butterfly:
		return "Any number of kicks and one arm pull under water, never on the back; the head must have broken the surface by 15 m after the start and every turn. " + deferral
	case Breaststroke:
		return "One arm pull to the legs and a single butterfly kick before the first breaststroke kick; the head must break the surface before the hands turn inward at the widest part of the second stroke. There is no 15 m line. " + deferral
	case Medley:
		return "Every leg follows the rule of its stroke. The head must have broken the surface by 15 m in butterfly, backstroke and freestyle; breaststroke has its pull-out with a single butterfly kick. " + deferral
	}
	return ""
}

// Pool is a course.
type Pool string

// The pools.
const (
	Pool25m  Pool = "25 m"
	Pool25yd Pool = "25 yd"
	Pool50m  Pool = "50 m"
)

// Pools lists the pools as forms do.
func Pools() []Pool { return []Pool{Pool25m, Pool25yd, Pool50m} }

// Yard is one yard in metres (exact).
const Yard = 0.9144

// Length returns the pool's length, m; 0 for an unknown pool.
func (p Pool) Length() float64 {
	switch p {
	case Pool25m:
		return 25
	case Pool25yd:
		return 25 * Yard
	case Pool50m:
		return 50
	}
	return 0
}

// Unit is the unit in which events of the pool are named: "m" or "yd".
func (p Pool) Unit() string {
	if p == Pool25yd {
		return "yd"
	}
	return "m"
}

// lengths returns how many lengths of the pool a race over so many of its units has.
func (p Pool) lengths(distance int) (int, error) {
	per := 25
	if p == Pool50m {
		per = 50
	}
	if p.Length() == 0 {
		return 0, fmt.Errorf("the pool is 25 m, 25 yd or 50 m, not %q", string(p))
	}
	if distance < per || distance%per != 0 || distance > 2000 {
		return 0, fmt.Errorf("%d %s is not a race in a %s pool: give a multiple of %d up to 2000", distance, p.Unit(), string(p), per)
	}
	return distance / per, nil
}
