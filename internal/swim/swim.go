package swim

import (
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/series"
)

// Options say what is asked of a steady swim. The zero value: 48 steps, bending
// forefoot, drag factor 1, free speed, cold start.
type Options struct {
	Steps      int     // integration steps per kick; 0 = 48 (good to 2e-3 m/s, mostly to 2e-5)
	RigidFoot  bool    // the forefoot does not bend with its load
	DragFactor float64 // personal factor kd on the drag along the body; 0 = 1
	// TargetSpeed, if above 0, is the mean speed to be met (m/s) by solving for the drag
	// factor: the personal calibration.
	TargetSpeed float64
	// TowSpeed, if above 0, is the mean speed to be held (m/s) by a horizontal force at
	// the hip, which is solved for. Not together with TargetSpeed.
	TowSpeed float64
	// Warm, if not nil, is a steady swim of a similar kick to start from.
	Warm *Orbit
}

const (
	defaultSteps    = 48
	forefootPasses  = 2
	ankleHarmonics  = 8 // of the ankle curve with the forefoot's turn in it
	smallestMinStep = 2*ankleHarmonics + 2
)

// Swim returns the steady swim of kick k. Errors: an unusable kick, or
// ErrNoSteadySwim (wrapped). It panics on options that contradict each other.
func (m *Model) Swim(k Kick, opt Options) (*Orbit, error) {
	if err := k.check(); err != nil {
		return nil, fmt.Errorf("swim: %w", err)
	}
	if opt.TargetSpeed > 0 && opt.TowSpeed > 0 {
		panic("swim: a target speed and a tow speed cannot be met together")
	}
	if opt.Steps == 0 {
		opt.Steps = defaultSteps
	}
	if opt.Steps < smallestMinStep {
		panic(fmt.Sprintf("swim: fewer than %d steps per kick", smallestMinStep))
	}
	o, err := m.swimRigid(k, opt)
	if err != nil || opt.RigidFoot || m.Coef.Forefoot == 0 {
		return o, err
	}
	for range forefootPasses {
		loaded := k
		loaded.Joints[body.AnkleJoint] = o.bentAnkle(k.Joints[body.AnkleJoint])
		opt.Warm = o
		if o, err = m.swimRigid(loaded, opt); err != nil {
			return nil, err
		}
	}
	o.Kick = k
	return o, nil
}

// swimRigid returns the steady swim with the ankle just as in k.
func (m *Model) swimRigid(k Kick, opt Options) (*Orbit, error) {
	p := shooting{model: m, frames: m.frames(k, 2*opt.Steps), period: 1 / k.Tempo, pitch: k.Pitch, kd: 1, n: 6}
	if opt.DragFactor > 0 {
		p.kd = opt.DragFactor
	}
	if p.speed = math.Max(opt.TargetSpeed, opt.TowSpeed); p.speed > 0 {
		p.n, p.tow = 7, opt.TowSpeed > 0
	}
	x, err := unknowns{}, error(ErrNoSteadySwim)
	if opt.Warm != nil && opt.Warm.tow == p.tow {
		x = opt.Warm.found
		// Leaving out the last unknown leaves the others' slopes as they are.
		p.slope, p.sloped = opt.Warm.slope, opt.Warm.solvedFor >= p.n
		if opt.Warm.solvedFor != p.n && !p.tow {
			x[6] = p.kd / kdScale
		}
		x, err = p.solve(x)
	}
	if err != nil {
		x, err = p.solveCold()
	}
	if err != nil {
		return nil, fmt.Errorf("swim at %.2f Hz: %w", k.Tempo, err)
	}
	return p.orbit(k, &x), nil
}

// bentAnkle returns the ankle curve with the forefoot's turn by its load added,
//
//	delta = Forefoot w |w| / max(w2), w = normal velocity at mid-foot
//
// which points the toes more in the downkick and less in the upkick.
func (o *Orbit) bentAnkle(ankle series.Fourier) series.Fourier {
	n := len(o.trail)
	w := make([]float64, n)
	largest := 0.0
	for i := range w {
		f, v := o.at(i)
		_, across, rate := f.seg[body.Feet].velocity(v.x, v.y, v.om)
		w[i] = across - o.model.Chain[body.Feet].Length/2*rate
		largest = math.Max(largest, w[i]*w[i])
	}
	if largest == 0 {
		return ankle
	}
	for i := range w {
		w[i] = ankle.At(float64(i)/float64(n)) + o.model.Coef.Forefoot*w[i]*math.Abs(w[i])/largest
	}
	return series.Harmonics(w, ankleHarmonics)
}
