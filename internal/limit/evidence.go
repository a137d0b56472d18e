package limit

import (
	"math"

	"underkick/internal/kick"
)

// Evidence says where to look: which kick, which of its key moments, which curve.
type Evidence struct {
	Measure string   // id of the measure that the finding rests on; "" = none in particular
	Kick    int      // number of the kick; 0 = no whole kick
	Moments []string // key moments by name, in order
	Curve   string   // one of the Curve constants
}

// typicalKick returns the number of the counted kick whose value lies nearest to
// the run's mean, the first of equals; where the measure has no values, the
// counted kick in the middle of the run; 0 without counted kicks.
func typicalKick(r *kick.Result, id string) int {
	m, _ := r.Measure(id)
	best, gap := 0, math.Inf(1)
	var counted []int
	for _, k := range r.Kicks {
		if !k.Counted {
			continue
		}
		counted = append(counted, k.Number)
		v, ok := k.Values[id]
		if d := math.Abs(v - m.Value); ok && d < gap {
			best, gap = k.Number, d
		}
	}
	if best == 0 && len(counted) > 0 {
		return counted[len(counted)/2]
	}
	return best
}

// looks says which moments and curve show a measure that is no quality's main one.
var looks = map[string]Evidence{
	"toe_amplitude":        {Moments: []string{"set", "finish"}, Curve: CurveToePath},
	"toe_amplitude_length": {Moments: []string{"set", "finish"}, Curve: CurveToePath},
	"frequency_amplitude":  {Moments: []string{"set", "finish"}, Curve: CurveToePath},
	"kick_frequency":       {Moments: []string{"set", "finish", "finish-up"}, Curve: CurveToePath},
	"knee_flexion_max":     {Moments: []string{"set", "drive"}, Curve: CurveKnee},
	"knee_range":           {Moments: []string{"set", "finish"}, Curve: CurveKnee},
	"ankle_range":          {Moments: []string{"drive", "fastest", "set-up"}, Curve: CurveAnkle},
}

// evidence returns where to look for a measure; for "" the four moments of the
// downkick and the foot's speed, which show all three qualities.
func evidence(r *kick.Result, id string) Evidence {
	e := Evidence{Moments: []string{"set", "drive", "fastest", "finish"}, Curve: CurveFootSpeed}
	if l, ok := looks[id]; ok {
		e = l
	}
	for _, p := range qualityPlans {
		for _, h := range []halfPlan{p.down, p.up} {
			if h.ids[0] == id {
				e.Moments, e.Curve = h.moments, h.curve
			}
		}
	}
	e.Measure, e.Kick = id, typicalKick(r, id)
	if id == "" {
		e.Kick = typicalKick(r, "speed")
	}
	return e
}
