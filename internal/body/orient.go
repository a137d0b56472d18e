package body

import (
	"errors"
	"math"
)

// Orientation tells how a motion was brought into the conventions of this package.
type Orientation struct {
	MirroredX bool // the swimmer swam towards -x
	MirroredY bool // the swimmer swam on the back
	// Backwards is true if the hip travelled feet first by more than a quarter of the
	// body's length: the hands and feet are probably swapped in the landmarks.
	Backwards bool
	// FrontDoubtful is true if the knee bends towards the front side on average, so
	// that the clip's position (front or back) is probably wrong.
	FrontDoubtful bool
}

// ErrNoDirection says that the swimming direction cannot be found from the data.
var ErrNoDirection = errors.New("the swimming direction cannot be seen: the hands (or shoulder) and the feet (or hip) are not marked together on any frame")

// Orient returns m mirrored so that the swimmer swims head first towards +x and
// the front side points to -y: x is mirrored if the head end lies to the -x side of
// the foot end, y if the swimmer swims on the back (supine). m is left unchanged.
//
// The direction is that of the body, not of the path: underwater kicking is head
// first, and the path of a swimmer in a flume or of a tracked camera shows nothing.
func Orient(m Motion, supine bool) (Motion, Orientation, error) {
	var o Orientation
	reach, ok := meanReach(m)
	if !ok {
		return Motion{}, o, ErrNoDirection
	}
	o.MirroredX, o.MirroredY = reach < 0, supine
	sx, sy := 1.0, 1.0
	if o.MirroredX {
		sx = -1
	}
	if o.MirroredY {
		sy = -1
	}
	out := m.Transform(sx, 0, 0, sy)
	o.Backwards = travel(out) < -0.25*math.Abs(reach)
	o.FrontDoubtful = mean(out.JointAngle(KneeJoint)) < 0
	return out, o, nil
}

// meanReach returns the mean of x at the cranial end minus x at the caudal end over
// the frames with both, for the longest pair of landmarks there is.
func meanReach(m Motion) (float64, bool) {
	for _, head := range [...]Landmark{Fingertip, Wrist, Elbow, Head, Shoulder, Rib} {
		for _, foot := range [...]Landmark{Toe, Ankle, Knee, Hip} {
			if !m.Has(head) || !m.Has(foot) {
				continue
			}
			d := make([]float64, len(m.T))
			for i := range d {
				d[i] = m.Paths[head].X[i] - m.Paths[foot].X[i]
			}
			if v := mean(d); v != 0 && !math.IsNaN(v) {
				return v, true
			}
		}
	}
	return 0, false
}

// travel returns the hip's way along x from its first to its last known frame; 0
// if it is not known twice.
func travel(m Motion) float64 {
	if !m.Has(Hip) {
		return 0
	}
	first, last := math.NaN(), math.NaN()
	for _, x := range m.Paths[Hip].X {
		if math.IsNaN(x) {
			continue
		}
		if math.IsNaN(first) {
			first = x
		}
		last = x
	}
	if math.IsNaN(first) {
		return 0
	}
	return last - first
}

// mean returns the mean of the known values; NaN if there are none.
func mean(x []float64) float64 {
	sum, n := 0.0, 0
	for _, v := range x {
		if !math.IsNaN(v) {
			sum += v
			n++
		}
	}
	return sum / float64(n)
}

// Transform returns m with every position and velocity multiplied by the matrix
//
//	| xx xy |
//	| yx yy |
//
// and every SD by the square root of its determinant's size. Paths are copied.
func (m Motion) Transform(xx, xy, yx, yy float64) Motion {
	scale := math.Sqrt(math.Abs(xx*yy - xy*yx))
	out := Motion{T: m.T}
	for l, p := range m.Paths {
		if p == nil {
			continue
		}
		q := &Path{}
		q.X, q.Y = product(p.X, p.Y, xx, xy), product(p.X, p.Y, yx, yy)
		if p.VX != nil {
			q.VX, q.VY = product(p.VX, p.VY, xx, xy), product(p.VX, p.VY, yx, yy)
		}
		if p.SD != nil {
			q.SD = product(p.SD, p.SD, scale, 0)
		}
		out.Paths[l] = q
	}
	return out
}

func product(x, y []float64, a, b float64) []float64 {
	out := make([]float64, len(x))
	for i := range out {
		switch { // keeps a gap in one axis out of the other
		case b == 0:
			out[i] = a * x[i]
		case a == 0:
			out[i] = b * y[i]
		default:
			out[i] = a*x[i] + b*y[i]
		}
	}
	return out
}

// Rotate returns m turned counter-clockwise by angle (rad) about the origin.
func (m Motion) Rotate(angle float64) Motion {
	s, c := math.Sincos(angle)
	return m.Transform(c, -s, s, c)
}

// Scale returns m with every length multiplied by k > 0.
func (m Motion) Scale(k float64) Motion { return m.Transform(k, 0, 0, k) }
