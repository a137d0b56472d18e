package body

import "math"

// Joint is a joint of the chain, or the trunk's own pitch.
type Joint uint8

// The joints. Every angle is 0 in a straight streamlined body.
const (
	ShoulderJoint Joint = iota // arm against trunk: arms to the back side +
	HipJoint                   // thigh against trunk: flexion +, the knee goes to the front side
	KneeJoint                  // shank against thigh: flexion +, heel towards buttock
	AnkleJoint                 // ankle-toe line against shank: towards dorsiflexion +, 0 in line with the shank
	NumJoints     = iota
)

// String returns the joint's plain name.
func (j Joint) String() string { return [...]string{"shoulder", "hip", "knee", "ankle"}[j] }

// Inclination returns the angle th of a segment from its two ends, in (-pi, pi]:
// the direction from the caudal to the cranial end, counter-clockwise from +x. 0
// lies along the travel line head first, > 0 has the caudal end lower.
func Inclination(cranialX, cranialY, caudalX, caudalY float64) float64 {
	return math.Atan2(cranialY-caudalY, cranialX-caudalX)
}

// Wrap returns the angle a in (-pi, pi].
func Wrap(a float64) float64 {
	a = math.Mod(a, 2*math.Pi)
	switch {
	case a > math.Pi:
		return a - 2*math.Pi
	case a <= -math.Pi:
		return a + 2*math.Pi
	}
	return a
}

// SegmentAngle returns the angle of a segment on every frame, rad, continuous over
// the frames (it starts in (-pi, pi] and never jumps by more than pi), NaN where an
// end is not known. The arms reach to the wrist where there is no finger tip. It
// returns nil if an end is absent throughout. The trunk's angle is the trunk pitch.
func (m Motion) SegmentAngle(g Segment) []float64 {
	a, b := g.Ends()
	if a == Fingertip && !m.Has(Fingertip) {
		a = Wrist
	}
	if !m.Has(a) || !m.Has(b) {
		return nil
	}
	p, q := m.Paths[a], m.Paths[b]
	out := make([]float64, len(m.T))
	last := math.NaN()
	for i := range out {
		v := Inclination(p.X[i], p.Y[i], q.X[i], q.Y[i])
		if !math.IsNaN(last) {
			v = last + Wrap(v-last)
		}
		out[i] = v
		if !math.IsNaN(v) {
			last = v
		}
	}
	return out
}

// JointAngle returns the angle of joint j on every frame, rad, in (-pi, pi]:
//
//	shoulder = th_arms - th_trunk      hip   = th_thighs - th_trunk
//	knee     = th_thighs - th_shanks   ankle = th_feet - th_shanks
//
// NaN where a landmark is not known, nil if one is absent throughout.
func (m Motion) JointAngle(j Joint) []float64 {
	var plus, minus Segment
	switch j {
	case ShoulderJoint:
		plus, minus = Arms, Trunk
	case HipJoint:
		plus, minus = Thighs, Trunk
	case KneeJoint:
		plus, minus = Thighs, Shanks
	case AnkleJoint:
		plus, minus = Feet, Shanks
	default:
		panic("body: unknown joint")
	}
	a, b := m.SegmentAngle(plus), m.SegmentAngle(minus)
	if a == nil || b == nil {
		return nil
	}
	for i := range a {
		a[i] = Wrap(a[i] - b[i])
	}
	return a
}
