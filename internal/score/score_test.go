package score

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/kick/kicktest"
)

// white returns a still swimmer at n frames and a copy with white noise of sd per
// axis that states the given standard error.
func white(n int, sd, stated float64) (truth, got body.Motion) {
	rng := rand.New(rand.NewPCG(1, 2))
	truth.T = make([]float64, n)
	got.T = truth.T
	for l := range truth.Paths {
		a := &body.Path{X: make([]float64, n), Y: make([]float64, n)}
		b := &body.Path{X: make([]float64, n), Y: make([]float64, n), SD: make([]float64, n)}
		for i := range n {
			truth.T[i] = float64(i)
			a.X[i], a.Y[i] = 100*float64(l), 0
			b.X[i], b.Y[i], b.SD[i] = a.X[i]+sd*rng.NormFloat64(), sd*rng.NormFloat64(), stated
		}
		truth.Paths[l], got.Paths[l] = a, b
	}
	return truth, got
}

// A two-dimensional normal error of sd per axis has rms distance sd sqrt 2, lies in
// its 95 % band 95 % of the time, and keeps below sd sqrt(-2 ln 0.05) in 95 of 100
// (Rayleigh distribution).
func TestWhiteErrorsHaveTheirKnownScatter(t *testing.T) {
	truth, got := white(20000, 2, 2)
	var s Traces
	s.Add(truth, got, 500)
	for _, l := range s.Landmarks() {
		near(t, "rms px", l.RMSPx, 2*math.Sqrt2, 0.04)
		near(t, "rms", l.RMS, 2*math.Sqrt2/500, 0.0001)
		near(t, "95 of 100", l.P95, 2*math.Sqrt(-2*math.Log(0.05))/500, 0.0002)
		near(t, "stated", l.Stated, 2*math.Sqrt2/500, 1e-9)
		near(t, "held", l.Held, 0.95, 0.005)
		near(t, "traced", l.Traced, 1, 0)
	}
	// Half the standard error holds what a normal distribution has within 0.98 sd.
	truth, got = white(20000, 2, 1)
	s = Traces{}
	s.Add(truth, got, 500)
	near(t, "held by half the error", s.Landmarks()[body.Toe].Held, math.Erf(z95/2/math.Sqrt2), 0.01)
}

func TestFramesWithoutTraceAreCounted(t *testing.T) {
	truth, got := white(100, 1, 1)
	for i := range 25 {
		got.Paths[body.Knee].X[i] = math.NaN()
	}
	got.Paths[body.Head] = nil
	var s Traces
	s.Add(truth, got, 500)
	for _, l := range s.Landmarks() {
		switch l.Landmark {
		case body.Knee:
			near(t, "traced", l.Traced, 0.75, 0)
		case body.Head:
			t.Error("a landmark that was not traced at all is compared")
		}
	}
}

// A foot turned by a known angle has that error, whatever its place.
func TestFootAngleIsTheTurnOfTheFoot(t *testing.T) {
	truth, got := white(10, 0, 1)
	for i := range 10 {
		truth.Paths[body.Toe].X[i] = truth.Paths[body.Ankle].X[i] - 1
		truth.Paths[body.Toe].Y[i] = 0
		sin, cos := math.Sincos(math.Pi - 0.1) // across the cut of atan2
		got.Paths[body.Toe].X[i] = got.Paths[body.Ankle].X[i] + cos
		got.Paths[body.Toe].Y[i] = -sin
	}
	var s Traces
	s.Add(truth, got, 500)
	near(t, "foot angle", s.FootAngle(), 0.1, 1e-9)
}

