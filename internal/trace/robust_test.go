package trace

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"underkick/internal/body"
)

// A wild mark is named and does not pull the trace along.
func TestOutlier(t *testing.T) {
	for seed := range uint64(6) {
		s := irregular(seed)
		times, marks := fiveKicks(s, 6, seed)
		clean := s.compare(mustFit(t, times, marks).Motion(), body.Ankle)
		wild := slices.IndexFunc(marks, func(m body.Mark) bool {
			return m.Landmark == body.Ankle && m.Time > times[len(times)/2]
		})
		marks[wild].X += 60
		marks[wild].Y -= 90
		f := mustFit(t, times, marks)
		if !slices.Contains(f.Outliers, wild) {
			t.Errorf("seed %d: the wild mark %d is not among the outliers %v", seed, wild, f.Outliers)
		}
		if len(f.Outliers) > 2 {
			t.Errorf("seed %d: %d outliers for one wild mark", seed, len(f.Outliers))
		}
		if !slices.ContainsFunc(f.Warnings, func(w string) bool { return strings.HasPrefix(w, "ankle") }) {
			t.Errorf("seed %d: warnings %v say nothing of the ankle", seed, f.Warnings)
		}
		if got := s.compare(f.Motion(), body.Ankle); got.rms > clean.rms+0.4 {
			t.Errorf("seed %d: ankle %.2f %%, %.2f %% without the wild mark", seed, got.rms, clean.rms)
		}
	}
}

// Ordinary marks are hardly ever called outliers.
func TestFewFalseOutliers(t *testing.T) {
	called, all := 0, 0
	for seed := range uint64(10) {
		times, marks := fiveKicks(both(seed), 6, seed)
		called += len(mustFit(t, times, marks).Outliers)
		all += len(marks)
	}
	if float64(called) > 0.005*float64(all) {
		t.Errorf("%d of %d good marks called outliers", called, all)
	}
}

// One mark per kick settles no period. The fit must say so, and its band must
// still hold most of the truth, because it holds the other period too.
func TestUnsettledPeriod(t *testing.T) {
	covered, clips := 0.0, 0
	for seed := range uint64(8) {
		s := unsteady(seed)
		times, marks := fiveKicks(s, 1, seed)
		f := mustFit(t, times, marks)
		if f.rival == nil {
			continue
		}
		clips++
		if !slices.ContainsFunc(f.Warnings, func(w string) bool { return strings.Contains(w, "do not settle the kick") }) {
			t.Errorf("seed %d: warnings %v", seed, f.Warnings)
		}
		m := f.Motion()
		for _, l := range nine {
			covered += s.compare(m, l).covered / float64(len(nine))
		}
		checkMixture(t, f, m)
	}
	if clips < 6 {
		t.Errorf("only %d of 8 clips in doubt", clips)
	}
	if covered /= float64(clips); covered < 0.85 {
		t.Errorf("inside the band %.2f", covered)
	}
}

// checkMixture holds the mean square of draws about the motion against its
// standard error, over all frames of the toe.
func checkMixture(t *testing.T, f *Traces, m body.Motion) {
	t.Helper()
	rng := rand.New(rand.NewPCG(1, 2))
	p := m.Paths[body.Toe]
	square, stated := 0.0, 0.0
	for range 200 {
		q := f.Draw(rng).Paths[body.Toe]
		for i := range q.X {
			if dx, dy := q.X[i]-p.X[i], q.Y[i]-p.Y[i]; !math.IsNaN(dx) {
				square += dx*dx + dy*dy
				stated += 2 * p.SD[i] * p.SD[i]
			}
		}
	}
	near(t, "scatter of draws over standard error", math.Sqrt(square/stated), 1, 0.1)
}

// With four marks per kick the period is hardly ever in doubt.
func TestSettledPeriod(t *testing.T) {
	for seed := range uint64(12) {
		times, marks := fiveKicks(both(seed), 4, seed)
		if f := mustFit(t, times, marks); f.rival != nil {
			t.Errorf("seed %d: %.3f s or %.3f s", seed, f.Period, f.rival.Period)
		}
	}
}

func TestRefusals(t *testing.T) {
	times, good := fiveKicks(regular(0), 4, 0)
	with := func(change func(*body.Mark)) []body.Mark {
		marks := slices.Clone(good)
		change(&marks[4])
		return marks
	}
	for name, c := range map[string]struct {
		times []float64
		marks []body.Mark
		want  string
	}{
		"no frames":         {nil, good, "no frames"},
		"time stands still": {[]float64{0, 1, 1, 2}, good, "frame 2"},
		"time is NaN":       {[]float64{0, math.NaN()}, good, "frame 1"},
		"place is NaN":      {times, with(func(m *body.Mark) { m.X = math.NaN() }), "mark 4"},
		"place is infinite": {times, with(func(m *body.Mark) { m.Y = math.Inf(-1) }), "mark 4"},
		"mark time is NaN":  {times, with(func(m *body.Mark) { m.Time = math.NaN() }), "mark 4"},
		"negative error":    {times, with(func(m *body.Mark) { m.SD = -1 }), "negative"},
		"no landmark":       {times, with(func(m *body.Mark) { m.Landmark = 99 }), "no landmark"},
	} {
		if _, err := Fit(c.times, c.marks, Options{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	for name, marks := range map[string][]body.Mark{
		"no marks":      nil,
		"four frames":   good[:4*len(nine)],
		"all one point": slices.Repeat([]body.Mark{{Time: 1, Landmark: body.Toe, X: 3, Y: 4}}, 9),
	} {
		if _, err := Fit(times, marks, Options{}); !errors.Is(err, ErrTooFewMarks) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("seven harmonics must stop the caller")
		}
	}()
	_, _ = Fit(times, good, Options{Harmonics: 7})
}

// Points that do not move, points on a line and points far apart in time must
// give a trace or an error, never a panic or an infinite number.
func FuzzFit(f *testing.F) {
	f.Add(uint64(1), uint8(20), 2.0, 300.0, 0.0)
	f.Add(uint64(2), uint8(5), 1e-7, 0.0, 1e6)
	f.Add(uint64(3), uint8(60), 1e3, -4.0, 0.1)
	f.Add(uint64(4), uint8(9), 0.0, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, seed uint64, count uint8, size, drift, sd float64) {
		rng := rand.New(rand.NewPCG(seed, 0))
		times := frames(2, 30)
		var marks []body.Mark
		for range count {
			i := rng.IntN(len(times))
			marks = append(marks, body.Mark{
				Frame: i, Time: times[i] + float64(rng.IntN(3))*rng.Float64()*1e-3, Landmark: body.Landmark(rng.IntN(3)),
				X: drift * times[i], Y: size * rng.NormFloat64(), SD: sd,
			})
		}
		fit, err := Fit(times, marks, Options{})
		if err != nil {
			return
		}
		for _, m := range []body.Motion{fit.Motion(), fit.Draw(rng)} {
			for l, p := range m.Paths {
				if p == nil {
					continue
				}
				for i := range times {
					for _, v := range []float64{p.X[i], p.Y[i], p.VX[i], p.VY[i], p.SD[i]} {
						if math.IsInf(v, 0) || math.IsNaN(v) != math.IsNaN(p.X[i]) {
							t.Fatalf("%v, frame %d: %v %v %v %v %v", body.Landmark(l), i, p.X[i], p.Y[i], p.VX[i], p.VY[i], p.SD[i])
						}
					}
				}
			}
		}
	})
}
