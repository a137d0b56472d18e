package limit

import (
	"math"

	"underkick/internal/kick"
)

// unitOf are the units of the measures that tests make up.
func unitOf(id string) string {
	for _, d := range kick.Definitions() {
		if d.ID == id {
			return d.Unit
		}
	}
	panic("no measure " + id)
}

// measured makes a measure whose band is value ± half over n kicks.
func measured(id string, value, sd, half float64, n int) kick.Measure {
	return kick.Measure{ID: id, Unit: unitOf(id), Value: value, SD: sd, N: n, Low: value - half, High: value + half}
}

// usual are ordinary values of an adult's run.
var usual = map[string]float64{
	"speed": 1.40, "kick_frequency": 2.1, "kick_length": 0.667, "toe_amplitude": 0.52, "frequency_amplitude": 1.09,
	"strouhal": 0.78, "downkick_share": 0.46, "knee_flexion_max": 70, "knee_range": 75, "ankle_range": 45,
	"facing": 0.25, "facing_foot": 0.28, "facing_shank": 0.2, "rearward_area": 0.033, "facing_upkick": 0.12,
	"sweep": 0.55, "toe_above_hip": 0.31, "toe_below_hip": 0.24, "sweep_arc": 50, "end_lead": 20, "sweep_upkick": 0.54,
	"build": 1.22, "build_late": 0.52, "build_upkick": 1.15, "build_late_upkick": 0.5,
}

// result makes a steady run of six kicks with the usual values, changed as told.
func result(change map[string]float64) *kick.Result {
	r := &kick.Result{Method: kick.Method, Steady: true, Verdicts: true, Counted: 6}
	value := func(id string) float64 {
		if v, ok := change[id]; ok {
			return v
		}
		return usual[id]
	}
	for _, d := range kick.Definitions() {
		if _, ok := usual[d.ID]; !ok {
			continue
		}
		v := value(d.ID)
		r.Summary = append(r.Summary, measured(d.ID, v, 0.02*math.Abs(v), 0.025*math.Abs(v), 6))
	}
	for _, id := range []string{"build_peak", "build_peak_upkick"} {
		r.Summary = append(r.Summary, kick.Measure{ID: id, Text: "middle", Value: math.NaN(), SD: math.NaN(), Low: math.NaN(), High: math.NaN(), N: 6})
	}
	for i := range 6 {
		k := kick.Kick{Number: i + 1, Counted: true, Values: map[string]float64{}}
		for id := range usual {
			// The third kick is the one nearest to the mean.
			k.Values[id] = value(id) * (1 + 0.01*float64(i-2) + 0.001)
		}
		r.Kicks = append(r.Kicks, k)
	}
	return r
}

// set changes one measure of a result in place.
func set(r *kick.Result, id string, change func(*kick.Measure)) {
	for i := range r.Summary {
		if r.Summary[i].ID == id {
			change(&r.Summary[i])
			return
		}
	}
	panic("no measure " + id)
}

var asRace = Conditions{Effort: "max", Start: "still", Position: "prone", MarkedBy: "R. Ashdown"}

func run(id, visit, when string, r *kick.Result) Run {
	return Run{ID: id, Visit: visit, When: when, Conditions: asRace, Result: r}
}
