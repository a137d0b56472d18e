package hydro

import "math"

// Wave is a small wave that runs down a slender body: half-amplitude a (m),
// frequency f (Hz), wave speed c (m/s) at the tail, of a body swimming at U (m/s)
// whose tail has the depth s (m) across the motion.
type Wave struct{ A, F, C, U, S float64 }

// Slender returns the mean thrust (N) and mean power (W) of elongated-body theory
// for small amplitudes in water of density rho,
//
//	m = rho pi s2/4, T = 1/4 m a2 (2 pi f)2 (1 - U2/c2), P = 1/2 m a2 (2 pi f)2 U (1 - U/c)
//
// (Lighthill MJ. 1960. Note on the swimming of slender fish. J Fluid Mech 9:305-317;
// from memory).
func (v Wave) Slender(rho float64) (thrust, power float64) {
	m := rho * math.Pi * v.S * v.S / 4
	aw := v.A * 2 * math.Pi * v.F
	return m * aw * aw * (1 - v.U*v.U/(v.C*v.C)) / 4, m * aw * aw * v.U * (1 - v.U/v.C) / 2
}

// SlenderEfficiency returns the slender-body efficiency of a body wave that runs at
// speed c while the body swims at speed u (same unit),
//
//	(1 + u/c)/2
//
// (Lighthill 1960; used on swimmers by Zamparo P et al. 2002. J Exp Biol
// 205:2665-2676). It is at least 1/2 for 0 <= u <= c by construction, and leaves
// drag of the limbs out: never call it efficiency alone.
func SlenderEfficiency(u, c float64) float64 { return (1 + u/c) / 2 }

// WaveOverSpeed returns c/u for a slender-body efficiency above 1/2.
func WaveOverSpeed(efficiency float64) float64 { return 1 / (2*efficiency - 1) }
