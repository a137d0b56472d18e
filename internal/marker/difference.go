package marker

import (
	"math"

	"underkick/internal/body"
)

// Difference is a landmark placed twice on one frame, second place minus first, in
// body lengths, along and across its segment. Offsets turn with the segment, so in
// these axes they stay the same from frame to frame. Where the segment's other end
// is not marked on the frame the axes are those of the picture.
type Difference struct {
	Landmark      body.Landmark
	Along, Across float64
	// Sitting tells differences of one clip apart by when the second marks were
	// made: those with the same Sitting and Landmark share both offsets.
	Sitting string
	Later   bool // the second mark was made in a later sitting, hours after the first
}

// Size is the length of the difference, body lengths.
func (d Difference) Size() float64 { return math.Hypot(d.Along, d.Across) }

// Differences compares second marks with the first ones on the same frames. Both are
// in px; bodyPx is the body's length there (BodyLength), above 0. Marks without a
// partner are left out. Sitting and Later are left to the caller.
func Differences(first, second []body.Mark, bodyPx float64) []Difference {
	if !(bodyPx > 0) {
		panic("marker: Differences needs a body length")
	}
	type place struct {
		frame int
		l     body.Landmark
	}
	at := map[place]body.Mark{}
	for _, m := range first {
		at[place{m.Frame, m.Landmark}] = m
	}
	var out []Difference
	for _, m := range second {
		was, ok := at[place{m.Frame, m.Landmark}]
		if !ok {
			continue
		}
		dx, dy := (m.X-was.X)/bodyPx, (m.Y-was.Y)/bodyPx
		sin, cos := 0.0, 1.0
		cranial, caudal := m.Landmark.Carrier().Ends()
		a, okA := at[place{m.Frame, cranial}]
		b, okB := at[place{m.Frame, caudal}]
		if okA && okB {
			sin, cos = math.Sincos(body.Inclination(a.X, a.Y, b.X, b.Y))
		}
		out = append(out, Difference{Landmark: m.Landmark, Along: cos*dx + sin*dy, Across: -sin*dx + cos*dy})
	}
	return out
}
