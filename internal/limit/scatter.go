package limit

import (
	"math"

	"underkick/internal/kick"
	"underkick/internal/spread"
)

// Scatter is how one measure scatters between repeated runs of one swimmer on
// one visit under like conditions, pooled over groups of runs.
type Scatter struct {
	Squares float64 // sum of squared deviations from each group's mean, in the measure's unit squared
	DF      int     // degrees of freedom: runs less groups
}

// TypicalError returns sqrt(Squares / DF), NaN without a degree of freedom. Over
// groups it is the pooled within-swimmer standard deviation (Hopkins, Sports Med
// 30:1-15, 2000; the formula is that of spread.TypicalError).
func (s Scatter) TypicalError() float64 {
	if s.DF < 1 {
		return math.NaN()
	}
	return math.Sqrt(s.Squares / float64(s.DF))
}

// Scatters holds the scatter of every measure, by id.
type Scatters map[string]Scatter

// ScatterOf pools a swimmer's runs: each visit's runs under like conditions form
// a group. Runs without three steady whole kicks, runs whose conditions are not
// stated, runs measured by other definitions than today's and measures with
// something against them stay out, and facing that was not marked by the group's
// first marker.
func ScatterOf(own []Run) Scatters {
	s := Scatters{}
	for _, group := range Sittings(own) {
		first := group[0]
		if len(group) < 2 || first.Result.Method != kick.Method || len(first.Conditions.Unstated(first.Conditions)) > 0 {
			continue
		}
		for _, d := range kick.Definitions() {
			s.add(d.ID, group)
		}
	}
	return s
}

func (s Scatters) add(id string, group []Run) {
	var values []float64
	for _, r := range group {
		if isFacing(id) && !r.Conditions.markedAlike(group[0].Conditions) {
			continue
		}
		if m, ok := r.Result.Measure(id); ok && m.Text == "" && len(unfit(m, "")) == 0 {
			values = append(values, m.Value)
		}
	}
	te, df := spread.TypicalError([][]float64{values})
	if df == 0 {
		return
	}
	s.Merge(Scatters{id: {Squares: float64(df) * te * te, DF: df}})
}

// Merge adds the scatter of another swimmer.
func (s Scatters) Merge(other Scatters) {
	for id, o := range other {
		one := s[id]
		s[id] = Scatter{Squares: one.Squares + o.Squares, DF: one.DF + o.DF}
	}
}

// Sittings groups the runs of one visit that were swum under like conditions and
// measured by one method, each with three steady whole kicks, in the order of the
// runs. A condition that is not stated of either is alike here; no verdict stands
// on such a group.
func Sittings(own []Run) [][]Run {
	type key struct {
		visit, method string
		conditions    [4]string
	}
	var groups [][]Run
	at := map[key]int{}
	for _, r := range own {
		if r.Result == nil || !r.Result.Verdicts {
			continue
		}
		k := key{r.Visit, r.Result.Method, r.Conditions.key()}
		i, ok := at[k]
		if !ok {
			i = len(groups)
			at[k] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], r)
	}
	return groups
}

// key is what of the conditions must be alike.
func (c Conditions) key() [4]string {
	return [4]string{fold(c.Effort), fold(c.Start), fold(c.Position), fold(c.Equipment)}
}

// Like reports whether two sets of conditions are the same, those included that
// neither states. It is enough to draw runs in one line, not for a verdict; see
// Unlike.
func (c Conditions) Like(d Conditions) bool { return c.key() == d.key() }
