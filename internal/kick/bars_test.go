package kick

import (
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick/kicktest"
)

// Fully marked film, 4 mm of white noise per axis (the floor that careful marking
// reaches), five kicks, 60 and 120 pictures per second: every clip must lie within
// the accuracy asked of full marking (speed 1 %, tempo 0.5 %, toe travel 2 %, knee
// 2 deg, ankle 3 deg), and the mean over clips shows what the filter takes.
func TestAccuracyOfFullMarking(t *testing.T) {
	orbit, subject := filmedReference(t)
	truth := measured(t, orbit.Motion(kicktest.Times(0, 2.7, 960), 0.1), subject, Options{})
	bars := []struct {
		id       string
		tol      float64
		relative bool
	}{
		{"speed", 0.01, true},
		{"kick_frequency", 0.005, true},
		{"toe_amplitude", 0.02, true},
		{"knee_flexion_max", 2, false},
		{"knee_range", 3, false},
		{"ankle_min", 3, false},
		{"ankle_max", 3, false},
		{"toe_peak_speed_down", 0.05, true},
		{"facing", 0.02, false},
		{"build", 0.03, false},
		{"build_late", 0.03, false},
		{"end_lead", 1, false},
		{"sweep", 0.02, true},
	}
	for _, rate := range []float64{60, 120} {
		mean, worst := map[string]float64{}, map[string]float64{}
		const clips = 15
		for c := range clips {
			m := jittered(orbit.Motion(kicktest.Times(0, 2.7, rate), 0.1), 0.004, uint64(c))
			r := measured(t, m, subject, Options{})
			for _, b := range bars {
				e := value(t, r, b.id) - value(t, truth, b.id)
				if b.relative {
					e /= value(t, truth, b.id)
				}
				mean[b.id] += e / clips
				worst[b.id] = math.Max(worst[b.id], math.Abs(e))
			}
		}
		for _, b := range bars {
			t.Logf("%3.0f Hz %-20s mean error %+.4f, worst %.4f, bar %g", rate, b.id, mean[b.id], worst[b.id], b.tol)
			if worst[b.id] > b.tol {
				t.Errorf("%g Hz: %s is off by up to %.4f, bar %g", rate, b.id, worst[b.id], b.tol)
			}
		}
	}
}

// Whatever is thrown at it: no panic, and no value missing without a reason.
func TestRubbish(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	s := kicktest.Reference()
	for range 150 {
		m := s.Motion(kicktest.Times(0, 0.3+2*rng.Float64(), 15+200*rng.Float64()))
		for l, p := range m.Paths {
			switch rng.IntN(6) {
			case 0:
				m.Paths[l] = nil
				continue
			case 1: // holes
				for range 1 + rng.IntN(5) {
					a, n := rng.IntN(len(p.X)), rng.IntN(1+len(p.X)/4)
					for i := a; i < min(a+n, len(p.X)); i++ {
						p.X[i], p.Y[i] = math.NaN(), math.NaN()
					}
				}
			case 2: // wild points
				for range 3 {
					p.X[rng.IntN(len(p.X))] += 100 * rng.NormFloat64()
				}
			case 3: // all in one place
				if rng.IntN(4) == 0 {
					for i := range p.X {
						p.X[i], p.Y[i] = 1, 1
					}
				}
			}
		}
		r, err := MeasureRun(t.Context(), m, body.Subject{}, Options{Draws: 2})
		if err != nil {
			continue
		}
		for _, x := range r.Summary {
			if !x.Known() && len(x.Reasons) == 0 {
				t.Fatalf("%s is missing without a reason, %d kicks counted", x.ID, r.Counted)
			}
			if math.IsInf(x.Value, 0) {
				t.Errorf("%s is infinite", x.ID)
			}
		}
	}
}
