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
	SpineJoint                 // trunk above the rib against trunk below it: extension +, 0 in a stiff trunk
	NumJoints     = iota
)

// String returns the joint's plain name.
func (j Joint) String() string { return [...]string{"shoulder", "hip", "knee", "ankle", "spine"}[j] }

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
	return m.lineAngle(a, b)
}

// lineAngle is SegmentAngle of the line from the caudal end b to the cranial end a.
func (m Motion) lineAngle(a, b Landmark) []float64 {
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
//	spine    = th_chest - th_waist    (the trunk above and below the marked rib)
//
// NaN where a landmark is not known, nil if one is absent throughout. The trunk of
// shoulder and hip is the line between them; see BentJointAngle.
func (m Motion) JointAngle(j Joint) []float64 {
	trunk := func() []float64 { return m.SegmentAngle(Trunk) }
	return m.jointAngle(j, trunk, trunk)
}

// BentJointAngle is JointAngle in a trunk that bends at the rib: the shoulder's angle is
// against the part above the rib and the hip's against the part below it.
func (m Motion) BentJointAngle(j Joint) []float64 { return m.jointAngle(j, m.Chest, m.Waist) }

// Chest returns the angle of the trunk above the rib on every frame, as SegmentAngle does;
// nil without a rib or shoulder.
func (m Motion) Chest() []float64 { return m.lineAngle(Shoulder, Rib) }

// Waist is Chest's counterpart below the rib.
func (m Motion) Waist() []float64 { return m.lineAngle(Rib, Hip) }

// jointAngle is the angle of joint j with the trunk's angle at its shoulder and hip ends.
func (m Motion) jointAngle(j Joint, above, below func() []float64) []float64 {
	var a, b []float64
	switch j {
	case ShoulderJoint:
		a, b = m.SegmentAngle(Arms), above()
	case HipJoint:
		a, b = m.SegmentAngle(Thighs), below()
	case KneeJoint:
		a, b = m.SegmentAngle(Thighs), m.SegmentAngle(Shanks)
	case AnkleJoint:
		a, b = m.SegmentAngle(Feet), m.SegmentAngle(Shanks)
	case SpineJoint:
		a, b = m.Chest(), m.Waist()
	default:
		panic("body: unknown joint")
	}
	if a == nil || b == nil {
		return nil
	}
	out := make([]float64, len(a))
	for i := range a {
		out[i] = Wrap(a[i] - b[i])
	}
	return out
}