func TestMeasuresAreJudgedByTheirKind(t *testing.T) {
	var s Measures
	s.Add(2, kick.Measure{ID: "speed", Unit: "m/s", Value: 2.1, Low: 1.9, High: 2.3})
	s.Add(2, kick.Measure{ID: "speed", Unit: "m/s", Value: 1.7, Low: 1.6, High: 1.8})
	s.Add(30, kick.Measure{ID: "knee", Unit: "deg", Value: 33, Low: 29, High: 37})
	s.Add(0.99, kick.Measure{ID: "knee_speed_at", Unit: "1", Value: 0.01, Low: -0.05, High: 0.07})
	s.Add(30, kick.Measure{ID: "knee", Unit: "deg", Value: math.NaN()})
	s.Add(math.NaN(), kick.Measure{ID: "knee", Unit: "deg", Value: 3})
	s.Add(1, kick.Measure{ID: "build_peak", Text: "early"})
	list := s.List()
	if len(list) != 3 {
		t.Fatalf("%d measures, want 3: %+v", len(list), list)
	}
	near(t, "speed bias", list[0].Bias, -0.05, 1e-12)
	near(t, "speed rms", list[0].RMS, math.Sqrt((0.05*0.05+0.15*0.15)/2), 1e-12)
	near(t, "speed held", list[0].Held, 0.5, 0)
	near(t, "knee rms", list[1].RMS, 3, 1e-12)
	near(t, "knee in band", list[1].Held, 1, 0)
	near(t, "moment across the kick's end", list[2].RMS, 0.02, 1e-12)
	if list[1].Withheld != 1 {
		t.Errorf("withheld %d, want 1", list[1].Withheld)
	}
	if held, of := s.Bands(); held != 3 || of != 4 {
		t.Errorf("bands %d of %d, want 3 of 4", held, of)
	}
}

// Marked phases must be spread over the kick even where the number of frames is a
// whole multiple of the kicks, for then even spacing hits the same phases again.
func TestCoachStaggersPhases(t *testing.T) {
	const period, rate = 0.5, 120.0
	m := kicktest.Reference().Motion(times(int(5*period*rate), rate))
	for _, n := range []int{10, 20, 40} {
		c := Coach{Frames: n, NoisePx: 2, Period: period, Seed: 3}
		frames := c.choose(m.T, 0, len(m.T)-1)
		if len(frames) != n {
			t.Fatalf("%d frames chosen, want %d", len(frames), n)
		}
		var phases []float64
		for i, f := range frames {
			if i > 0 && f <= frames[i-1] {
				t.Fatalf("frames %v do not rise", frames)
			}
			phases = append(phases, math.Mod(m.T[f]/period, 1))
		}
		slices.Sort(phases)
		gap := phases[0] + 1 - phases[n-1]
		for i := 1; i < n; i++ {
			gap = max(gap, phases[i]-phases[i-1])
		}
		if gap > 2.5/float64(n) {
			t.Errorf("%d frames leave %.2f of the kick unmarked", n, gap)
		}
	}
}

func TestCoachClicksWithTheGivenNoise(t *testing.T) {
	m := kicktest.Reference().Motion(times(2000, 120))
	for _, p := range m.Paths {
		if p != nil {
			for i := range p.X {
				p.X[i], p.Y[i] = 640, 360
			}
		}
	}
	c := Coach{Frames: 2000, NoisePx: 2, Period: 0.5, Seed: 5}
	marks := c.Mark(m, 0, 1999, 1280, 720)
	sum := 0.0
	for _, k := range marks {
		sum += (k.X-640)*(k.X-640) + (k.Y-360)*(k.Y-360)
	}
	near(t, "noise", math.Sqrt(sum/float64(2*len(marks))), 2, 0.05)
	again := c.Mark(m, 0, 1999, 1280, 720)
	if len(again) != len(marks) || again[7] != marks[7] {
		t.Error("the same coach marks differently the second time")
	}
	if out := c.Mark(m, 0, 1999, 600, 720); len(out) != 0 {
		t.Errorf("%d marks outside the picture", len(out))
	}
}

func times(n int, rate float64) []float64 {
	t := make([]float64, n)
	for i := range t {
		t[i] = float64(i) / rate
	}
	return t
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %g, want %g within %g", what, got, want, tolerance)
	}
}
