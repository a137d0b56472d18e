package kick

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick/kicktest"
)

// uneven is a swimmer whose kicks differ in size by up to 10 %.
func uneven() kicktest.Swimmer {
	s := kicktest.Reference()
	s.Climb = 2 * degree
	sizes := []float64{1, 0.93, 1.05, 0.97, 1.04, 0.95, 1.02, 1}
	s.Size = func(k int) float64 { return sizes[((k%len(sizes))+len(sizes))%len(sizes)] }
	return s
}

// jittered returns the motion with white noise of the given SD, m.
func jittered(m body.Motion, sd float64, seed uint64) body.Motion {
	rng := rand.New(rand.NewPCG(seed, 7))
	out := m.Transform(1, 0, 0, 1)
	for _, p := range out.Paths {
		if p == nil {
			continue
		}
		for i := range p.X {
			p.X[i] += sd * rng.NormFloat64()
			p.Y[i] += sd * rng.NormFloat64()
		}
	}
	return out
}

// same compares two results measure by measure; factor gives what a measure of b
// must be multiplied with to be that of a, NaN to leave it out.
func same(t *testing.T, name string, a, b *Result, tol float64, factor func(d Definition) float64) {
	t.Helper()
	if a.Counted != b.Counted {
		t.Fatalf("%s: %d and %d kicks", name, a.Counted, b.Counted)
	}
	for i, d := range Definitions() {
		f := factor(d)
		x, y := a.Summary[i].Value, b.Summary[i].Value*f
		if math.IsNaN(f) {
			continue
		}
		size := math.Max(math.Abs(x), scaleOf(d.Unit))
		if !(math.Abs(x-y) <= tol*size) {
			t.Errorf("%s: %s is %.6g and %.6g", name, d.ID, x, y)
		}
	}
}

// scaleOf is a size below which differences in a unit are judged absolutely.
func scaleOf(unit string) float64 {
	switch unit {
	case "deg":
		return 20
	case "deg/s":
		return 300
	}
	return 0.2
}

func one(Definition) float64 { return 1 }

func TestInvariances(t *testing.T) {
	s := uneven()
	times := kicktest.Times(0.02, 3, 120)
	for name, m := range map[string]body.Motion{
		"filtered": jittered(s.Motion(times), 0.003, 1),
		"fitted":   s.Fitted(times),
	} {
		base := measured(t, m, s.Subject, Options{})
		if base.Counted < 5 {
			t.Fatalf("%s: %d kicks", name, base.Counted)
		}
		// The other way along the pool: everything is the same, the climb too.
		mirrored := measured(t, m.Transform(-1, 0, 0, 1), s.Subject, Options{})
		same(t, name+" mirrored", base, mirrored, 1e-9, one)
		if !mirrored.Line.Turned || mirrored.Line.Along[0] >= 0 {
			t.Errorf("%s mirrored: line %+v", name, mirrored.Line)
		}
		// On the back: the same swimmer upside down, who climbs when the other sinks.
		supine := measured(t, m.Transform(1, 0, 0, -1), s.Subject, Options{Supine: true})
		same(t, name+" supine", base, supine, 1e-9, func(d Definition) float64 {
			if d.ID == "climb" {
				return -1
			}
			return 1
		})
		// A tilted picture tilts the travel line and nothing else.
		tilted := measured(t, m.Rotate(5*degree), s.Subject, Options{})
		if got := value(t, tilted, "climb") - value(t, base, "climb"); math.Abs(got-5) > 0.01 {
			t.Errorf("%s tilted by 5 deg: climb changes by %g", name, got)
		}
		same(t, name+" tilted", base, tilted, 2e-3, func(d Definition) float64 {
			if d.ID == "climb" {
				return math.NaN()
			}
			return 1
		})
		// A larger swimmer, faster in proportion.
		big := s.Subject
		big.Height *= 1.25
		big.Mass *= 1.25 * 1.25 * 1.25
		scaled := measured(t, m.Scale(1.25), big, Options{})
		same(t, name+" scaled", base, scaled, 2e-3, func(d Definition) float64 {
			switch {
			case d.ID == "rearward_area":
				return 1 / (1.25 * 1.25)
			case strings.HasPrefix(d.Unit, "m"):
				return 1 / 1.25
			}
			return 1
		})
		// Elsewhere in the pool, later in the film.
		moved := m.Transform(1, 0, 0, 1)
		moved.T = make([]float64, len(m.T))
		for i := range m.T {
			moved.T[i] = m.T[i] + 17.25
		}
		for _, p := range moved.Paths {
			for i := range p.X {
				p.X[i] += 6
				p.Y[i] -= 1.5
			}
		}
		later := measured(t, moved, s.Subject, Options{})
		same(t, name+" moved", base, later, 1e-6, one)
		within(t, name+" start of the first kick", firstWhole(later).Start-firstWhole(base).Start, 17.25, 1e-6)
	}
}

