package body

// Segment is one rigid part of the side view, from the finger tips to the toes.
type Segment uint8

// The segments of the chain; limbs are pairs.
const (
	Arms   Segment = iota // finger tips to shoulder
	Trunk                 // shoulder to hip, with the head
	Thighs                // hip to knee
	Shanks                // knee to ankle
	Feet                  // ankle to toe tip

	// NumSegments is the number of segments.
	NumSegments = iota
)

// String returns the segment's plain name.
func (g Segment) String() string {
	return [...]string{"arms", "trunk", "thighs", "shanks", "feet"}[g]
}

// Ends returns the landmarks at the segment's cranial and caudal ends.
func (g Segment) Ends() (cranial, caudal Landmark) {
	switch g {
	case Arms:
		return Fingertip, Shoulder
	case Trunk:
		return Shoulder, Hip
	case Thighs:
		return Hip, Knee
	case Shanks:
		return Knee, Ankle
	case Feet:
		return Ankle, Toe
	}
	panic("body: unknown segment")
}

// Lengths are the segments' lengths in m, cranial to caudal. A zero means not
// measured: the length follows from height.
type Lengths [NumSegments]float64

// Link is a segment as mechanics needs it; a pair of limbs counts as one.
type Link struct {
	Length  float64 // m
	Mass    float64 // kg
	Centre  float64 // centre of mass from the cranial end, m
	Inertia float64 // moment of inertia about the centre of mass in the side view, kg m2
	Breadth Profile // breadth across the view against distance from the cranial end
}

// Chain is the whole body from the finger tips to the toes.
type Chain [NumSegments]Link

// Mass returns the sum of the links' masses, kg. It equals the subject's mass up
// to the rounding of the table (0.01 %).
func (c Chain) Mass() float64 {
	sum := 0.0
	for _, l := range c {
		sum += l.Mass
	}
	return sum
}

// NewChain returns the chain of a subject: masses, centres and radii of gyration
// of de Leva 1996 (male table for an unknown sex and for children), lengths as
// measured or, where zero, as fractions of height (arms 0.425, trunk 0.288, thigh
// 0.2425, shank 0.2493, foot 0.125), breadths scaled from 1.80 m and 75 kg.
// It panics unless Height and Mass are positive: call Complete first.
func NewChain(s Subject, lengths Lengths) Chain {
	if !(s.Height > 0) || !(s.Mass > 0) {
		panic("body: NewChain needs a height and a mass")
	}
	var c Chain
	lengths = s.fill(lengths)
	for g := range c {
		c[g].Length = lengths[g]
		c[g].Breadth = breadth(Segment(g), s, lengths[g])
	}
	k := s.column()
	c[Arms].set(s.Mass*2*(deLevaUpperArm.mass[k]+deLevaForearm.mass[k]+deLevaHand.mass[k]), armCentre, armRadius)
	c[Trunk].setTrunk(s, k)
	c[Thighs].set(s.Mass*2*deLevaThigh.mass[k], deLevaThigh.centre[k], deLevaThigh.gyr[k])
	c[Shanks].set(s.Mass*2*deLevaShank.mass[k], deLevaShank.centre[k], deLevaShank.gyr[k])
	c[Feet].set(s.Mass*2*deLevaFoot.mass[k], deLevaFoot.centre[k], deLevaFoot.gyr[k]+footExtraRadius)
	return c
}

// set gives the link its mass, its centre and its radius of gyration, the last two
// as fractions of its length.
func (l *Link) set(mass, centre, radius float64) {
	l.Mass, l.Centre = mass, centre*l.Length
	l.Inertia = mass * radius * radius * l.Length * l.Length
}

// setTrunk puts the trunk together from the head and three parts.
func (l *Link) setTrunk(s Subject, k int) {
	at := [4]float64{-headBeyondShoulder * s.Height, upperTrunkAt * l.Length, midTrunkAt * l.Length, lowTrunkAt * l.Length}
	part := [4]float64{deLevaHead.mass[k], deLevaUpperTrunk.mass[k], deLevaMidTrunk.mass[k], deLevaLowTrunk.mass[k]}
	own := [4]float64{headRadius * s.Height, trunkPartsRadius * l.Length, trunkPartsRadius * l.Length, trunkPartsRadius * l.Length}
	moment := 0.0
	l.Mass = 0
	for i, z := range at {
		l.Mass += part[i] * s.Mass
		moment += part[i] * s.Mass * z
	}
	l.Centre = moment / l.Mass
	l.Inertia = 0
	for i, z := range at {
		d := z - l.Centre
		l.Inertia += part[i] * s.Mass * (d*d + own[i]*own[i])
	}
}
