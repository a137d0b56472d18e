package body

import "math"

// Station is the breadth at one place of a segment.
type Station struct {
	Z float64 // distance from the segment's cranial end, m
	B float64 // breadth across the side view, both limbs together, m
}

// Profile is a segment's breadth, linear between stations of rising Z; the first
// stands at 0 and the last at the segment's length.
type Profile []Station

// At returns the breadth at distance z from the cranial end, m; outside the
// segment the breadth of the nearer end.
func (p Profile) At(z float64) float64 {
	if z <= p[0].Z {
		return p[0].B
	}
	for i := 1; i < len(p); i++ {
		if z <= p[i].Z {
			u := (z - p[i-1].Z) / (p[i].Z - p[i-1].Z)
			return p[i-1].B + u*(p[i].B-p[i-1].B)
		}
	}
	return p[len(p)-1].B
}

// cut returns the profile above and below z, each from its own cranial end.
func (p Profile) cut(z float64) (above, below Profile) {
	below = Profile{{0, p.At(z)}}
	for _, s := range p {
		switch {
		case s.Z < z:
			above = append(above, s)
		case s.Z > z:
			below = append(below, Station{s.Z - z, s.B})
		}
	}
	return append(above, Station{z, p.At(z)}), below
}

// Area returns the area seen from the front, the integral of breadth over length, m2.
func (p Profile) Area() float64 {
	sum := 0.0
	for i := 1; i < len(p); i++ {
		sum += (p[i].Z - p[i-1].Z) * (p[i].B + p[i-1].B) / 2
	}
	return sum
}

// breadth returns the breadth profile of a segment of the given length (m) for a
// subject with known height and mass:
//
//	long parts scale with h = height/1.80, wide parts with sqrt((mass/75)/h),
//
// the girth at constant density.
func breadth(g Segment, s Subject, length float64) Profile {
	long := s.Height / 1.80
	wide := math.Sqrt(s.Mass / 75 / long)
	p := make(Profile, len(breadthRows[g]))
	for i, r := range breadthRows[g] {
		p[i] = Station{Z: r.at * length, B: r.wide*wide + r.long*long}
	}
	return p
}

// FootArea and ShankArea return the areas that can face backwards, both limbs
// together, m2: breadth times length of the feet and of the shanks (0.040 and
// 0.091 m2 at 1.80 m and 75 kg). They panic unless Height and Mass are positive.
func (s Subject) FootArea(l Lengths) float64 { return NewChain(s, l)[Feet].Breadth.Area() }

// ShankArea is the shanks' counterpart of FootArea.
func (s Subject) ShankArea(l Lengths) float64 { return NewChain(s, l)[Shanks].Breadth.Area() }