func firstWhole(r *Result) Kick {
	for _, k := range r.Kicks {
		if k.Number > 0 {
			return k
		}
	}
	return Kick{}
}

func TestFrameRates(t *testing.T) {
	s := kicktest.Reference()
	truth := measured(t, s.Fitted(kicktest.Times(0, 3, 480)), s.Subject, Options{})
	for _, c := range []struct {
		rate, tol float64
		fitted    bool
	}{{240, 0.01, true}, {120, 0.015, true}, {60, 0.03, true}, {240, 0.03, false}, {120, 0.04, false}, {60, 0.06, false}} {
		m := s.Motion(kicktest.Times(0.003, 2.95, c.rate))
		if c.fitted {
			m = s.Fitted(m.T)
		}
		r := measured(t, m, s.Subject, Options{})
		if r.Counted != truth.Counted {
			t.Errorf("%g Hz: %d kicks, not %d", c.rate, r.Counted, truth.Counted)
			continue
		}
		same(t, "rate", truth, r, c.tol, one)
	}
}

// Presentation times that are not quite even, as in a variable-frame-rate film.
func TestUnevenTimes(t *testing.T) {
	s := kicktest.Reference()
	rng := rand.New(rand.NewPCG(5, 5))
	times := kicktest.Times(0, 3, 120)
	for i := range times {
		times[i] += 0.002 * (rng.Float64() - 0.5)
	}
	times = append(times[:100], times[101:]...) // one dropped picture
	even := measured(t, s.Motion(kicktest.Times(0, 3, 120)), s.Subject, Options{})
	same(t, "uneven times", even, measured(t, s.Motion(times), s.Subject, Options{}), 0.01, one)
}

// Check 37 of the reference notes (analytic): in every kick the fastest toe of a
// phase is at least the travel over the phase's time, and the fastest joint at
// least its range over the time between its extremes.
func TestSpeedIsAtLeastWayOverTime(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	kicks := 0
	for trial := range 30 {
		s := uneven()
		s.Frequency = 1.6 + 1.3*rng.Float64()
		for j := range s.Joints {
			for k := range s.Joints[j].Amp {
				s.Joints[j].Amp[k] *= 0.8 + 0.4*rng.Float64()
			}
		}
		m := jittered(s.Motion(kicktest.Times(rng.Float64(), 2.5, []float64{50, 60, 120, 240}[trial%4])), 0.006*rng.Float64(), uint64(trial))
		r := measured(t, m, s.Subject, Options{})
		for _, k := range r.Kicks {
			if k.Number == 0 {
				continue
			}
			kicks++
			v := k.Values
			atLeast := func(fast, way, time string) {
				if !(v[fast] >= 0.995*v[way]/v[time]) {
					t.Errorf("trial %d kick %d: %s %.3f, below %s/%s = %.3f", trial, k.Number, fast, v[fast], way, time, v[way]/v[time])
				}
			}
			atLeast("toe_peak_speed_down", "toe_amplitude", "downkick_duration")
			if !(v["toe_peak_speed_up"] >= 0.995*(v["toe_amplitude"]-0.1)/v["upkick_duration"]) {
				t.Errorf("trial %d kick %d: upkick toe too slow", trial, k.Number)
			}
			period := k.End - k.Start
			for _, j := range [][3]string{
				{"knee_range", "knee_flexion_speed", "knee_extension_speed"},
				{"hip_range", "hip_flexion_speed", "hip_extension_speed"},
				{"ankle_range", "ankle_bending_speed", "ankle_pointing_speed"},
			} {
				faster := math.Max(v[j[1]], v[j[2]])
				if !(faster >= v[j[0]]/period) {
					t.Errorf("trial %d kick %d: %v", trial, k.Number, j)
				}
			}
		}
	}
	if kicks < 90 {
		t.Errorf("only %d kicks were looked at", kicks)
	}
}
