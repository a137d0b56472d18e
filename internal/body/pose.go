package body

import "math"

// Point is a place in the pool plane, m.
type Point struct{ X, Y float64 }

// Posture is a swimmer's posture at one instant: the hip's place, the trunk's
// pitch and the joint angles (JointAngle's signs), in m and rad.
type Posture struct {
	Hip    Point
	Pitch  float64
	Joints [NumJoints]float64
}

// Angles returns the inclination of every segment, rad; of a trunk that bends, that of the
// part below the rib, whose pitch is the posture's.
func (p Posture) Angles() (th [NumSegments]float64) {
	th[Trunk] = p.Pitch
	th[Arms] = p.Chest() + p.Joints[ShoulderJoint]
	th[Thighs] = p.Pitch + p.Joints[HipJoint]
	th[Shanks] = th[Thighs] - p.Joints[KneeJoint]
	th[Feet] = th[Shanks] + p.Joints[AnkleJoint]
	return th
}

// Chest returns the inclination of the trunk above the rib, rad.
func (p Posture) Chest() float64 { return p.Pitch + p.Joints[SpineJoint] }

// Landmarks returns the place of every landmark of a body with chain c and
// standing height h (m) in posture p. The six joints and tips are exact; wrist,
// elbow, crown, rib and heel are put where they lie in a swimmer of average
// proportions with straight arms, a trunk that bends at the rib alone and the head between the arms.
func (p Posture) Landmarks(c Chain, h float64) (at [NumLandmarks]Point) {
	th := p.Angles()
	var e [NumSegments]Point
	for g := range e {
		e[g].Y, e[g].X = math.Sincos(th[g])
	}
	var chest Point
	chest.Y, chest.X = math.Sincos(p.Chest())
	hip := p.Hip
	at[Hip] = hip
	at[Rib] = hip.along(e[Trunk], c[Trunk].Length-c[Trunk].Cut)
	at[Shoulder] = at[Rib].along(chest, c[Trunk].Cut)
	at[Head] = at[Shoulder].along(chest, (headBeyondShoulder+crownBeyondHead)*h)
	at[Fingertip] = at[Shoulder].along(e[Arms], c[Arms].Length)
	at[Wrist] = at[Shoulder].along(e[Arms], (1-handShare(1))*c[Arms].Length)
	at[Elbow] = at[Shoulder].along(e[Arms], upperArmShare(1)*c[Arms].Length)
	at[Knee] = hip.along(e[Thighs], -c[Thighs].Length)
	at[Ankle] = at[Knee].along(e[Shanks], -c[Shanks].Length)
	at[Toe] = at[Ankle].along(e[Feet], -c[Feet].Length)
	at[Heel] = heel(at[Ankle], e[Feet], c[Feet].Length)
	return at
}

func (p Point) along(e Point, d float64) Point { return Point{p.X + d*e.X, p.Y + d*e.Y} }

// heel returns the back of the heel: the malleolus stands above the sole, the sole
// lies on the foot's back side, and heel, sole and toe form the rest of the outline.
// length is the ankle-toe distance; the outline scales with it.
func heel(ankle, e Point, length float64) Point {
	sin := malleolusHeight / footFraction
	cos := math.Sqrt(1 - sin*sin)
	behind := footLength/footFraction - cos // heel behind the malleolus, in ankle-toe lengths
	n := Point{-e.Y, e.X}
	sole := Point{-cos*e.X - sin*n.X, -cos*e.Y - sin*n.Y} // heel to toe
	down := Point{-sin*e.X + cos*n.X, -sin*e.Y + cos*n.Y} // malleolus to sole
	return ankle.along(sole, -behind*length).along(down, sin*length)
}

// upperArmShare is the upper arm's share of a stretched arm.
func upperArmShare(k int) float64 {
	l := deLevaLength
	return l.upperArm[k] / (l.upperArm[k] + l.forearm[k] + l.hand[k])
}
