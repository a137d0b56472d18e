package body

import (
	"fmt"
	"math"
	"slices"
)

// Complete fills what is not known of the swimmer, with one warning for each
// assumption: mass = 23 kg/m2 times height squared (common practice, no source),
// the male table for an unknown sex. A missing height cannot be guessed without
// film: it stays 0, and so does a missing mass then; use CompleteFrom.
func (s Subject) Complete() (Subject, []string) {
	var warnings []string
	if !(s.Height > 0) {
		s.Height = 0
		warnings = append(warnings, "The swimmer's height is not known; measures relative to height are left out.")
	}
	if !(s.Mass > 0) {
		s.Mass = massPerHeight2 * s.Height * s.Height
		if s.Height > 0 {
			warnings = append(warnings, fmt.Sprintf("The swimmer's mass is not known; %.0f kg is assumed from the height.", s.Mass))
		}
	}
	if s.Sex == SexUnknown {
		s.Sex = Male
		warnings = append(warnings, "The swimmer's sex is not known; the male table of body masses is used.")
	}
	return s, warnings
}

// CompleteFrom is Complete with a missing height taken from the film first:
//
//	height = L / 1.33, L = finger tip to toe along the segments of m (see MeasuredLengths)
//
// which needs m in true metres and every segment of the chain in it.
func (s Subject) CompleteFrom(m Motion) (Subject, []string) {
	var warnings []string
	if !(s.Height > 0) {
		if reach := MeasuredLengths(m).Sum(); reach > 0 {
			s.Height = reach / ArmsUp
			warnings = append(warnings, fmt.Sprintf("The swimmer's height is not known; %.2f m is assumed from the %.2f m from finger tip to toe in the clip.", s.Height, reach))
		}
	}
	s, more := s.Complete()
	return s, append(warnings, more...)
}

// ArmsUpLength returns the streamlined length from finger tip to toe tip, m: 1.33
// times Height; 0 for an unknown height.
func (s Subject) ArmsUpLength() float64 { return ArmsUp * s.Height }

// Lengths returns the segment lengths that follow from Height alone, m.
func (s Subject) Lengths() Lengths { return s.fill(Lengths{}) }

func (s Subject) fill(l Lengths) Lengths {
	for g, f := range [NumSegments]float64{armFraction, trunkFraction, thighFraction, shankFraction, footFraction} {
		if !(l[g] > 0) {
			l[g] = f * s.Height
		}
	}
	return l
}

// column is the column of the tables in sources.go.
func (s Subject) column() int {
	if s.Sex == Female {
		return 0
	}
	return 1
}

// Sum returns the length from finger tip to toe tip, m; 0 if a segment is missing.
func (l Lengths) Sum() float64 {
	sum := 0.0
	for _, v := range l {
		if !(v > 0) {
			return 0
		}
		sum += v
	}
	return sum
}

// MeasuredLengths returns the median distance between each segment's ends over
// the frames of m, in m; 0 where an end is absent throughout. Arms seen only to
// the wrist are lengthened by the hand's share of the arm.
func MeasuredLengths(m Motion) Lengths {
	var l Lengths
	for g := range l {
		a, b := Segment(g).Ends()
		stretch := 1.0
		if a == Fingertip && !m.Has(Fingertip) {
			a, stretch = Wrist, 1/(1-handShare(1))
		}
		if m.Has(a) && m.Has(b) {
			l[g] = stretch * medianDistance(m.Paths[a], m.Paths[b])
		}
	}
	return l
}

// MeasuredTrunk returns the length of a trunk that bends at the rib, the sum of the median
// distances from shoulder to rib and rib to hip, m, and the rib's share of it from the
// shoulder; zeros without the three landmarks.
func MeasuredTrunk(m Motion) (length, rib float64) {
	if !m.Has(Shoulder) || !m.Has(Rib) || !m.Has(Hip) {
		return 0, 0
	}
	above := medianDistance(m.Paths[Shoulder], m.Paths[Rib])
	below := medianDistance(m.Paths[Rib], m.Paths[Hip])
	if !(above > 0) || !(below > 0) {
		return 0, 0
	}
	return above + below, above / (above + below)
}

func medianDistance(a, b *Path) float64 {
	var d []float64
	for i := range a.X {
		if v := math.Hypot(a.X[i]-b.X[i], a.Y[i]-b.Y[i]); !math.IsNaN(v) {
			d = append(d, v)
		}
	}
	if len(d) == 0 {
		return 0
	}
	slices.Sort(d)
	return (d[(len(d)-1)/2] + d[len(d)/2]) / 2
}
