package demo

import (
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/trace"
)

// Measuring the true landmarks of every frame finds the exact measures: two ways that
// share no code from landmarks to numbers. The filter's share is the tolerance of the
// angles and of the toe's peak speed.
func TestMeasuringTheTruthFindsTheTruth(t *testing.T) {
	s := load(t)
	relative := map[string]float64{"speed": 0.002, "kick_frequency": 0.001, "toe_amplitude": 0.003, "strouhal": 0.004, "toe_peak_speed_down": 0.04, "toe_peak_speed_up": 0.04}
	degrees := map[string]float64{"knee_flexion_max": 0.7, "ankle_min": 0.5, "ankle_max": 0.5}
	for _, c := range s.Clips {
		truth := truthOf(t, c)
		m := inPool(t, truth)
		r, err := kick.MeasureRun(t.Context(), m, s.Swimmers[c.Swimmer].Subject(), kick.Options{Supine: truth.Supine, Draws: -1})
		if err != nil {
			t.Fatal(err)
		}
		found := 0
		for _, got := range r.Summary {
			want, ok := truth.Measure(got.ID)
			if !ok {
				continue
			}
			if tol, ok := relative[got.ID]; ok {
				found++
				if math.Abs(got.Value/want.Value-1) > tol {
					t.Errorf("%s: %s = %.4f, true %.4f", c.Name, got.ID, got.Value, want.Value)
				}
			}
			if tol, ok := degrees[got.ID]; ok {
				found++
				if math.Abs(got.Value-want.Value) > tol {
					t.Errorf("%s: %s = %.2f, true %.2f deg", c.Name, got.ID, got.Value, want.Value)
				}
			}
		}
		if found != len(relative)+len(degrees) {
			t.Errorf("%s: only %d of %d measures were found", c.Name, found, len(relative)+len(degrees))
		}
	}
}

// inPool returns the true landmarks of the run in metres and true seconds.
func inPool(t *testing.T, truth Truth) body.Motion {
	t.Helper()
	view, err := truth.View()
	if err != nil {
		t.Fatal(err)
	}
	var times []float64
	var marks []body.Mark
	for f := truth.InView[0]; f <= truth.InView[1]; f++ {
		at := truth.Times[f] * truth.FPS / truth.TrueFPS
		for l := range body.Landmark(body.NumLandmarks) {
			p := truth.Landmarks[l.String()][f]
			x, y := view.ToPool(truth.Times[f], p[0], p[1])
			marks = append(marks, body.Mark{Frame: len(times), Time: at, Landmark: l, X: x, Y: y})
		}
		times = append(times, at)
	}
	return trace.Raw(times, marks)
}
