package swim

import (
	"errors"
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
	turnHarmonics   = 8 // of the forefoot's turn
	smallestMinStep = 2*turnHarmonics + 2
)

// Swim returns the steady swim of kick k. Errors: an unusable kick, or
// ErrNoSteadySwim (wrapped). It panics on options that contradict each other.
func (m *Model) Swim(k Kick, opt Options) (*Orbit, error) {
	if err := k.check(); err != nil {
		return nil, fmt.Errorf("swim: %w", err)
	}
	if !m.Bends() && k.bends() {
		return nil, errors.New("swim: the kick moves the spine and the model's trunk is stiff")
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
	if opt.RigidFoot || m.Coef.Forefoot == 0 {
		return o, err
	}
	var turn series.Fourier
	if err == nil {
		turn = o.turn()
	} else {
		turn = m.towedTurn(k, opt.Steps)
	}
	for range forefootPasses {
		if o != nil {
			opt.Warm = o
		}
		loaded := k
		loaded.Joints[body.AnkleJoint] = sumOf(k.Joints[body.AnkleJoint], turn)
		if o, err = m.swimRigid(loaded, opt); err != nil {
			return nil, err
		}
		turn = o.turn()
	}
	o.Kick = k
	return o, nil
}

// sumOf returns a + b.
func sumOf(a, b series.Fourier) series.Fourier {
	n := max(len(a.Cos), len(b.Cos))
	s := series.Fourier{Mean: a.Mean + b.Mean, Cos: make([]float64, n), Sin: make([]float64, n)}
	for _, f := range [2]series.Fourier{a, b} {
		for h := range f.Cos {
			s.Cos[h] += f.Cos[h]
			s.Sin[h] += f.Sin[h]
		}
	}
	return s
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

// turn returns the forefoot's turn by its load in this swim.
func (o *Orbit) turn() series.Fourier {
	w := make([]float64, len(o.trail))
	for i := range w {
		f, v := o.at(i)
		w[i] = o.model.midFoot(f, v)
	}
	return o.model.turnBy(w)
}

// towedTurn returns the forefoot's turn if the hip went straight on at the usual speed for
// the tempo: where the search starts for a kick that swims with a bending foot and, because
// a rigid one stalls more easily, not with a rigid foot.
func (m *Model) towedTurn(k Kick, steps int) series.Fourier {
	sin, cos := math.Sincos(k.Pitch)
	speed := usualSpeed * k.Tempo / usualTempo
	w := make([]float64, steps)
	for i, f := range m.frames(k, steps) {
		w[i] = m.midFoot(&f, hipMotion{speed * cos, -speed * sin, 0})
	}
	return m.turnBy(w)
}

// midFoot returns the normal velocity of the foot's middle, m/s.
func (m *Model) midFoot(f *frame, v hipMotion) float64 {
	_, across, rate := f.seg[body.Feet].velocity(v.x, v.y, v.om)
	return across - m.Chain[body.Feet].Length/2*rate
}

// turnBy returns the forefoot's turn by its load, rad,
//
//	delta = Forefoot w |w| / max(w2)
//
// from the normal velocity w at mid-foot, evenly spaced over the kick; it points the toes
// more in the downkick and less in the upkick. w is overwritten.
func (m *Model) turnBy(w []float64) series.Fourier {
	largest := 0.0
	for _, v := range w {
		largest = math.Max(largest, v*v)
	}
	for i := range w {
		if largest > 0 {
			w[i] *= m.Coef.Forefoot * math.Abs(w[i]) / largest
		}
	}
	return series.Harmonics(w, turnHarmonics)
}
