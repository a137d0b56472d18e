package body

import (
	"math"
	"testing"
)

// Reference-notes (f) check 33: the rows of de Leva 1996, Table 4, add up to the
// whole body (head + trunk + both limbs), 99.99 % for women and 100.00 % for men.
func TestDeLevaMassesAddUp(t *testing.T) {
	for k, want := range [2]float64{0.9999, 1.0000} {
		limbs := deLevaUpperArm.mass[k] + deLevaForearm.mass[k] + deLevaHand.mass[k] +
			deLevaThigh.mass[k] + deLevaShank.mass[k] + deLevaFoot.mass[k]
		got := deLevaHead.mass[k] + deLevaTrunk.mass[k] + 2*limbs
		if math.Abs(got-want) > 5e-5 {
			t.Errorf("column %d: masses add up to %.5f, want %.4f", k, got, want)
		}
		parts := deLevaUpperTrunk.mass[k] + deLevaMidTrunk.mass[k] + deLevaLowTrunk.mass[k]
		if math.Abs(parts-deLevaTrunk.mass[k]) > 1e-9 {
			t.Errorf("column %d: trunk parts add up to %.5f, want %.4f", k, parts, deLevaTrunk.mass[k])
		}
	}
}

// winter is the table of Dempster 1955 as adapted in Winter DA. 2009. Biomechanics
// and Motor Control of Human Movement, 4th ed., Table 4.1 (one column for both
// sexes): mass fraction of one side and centre of mass from the proximal end. It is
// used here alone, as a second opinion on the centre of mass.
var winter = map[string][2]float64{
	"hand": {0.006, 0.506}, "forearm": {0.016, 0.430}, "upper arm": {0.028, 0.436}, "total arm": {0.050, 0.530},
	"foot": {0.0145, 0.500}, "leg": {0.0465, 0.433}, "thigh": {0.100, 0.433},
	"foot and leg": {0.061, 0.606}, "total leg": {0.161, 0.447},
	"trunk": {0.497, 0.500}, "head": {0.081, 1.000}, "trunk and head": {0.578, 0.660}, "head, arms, trunk": {0.678, 0.626},
}

// Reference-notes (f) check 34: Winter 2009, Table 4.1, is consistent with itself.
func TestWinterMassesAddUp(t *testing.T) {
	sum := func(weights map[string]float64) float64 {
		s := 0.0
		for name, w := range weights {
			s += w * winter[name][0]
		}
		return s
	}
	for name, row := range map[string]struct {
		got, want float64
	}{
		"foot and leg":    {sum(map[string]float64{"foot": 1, "leg": 1}), 0.061},
		"total leg":       {sum(map[string]float64{"foot": 1, "leg": 1, "thigh": 1}), 0.161},
		"total arm":       {sum(map[string]float64{"hand": 1, "forearm": 1, "upper arm": 1}), 0.050},
		"whole body":      {sum(map[string]float64{"head, arms, trunk": 1, "total leg": 2}), 1.000},
		"head, trunk":     {sum(map[string]float64{"head": 1, "trunk": 1}), 0.578},
		"head, arms, ...": {sum(map[string]float64{"trunk and head": 1, "total arm": 2}), 0.678},
	} {
		if math.Abs(row.got-row.want) > 1e-6 {
			t.Errorf("%s: %.6f, want %.6f", name, row.got, row.want)
		}
	}
}

// Two tables from different people and methods must put the centre of mass of the
// same streamlined swimmer within 3 cm of each other (1.6 % of height). Tolerance:
// the tables differ by 1-2 % of body mass per segment at distances of up to 1 m.
func TestCentreOfMassAgainstWinter(t *testing.T) {
	m := streamlined(1.80)
	path, _, ok := CentreOfMass(m, Subject{Height: 1.80, Mass: 75, Sex: Male})
	if !ok {
		t.Fatal("no centre of mass")
	}
	x := func(l Landmark) float64 { return m.Paths[l].X[0] }
	at := func(name string, prox, dist Landmark) float64 {
		return winter[name][0] * (x(prox) + winter[name][1]*(x(dist)-x(prox)))
	}
	// The total arm's centre is given to the ulnar styloid, the wrist.
	want := 2*at("total arm", Shoulder, Wrist) + at("trunk", Hip, Shoulder) +
		winter["head"][0]*(x(Shoulder)+0.10) + 2*at("thigh", Hip, Knee) + 2*at("leg", Knee, Ankle) + 2*at("foot", Ankle, Toe)
	if math.Abs(path.X[0]-want) > 0.03 {
		t.Errorf("centre of mass at %.3f m from the hip, Winter's table says %.3f", path.X[0], want)
	}
}

// A standing man's centre of mass lies at about 56 % of his height (55-57 % in
// textbooks of biomechanics, e.g. Hay JG 1993; from memory, hence 1.5 %). Segment
// lengths in mm: de Leva 1996, Table 4, men (from memory).
func TestCentreOfMassStanding(t *testing.T) {
	const height = 1.741
	ankle := malleolusHeight * height
	knee := ankle + 0.4340
	hip := knee + 0.4222
	shoulder := hip + 0.5155
	tip := shoulder - 0.2817 - 0.2689 - 0.1879
	m := still(map[Landmark]Point{
		Fingertip: {0, tip}, Shoulder: {0, shoulder}, Head: {0, height},
		Hip: {0, hip}, Knee: {0, knee}, Ankle: {0, ankle}, Toe: {0.2, 0},
	})
	path, _, ok := CentreOfMass(m, Subject{Height: height, Mass: 73, Sex: Male})
	if got := path.Y[0] / height; !ok || math.Abs(got-0.56) > 0.015 {
		t.Errorf("standing centre of mass at %.3f of height, want 0.56 +- 0.015", got)
	}
}

// Areas of the reference adult: hydrodynamics 6 gives 0.040 and 0.091 m2; the table
// of breadths gives, by hand, 0.18 x 0.225 and (0.23 x 0.3 + 0.19 x 0.7) x 0.44874.
func TestAreas(t *testing.T) {
	s := Subject{Height: 1.80, Mass: 75, Sex: Male}
	if got := s.FootArea(Lengths{}); math.Abs(got-0.0405) > 1e-9 {
		t.Errorf("foot area %.5f m2, want 0.0405", got)
	}
	if got, want := s.ShankArea(Lengths{}), 0.202*0.44874; math.Abs(got-want) > 1e-9 {
		t.Errorf("shank area %.5f m2, want %.5f", got, want)
	}
	// The area of a wider child of the same mass per height: feet scale with height alone.
	if got, want := (Subject{Height: 0.9, Mass: 75, Sex: Male}).FootArea(Lengths{}), 0.0405/4; math.Abs(got-want) > 1e-9 {
		t.Errorf("foot area at half the height %.5f m2, want %.5f", got, want)
	}
}
