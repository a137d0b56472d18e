package swim

import (
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/series"
)

// The changes below, with Pointed, are what a coach may ask of a swimmer. Each keeps
// everything that it does not name; whether a swimmer can is not the model's to say.

// Wider returns o's kick with every oscillation enlarged (Scaled) so that the toes'
// travel in the pool grows by gain (m, negative: shrinks). Knee and hip share the leg's
// fold, so the travel grows less than the oscillations; how much is found by one swim of
// the trial 1 + gain/travel and a proportional step: within 5 % of 5 cm, 12 % of 10 cm.
// The error wraps ErrNoSteadySwim.
func (m *Model) Wider(o *Orbit, gain float64) (Kick, error) {
	_, _, travel := o.Toe()
	part := gain / travel
	if part == 0 {
		return o.Kick, nil
	}
	trial, err := m.Swim(o.Kick.Scaled(1+part), Options{Steps: len(o.trail), DragFactor: o.DragFactor, Warm: o})
	if err != nil {
		return Kick{}, fmt.Errorf("enlarge the kick: %w", err)
	}
	_, _, now := trial.Toe()
	return o.Kick.Scaled(1 + part*gain/(now-travel)), nil
}

// HipAtEnd returns the kick with the hip bent further by angle (rad) at the end of the
// downkick, at phase bottom (cycles), fading to nothing half a kick away:
//
//	hip + angle ((1 + cos 2 pi (phase - bottom))/2)^3
func (k Kick) HipAtEnd(angle, bottom float64) Kick {
	// the cube of the raised cosine, by its harmonics
	parts := [...]float64{10.0 / 32, 15.0 / 32, 6.0 / 32, 1.0 / 32}
	hip := affine(k.Joints[body.HipJoint], 0, 1, 0)
	hip.Mean += angle * parts[0]
	for len(hip.Cos) < len(parts)-1 {
		hip.Cos, hip.Sin = append(hip.Cos, 0), append(hip.Sin, 0)
	}
	for h, part := range parts[1:] {
		s, c := math.Sincos(2 * math.Pi * float64(h+1) * bottom)
		hip.Cos[h] += angle * part * c
		hip.Sin[h] += angle * part * s
	}
	k.Joints[body.HipJoint] = hip
	return k
}

// Later returns the kick with the middle of its downkick, between the phases top and
// bottom (cycles), put off by shift (a share of the downkick's duration), ends and upkick
// kept: at the share u of the downkick every joint is where it was at
//
//	u - shift sin2(pi u)
//
// so that the foot is fastest later. It panics unless |shift| is below 0.3, beyond which
// time would run backwards.
func (k Kick) Later(shift, top, bottom float64) Kick {
	if !(math.Abs(shift) < 0.3) {
		panic("swim: a peak cannot be put off by so much")
	}
	const n, kept = 256, 8
	for j, f := range k.Joints {
		x := make([]float64, n)
		for i := range x {
			p := float64(i) / n
			u := (p - top - math.Floor(p-top)) / (bottom - top)
			if u < 1 {
				s := math.Sin(math.Pi * u)
				p -= shift * (bottom - top) * s * s
			}
			x[i] = f.At(p)
		}
		k.Joints[j] = series.Harmonics(x, kept)
	}
	return k
}

// Faster returns the kick with its tempo multiplied by factor.
func (k Kick) Faster(factor float64) Kick {
	k.Tempo *= factor
	return k
}

// KneeBent returns the kick with the knee's whole curve multiplied by factor.
func (k Kick) KneeBent(factor float64) Kick {
	k.Joints[body.KneeJoint] = affine(k.Joints[body.KneeJoint], 0, factor, 0)
	return k
}
