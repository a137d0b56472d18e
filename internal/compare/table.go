package compare

import (
	"math"

	"underkick/internal/kick"
	"underkick/internal/limit"
)

// Run is one of the runs that are compared.
type Run struct {
	limit.Run
	Swimmer string // id
	Short   string // what sentences call it: a name, a day, or both
}

// Measures are the ids of the measures that a comparison shows and judges, in order.
func Measures() []string {
	return []string{
		"speed", "kick_frequency", "kick_length", "toe_amplitude", "toe_amplitude_length", "strouhal", "speed_variation",
		"facing", "sweep", "build", "facing_upkick", "build_upkick",
		"foot_peak_speed_down", "foot_peak_speed_up", "downkick_share", "hip_range", "knee_flexion_max", "ankle_min", "ankle_range",
	}
}

// Row is one measure of all runs.
type Row struct {
	ID, Name, Unit string
	Cells          []kick.Measure // one per run
	Against        []Against      // of every run but the first
}

// Against is a measure of one run against the first.
type Against struct {
	Difference float64       // this run minus the first; NaN where one is not known
	Low, High  float64       // its 95 % band, from these two runs alone; NaN where there is none
	Verdict    limit.Verdict // of one swimmer over two visits; "no verdict" else
	Why        []string      // of no verdict, one sentence each

	Smallest    float64 // smallest real change, NaN without a verdict
	Borrowed    bool    // judged with a published typical error
	Exploratory bool    // judged with Holm's correction
}

// TwoSwimmers is why no verdict is given between two people.
const TwoSwimmers = "Two swimmers: the difference stands, a verdict does not."

// NotRetested is why a measure without a retest rule bears no verdict.
const NotRetested = "Not among the measures that a retest judges."

// Judged are the retest verdicts of one run against the first by measure, or why there
// are none.
type Judged struct {
	Changes []limit.Change
	Why     []string
	Swapped bool // the first run is the later one: the changes are those of the first against this
}

// NewTable lays the runs' measures side by side. judged holds one entry per run after
// the first; it is not asked where the swimmers differ. It panics when it holds another
// number of entries.
func NewTable(runs []Run, judged []Judged) []Row {
	if len(judged) != len(runs)-1 {
		panic("compare: one judgement is needed for every run after the first")
	}
	var rows []Row
	for _, id := range Measures() {
		row := Row{ID: id, Name: limit.Name(id)}
		for _, r := range runs {
			m, _ := r.Result.Measure(id)
			row.Cells, row.Unit = append(row.Cells, m), m.Unit
		}
		for k := 1; k < len(runs); k++ {
			row.Against = append(row.Against, against(id, runs[0], runs[k], judged[k-1]))
		}
		rows = append(rows, row)
	}
	return rows
}

func against(id string, first, run Run, j Judged) Against {
	a, _ := first.Result.Measure(id)
	b, _ := run.Result.Measure(id)
	d := between(meanOf(a), meanOf(b), remembered(0.05, atOnePlace)).within(kick.BoundsOf(id))
	out := Against{Difference: d.Value, Low: d.Low, High: d.High, Verdict: limit.Refused, Smallest: math.NaN()}
	switch {
	case first.Swimmer != run.Swimmer:
		out.Why = []string{TwoSwimmers}
		if isFacing(id) && !first.Conditions.MarkedAlike(run.Conditions) {
			out.Why = append(out.Why, "Facing depends on like marking. The runs were not marked by the same person, or it is not stated.")
		}
		return out
	case len(j.Why) > 0:
		out.Why = j.Why
		return out
	}
	for _, c := range j.Changes {
		if c.Measure == id {
			out.judge(c, j.Swapped)
			return out
		}
	}
	out.Why = []string{NotRetested}
	return out
}

// judge takes over a retest's verdict, turned round where the first run is the later one.
func (a *Against) judge(c limit.Change, swapped bool) {
	a.Verdict, a.Why, a.Borrowed, a.Exploratory = c.Verdict, c.Why, c.Borrowed, c.Exploratory
	if c.Verdict == limit.Refused {
		return
	}
	a.Smallest = c.Smallest
	if swapped {
		switch c.Verdict {
		case limit.Higher:
			a.Verdict = limit.Lower
		case limit.Lower:
			a.Verdict = limit.Higher
		}
	}
}
