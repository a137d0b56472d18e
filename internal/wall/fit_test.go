package wall

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/hydro"
)

func glided(g hydro.Glide, x0, v0 float64, times ...float64) []Point {
	var list []Point
	for _, t := range times {
		list = append(list, Point{t + 3.7, x0 + g.DistanceAfter(v0, t)})
	}
	return list
}

// Positions made by the closed form of check 23 give its rate back, with three points or more,
// with two and the speed, and in any zero of time and place.
func TestFitFindsTheGlide(t *testing.T) {
	g := hydro.NewGlide(23.5, 70, 17.5)
	for name, c := range map[string]struct {
		points []Point
		speed  Given
	}{
		"three":        {glided(g, 1.2, 2.5, 0, 0.4, 0.9), Given{}},
		"many":         {glided(g, -4, 2.1, 0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0), Given{}},
		"two and v":    {glided(g, 1.2, 2.5, 0, 0.9), Given{Value: 2.5, SD: 0.01}},
		"nearly still": {glided(hydro.Glide{Rate: 0.04}, 0, 2.5, 0, 0.4, 0.9), Given{}},
	} {
		f, err := FitGlide(c.points, GlideOptions{Speed: c.speed})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		want := g.Rate
		if name == "nearly still" {
			want = 0.04
		}
		near(t, name+": rate", f.Rate, want, 1e-5)
		if name != "nearly still" {
			near(t, name+": start", f.Start, map[string]float64{"three": 2.5, "many": 2.1, "two and v": 2.5}[name], 1e-4)
		}
	}
}

// Naemi and Sanders (2008, J Biomech Eng 130:061016) report standard errors of the fitted
// glide factor below 2.5 %. With 50 positions of 3 mm (one second at 50 per second) the
// stated error is of that order, and it is true: the fits scatter as much as it says.
func TestFitStatesItsError(t *testing.T) {
	g := hydro.Glide{Rate: 0.2686}
	rng := rand.New(rand.NewPCG(1, 2))
	var sum, stated float64
	const trials = 400
	for range trials {
		var times []float64
		for i := range 61 {
			times = append(times, float64(i)/40)
		}
		points := glided(g, 0, 2.5, times...)
		for i := range points {
			points[i].X += 0.003 * rng.NormFloat64()
		}
		f, err := FitGlide(points, GlideOptions{SD: 0.003})
		if err != nil {
			t.Fatal(err)
		}
		sum += (f.Rate - g.Rate) * (f.Rate - g.Rate)
		stated += f.RateSE / trials
	}
	scatter := math.Sqrt(sum / trials)
	near(t, "stated over true error", stated/scatter, 1, 0.12) // a scatter of 400 is known to 4 %
	if stated/g.Rate > 0.025 {
		t.Errorf("relative standard error %.3f, published below 0.025", stated/g.Rate)
	}
}

// Feet and seconds of another clock change the rate as lengths do.
func TestFitChangesOfUnit(t *testing.T) {
	points := glided(hydro.Glide{Rate: 0.25}, 1, 2.4, 0, 0.3, 0.7, 1.1)
	for i, off := range []float64{0.004, -0.006, 0.005, -0.002} {
		points[i].X += off
	}
	a, err := FitGlide(points, GlideOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range points {
		points[i].X, points[i].T = points[i].X/0.3048+10, 60*points[i].T
	}
	b, err := FitGlide(points, GlideOptions{SD: markSD / 0.3048})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rate per foot", b.Rate, a.Rate*0.3048, 1e-6)
	near(t, "its error", b.RateSE, a.RateSE*0.3048, 1e-6)
	near(t, "start, feet a minute", b.Start, a.Start/0.3048/60, 1e-6)
}

func TestFitRefuses(t *testing.T) {
	g := hydro.Glide{Rate: 0.25}
	for name, points := range map[string][]Point{
		"none":        nil,
		"two":         glided(g, 0, 2, 0, 1),
		"back":        {{0, 0}, {0.5, 1}, {1, 0.9}},
		"same time":   {{0, 0}, {0, 1}, {1, 2}},
		"speeding up": {{0, 0}, {0.5, 0.5}, {1, 1.4}},
		"no number":   {{0, 0}, {0.5, math.NaN()}, {1, 1.4}},
	} {
		if f, err := FitGlide(points, GlideOptions{}); !errors.Is(err, ErrGlide) {
			t.Errorf("%s: %+v %v", name, f, err)
		}
	}
	if _, err := GlideBetween(Given{Value: 2}, Given{Value: 2.1}, 1); !errors.Is(err, ErrGlide) {
		t.Error("a speed that rises was fitted")
	}
}
