package series

import "math"

// Event is a remarkable instant of a signal.
type Event struct {
	T float64 // when, s, between samples
	X float64 // value there
	I int     // index of the nearest sample on the event's plateau
}

// Maxima returns the local maxima of x(t) in order of time. Each is refined by
// the parabola through the highest sample and its two neighbours; the spacing
// may be uneven. A flat top of three samples or more is placed at its middle.
// The first and last sample, and samples beside a NaN, are never maxima. It
// panics when the lengths differ.
func Maxima(t, x []float64) []Event {
	sameLength(t, x, "times and values")
	var events []Event
	for i := 1; i < len(x)-1; i++ {
		if !(x[i] > x[i-1]) {
			continue
		}
		j := i
		for j+1 < len(x) && x[j+1] == x[i] {
			j++
		}
		if j+1 == len(x) || !(x[j+1] < x[i]) {
			continue
		}
		events = append(events, peak(t, x, i, j))
		i = j
	}
	return events
}

// Minima returns the local minima of x(t); see Maxima.
func Minima(t, x []float64) []Event {
	down := make([]float64, len(x))
	for i, v := range x {
		down[i] = -v
	}
	events := Maxima(t, down)
	for i := range events {
		events[i].X = -events[i].X
	}
	return events
}

// peak refines the maximum whose plateau runs from sample i to sample j.
func peak(t, x []float64, i, j int) Event {
	if j > i+1 {
		mid := (i + j) / 2
		return Event{T: (t[i] + t[j]) / 2, X: x[i], I: mid}
	}
	// Parabola x[i] + a s + b s^2, s = time from sample i.
	h0, h1 := t[i]-t[i-1], t[i+1]-t[i]
	d0, d1 := (x[i]-x[i-1])/h0, (x[i+1]-x[i])/h1
	b := (d1 - d0) / (h0 + h1)
	a := d1 - b*h1
	s := -a / (2 * b)
	near := i
	if s > h1/2 {
		near = i + 1
	}
	return Event{T: t[i] + s, X: x[i] - a*a/(4*b), I: near}
}

// Crossing returns the first time at which x(t) passes level, upwards when
// rising, else downwards, by linear interpolation between the samples on either
// side. A signal that starts on the level and then leaves it in the asked
// direction crosses at its first sample. ok is false when it never does. Steps
// to or from NaN do not count. It panics when the lengths differ.
func Crossing(t, x []float64, level float64, rising bool) (at float64, ok bool) {
	sameLength(t, x, "times and values")
	sign := 1.0
	if !rising {
		sign = -1
	}
	for i := 1; i < len(x); i++ {
		before, after := sign*(x[i-1]-level), sign*(x[i]-level)
		if before <= 0 && after > 0 {
			return t[i-1] + (t[i]-t[i-1])*before/(before-after), true
		}
	}
	return math.NaN(), false
}
