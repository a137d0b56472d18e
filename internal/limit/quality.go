package limit

import (
	"fmt"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/limit/worth"
)

// Comparison is one measure of the run beside everything it can be held against.
type Comparison struct {
	Measure   kick.Measure
	Name      string
	Published Range
	Standing  Standing
	Words     string // the published range in one sentence
	Own       []Own  // the same measure in the swimmer's own other runs, oldest first
}

// Own is a measure's value in another run of the swimmer.
type Own struct {
	RunID string
	When  string
	Value float64
	Alike bool // swum under the same conditions
}

// Quality is one of the three qualities of a kick.
type Quality struct {
	Name   string // "Facing", "Sweep", "Build"
	Down   Half
	Up     Half
	Change []Change // against the earlier visit; empty = not compared
}

// Half is a quality in the downkick or in the upkick.
type Half struct {
	Words   string       // the quality in plain words, with its numbers
	Numbers []Comparison // the measures behind it, the main one first
	Kick    int          // number of the kick that shows it best: nearest to the run's mean; 0 = none
	Moments []string     // key moments of that kick to look at
	Curve   string       // which curve shows it
}

// Curves that evidence points to.
const (
	CurveToePath   = "toe path"
	CurveFootSpeed = "foot speed"
	CurveFacing    = "facing"
	CurveKnee      = "knee angle"
	CurveAnkle     = "ankle angle"
)

// qualityPlan says which measures, moments and curve stand behind a quality.
type qualityPlan struct {
	name     string
	down, up halfPlan
}

type halfPlan struct {
	ids     []string
	moments []string
	curve   string
	words   func(get getter) string
}

// getter returns a measure of the run; false where it has no value.
type getter func(id string) (kick.Measure, bool)

var qualityPlans = []qualityPlan{
	{
		"Facing",
		halfPlan{[]string{"facing", "facing_foot", "facing_shank", "rearward_area"}, []string{"drive", "fastest"}, CurveFacing, facingWords("facing", "downkick")},
		halfPlan{[]string{"facing_upkick", "facing_foot_upkick", "facing_shank_upkick"}, []string{"drive-up", "fastest-up"}, CurveFacing, facingWords("facing_upkick", "upkick")},
	},
	{
		"Sweep",
		halfPlan{[]string{"sweep", "toe_above_hip", "toe_below_hip", "sweep_arc", "end_lead", "toe_amplitude", "frequency_amplitude"}, []string{"set", "finish"}, CurveToePath, sweepWords},
		halfPlan{[]string{"sweep_upkick"}, []string{"set-up", "finish-up"}, CurveToePath, sweepUpWords},
	},
	{
		"Build",
		halfPlan{[]string{"build", "build_late", "build_peak"}, []string{"set", "drive", "fastest", "finish"}, CurveFootSpeed, buildWords("", "downkick")},
		halfPlan{[]string{"build_upkick", "build_late_upkick", "build_peak_upkick"}, []string{"set-up", "drive-up", "fastest-up", "finish-up"}, CurveFootSpeed, buildWords("_upkick", "upkick")},
	},
}

func facingWords(id, phase string) func(getter) string {
	return func(get getter) string {
		m, ok := get(id)
		if !ok {
			return fmt.Sprintf("Facing in the %s cannot be told from this clip.", phase)
		}
		text := fmt.Sprintf("While they are fast in the %s, %s of foot and shank faces back.", phase, percent(m.Value))
		if phase != "downkick" {
			return text
		}
		if area, ok := get("rearward_area"); ok {
			text += fmt.Sprintf(" That is %.0f cm².", 1e4*area.Value)
		}
		return text + " Only the foot can be turned by itself; the shank follows the sweep."
	}
}

func sweepWords(get getter) string {
	m, ok := get("sweep")
	if !ok {
		return "Sweep in the downkick cannot be told from this clip."
	}
	text := fmt.Sprintf("The feet sweep %s past the hip.", Show(m.Value, m.Unit))
	back, okBack := get("toe_above_hip")
	front, okFront := get("toe_below_hip")
	if okBack && okFront {
		text = fmt.Sprintf("The feet sweep %s: %s behind the body line, %s in front of it.",
			Show(m.Value, m.Unit), Show(back.Value, back.Unit), Show(front.Value, front.Unit))
	}
	return text + " Read sweep with tempo: a bigger kick alone is not a faster one."
}

func sweepUpWords(get getter) string {
	m, ok := get("sweep_upkick")
	if !ok {
		return "Sweep in the upkick cannot be told from this clip."
	}
	return fmt.Sprintf("The feet come back %s.", Show(m.Value, m.Unit))
}

func buildWords(suffix, phase string) func(getter) string {
	return func(get getter) string {
		m, ok := get("build" + suffix)
		if !ok {
			return fmt.Sprintf("Build in the %s cannot be told from this clip.", phase)
		}
		text := fmt.Sprintf("Build in the %s is %s.", phase, Show(m.Value, m.Unit))
		if peak, ok := get("build_peak" + suffix); ok && peak.Text != "" {
			when := peak.Text + " in"
			if peak.Text == "middle" {
				when = "in the middle of"
			}
			text = fmt.Sprintf("Foot speed peaks %s the %s; build is %s.", when, phase, Show(m.Value, m.Unit))
		}
		if phase == "downkick" {
			text += " 1 is even speed, 1.33 a steady rise."
		}
		return text
	}
}

// reader holds what comparisons need.
type reader struct {
	now     Run
	earlier []Run
	group   Group
	sex     body.Sex
	worth   *worth.Result // nil = not estimated
}

func (r reader) get(id string) (kick.Measure, bool) {
	m, ok := r.now.Result.Measure(id)
	return m, ok && m.Known()
}

// compare sets a measure beside published values and the swimmer's other runs.
func (r reader) compare(id string) (Comparison, bool) {
	m, ok := r.now.Result.Measure(id)
	if !ok {
		return Comparison{}, false
	}
	c := Comparison{Measure: m, Name: Name(id), Published: Published(id, r.group, r.sex)}
	c.Standing = c.Published.Standing(m)
	c.Words = c.Published.Words(m.Unit)
	for _, e := range r.earlier {
		if e.Result == nil || e.ID == r.now.ID {
			continue
		}
		if o, ok := e.Result.Measure(id); ok && o.Known() && o.Text == "" {
			alike := len(r.now.Conditions.Unlike(e.Conditions)) == 0
			c.Own = append(c.Own, Own{RunID: e.ID, When: e.When, Value: o.Value, Alike: alike})
		}
	}
	return c, true
}

func (r reader) qualities(changes []Change) []Quality {
	var list []Quality
	for _, p := range qualityPlans {
		q := Quality{Name: p.name, Down: r.half(p.down), Up: r.half(p.up)}
		for _, c := range changes {
			if c.Measure == p.down.ids[0] || c.Measure == p.up.ids[0] {
				q.Change = append(q.Change, c)
			}
		}
		list = append(list, q)
	}
	return list
}

func (r reader) half(p halfPlan) Half {
	h := Half{Words: p.words(r.get), Moments: p.moments, Curve: p.curve}
	for _, id := range p.ids {
		if c, ok := r.compare(id); ok {
			h.Numbers = append(h.Numbers, c)
		}
	}
	h.Kick = typicalKick(r.now.Result, p.ids[0])
	return h
}
