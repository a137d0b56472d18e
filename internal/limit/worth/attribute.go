package worth

import (
	"fmt"
	"math"

	"underkick/internal/series"
	"underkick/internal/swim"
)

// attribution is what each part is worth between two kicks in one model.
type attribution struct {
	phi   [numParts]float64 // Shapley values, m/s
	alone [numParts]float64 // change when this part alone is swapped, m/s
	total float64           // change when all are, m/s
	base  *swim.Orbit       // the own kick at the measured speed
	equal [numParts]float64 // change at unchanged power when this part alone is swapped, m/s
	power [numParts]float64 // change of power then, as a fraction
}

// attribute swims all mixes of the parts of own and ref in the body m with own's pitch,
// at the personal factor that gives own the speed (m/s). The error wraps
// swim.ErrNoSteadySwim; a single mix without a steady swim spoils the whole.
func attribute(m *swim.Model, own, ref swim.Kick, speed float64, steps int) (*attribution, error) {
	a, b := split(&m.Chain, own), split(&m.Chain, ref)
	base, err := calibrated(m, assemble(a, a, 0, own.Pitch), speed, steps)
	if err != nil {
		return nil, err
	}
	out := &attribution{base: base}
	var v [numMixes]float64
	v[0] = base.Speed
	last := base
	for i := 1; i < numMixes; i++ {
		mix := mix(i ^ i>>1) // Gray's order: every mix differs from the one before in one part
		o, err := m.Swim(assemble(a, b, mix, own.Pitch), swim.Options{Steps: steps, DragFactor: base.DragFactor, Warm: last})
		if err != nil {
			return nil, fmt.Errorf("swim with parts of the reference kick: %w", err)
		}
		v[mix], last = o.Speed, o
		if mix.size() == 1 {
			p := mix.part()
			out.equal[p], out.power[p] = effort(base, o)
		}
	}
	out.phi = shapley(&v)
	for p := range Part(numParts) {
		out.alone[p] = v[only(p)] - v[0]
	}
	out.total = v[numMixes-1] - v[0]
	return out, nil
}

// calibrated swims a kick with the personal factor that gives it the speed (m/s). The
// factor is found first and swum with again, so that this swim and those it is compared
// with come about in the same way: how the forefoot bends is found by two passes from a
// rigid foot, which at a given speed are not quite those at a given factor.
func calibrated(m *swim.Model, k swim.Kick, speed float64, steps int) (*swim.Orbit, error) {
	o, err := m.Swim(k, swim.Options{Steps: steps, TargetSpeed: speed})
	if err != nil {
		return nil, fmt.Errorf("swim the kick as measured: %w", err)
	}
	if o, err = m.Swim(k, swim.Options{Steps: steps, DragFactor: o.DragFactor, Warm: o}); err != nil {
		return nil, fmt.Errorf("swim the kick as measured: %w", err)
	}
	return o, nil
}

// effort compares two swims of one swimmer: the change of speed at unchanged power, m/s,
//
//	V1 (P0/P1)^(1/3) - V0
//
// exact, by slowing the tempo, and the change of power as a fraction.
func effort(before, after *swim.Orbit) (equal, power float64) {
	ratio := after.Loads().Power / before.Loads().Power
	return after.Speed/math.Cbrt(ratio) - before.Speed, ratio - 1
}

// pooled returns the mean kick of several runs, aligned at their toe tops, and their
// speed, each weighted by its number of kicks.
func pooled(runs []seen) (swim.Kick, float64) {
	var total, time, way float64
	mean := swim.Kick{}
	for j := range mean.Joints {
		mean.Joints[j] = series.Fourier{Cos: make([]float64, len(runs[0].kick.Joints[j].Cos)), Sin: make([]float64, len(runs[0].kick.Joints[j].Sin))}
	}
	for _, r := range runs {
		n := float64(r.count)
		total += n
		time += n / r.kick.Tempo
		way += r.speed * n / r.kick.Tempo
	}
	for _, r := range runs {
		share := float64(r.count) / total
		mean.Pitch += share * r.kick.Pitch
		for j, f := range r.kick.Joints {
			add(&mean.Joints[j], f, share)
		}
	}
	mean.Tempo = total / time
	return mean, way / time
}

func add(to *series.Fourier, f series.Fourier, share float64) {
	to.Mean += share * f.Mean
	for h := range to.Cos {
		to.Cos[h] += share * f.Cos[h]
		to.Sin[h] += share * f.Sin[h]
	}
}
