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

// Carrier returns the segment in whose axes the marking offset of a landmark stays put:
// the one that a hand looks along when it places the point.
func (l Landmark) Carrier() Segment {
	switch l {
	case Fingertip, Wrist, Elbow:
		return Arms
	case Knee:
		return Thighs
	case Ankle, Heel:
		return Shanks
	case Toe:
		return Feet
	}
	return Trunk
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
	Cut     float64 // of the trunk: the rib, where it may bend, from the cranial end, m
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
	c[Trunk].Cut = ribAt * lengths[Trunk]
	c[Trunk].setParts(trunkParts(s, lengths[Trunk]))
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

// part is a mass on the trunk's line.
type part struct{ at, mass, radius float64 } // m from the shoulder, kg, m

// trunkParts are the head, the upper trunk, the middle trunk in two halves and the lower
// trunk.
func trunkParts(s Subject, length float64) [5]part {
	k, r := s.column(), trunkPartsRadius*length
	half := deLevaMidTrunk.mass[k] * s.Mass / 2
	return [5]part{
		{-headBeyondShoulder * s.Height, deLevaHead.mass[k] * s.Mass, headRadius * s.Height},
		{upperTrunkAt * length, deLevaUpperTrunk.mass[k] * s.Mass, r},
		{midTrunkAt * length, half, r},
		{midTrunkAt * length, half, r},
		{lowTrunkAt * length, deLevaLowTrunk.mass[k] * s.Mass, r},
	}
}

// setParts gives the link its mass, centre and inertia from parts on its line.
func (l *Link) setParts(parts [5]part) { l.setSome(parts[:], 0) }

// setSome is setParts for some of the parts, with the link's cranial end at from.
func (l *Link) setSome(parts []part, from float64) {
	moment := 0.0
	l.Mass = 0
	for _, p := range parts {
		l.Mass += p.mass
		moment += p.mass * (p.at - from)
	}
	l.Centre = moment / l.Mass
	l.Inertia = 0
	for _, p := range parts {
		d := p.at - from - l.Centre
		l.Inertia += p.mass * (d*d + p.radius*p.radius)
	}
}

// CutTrunk returns the two parts of a subject's trunk: the chest from shoulder to rib with
// the head, and the waist from rib to hip, for a trunk of the given length whose rib lies
// at the share rib of it from the shoulder. Half of the middle trunk goes to each; held
// straight they have the mass, centre, inertia and breadths of the whole trunk. It panics
// unless 0 < rib < 1, and like NewChain.
func CutTrunk(s Subject, length, rib float64) (chest, waist Link) {
	if !(rib > 0 && rib < 1) {
		panic("body: CutTrunk needs the rib between shoulder and hip")
	}
	if !(s.Height > 0) || !(s.Mass > 0) {
		panic("body: CutTrunk needs a height and a mass")
	}
	cut := rib * length
	parts := trunkParts(s, length)
	chest.Length, waist.Length = cut, length-cut
	chest.setSome(parts[:3], 0)
	waist.setSome(parts[3:], cut)
	chest.Breadth, waist.Breadth = breadth(Trunk, s, length).cut(cut)
	return chest, waist
}
