package compare

import (
	"fmt"
	"math"
	"strings"

	"underkick/internal/chart"
	"underkick/internal/kick"
	"underkick/internal/limit"
)

// mostNamed is how many differences are put into words: few things at a time.
const mostNamed = 3

// Most says in plain words where run b differs most from run a: a heading, one sentence
// per difference, largest first, and what the differences are not. Where none leaves its
// band the heading says so and there are no sentences.
func Most(a, b Run) Said {
	if a.Result.Counted < leastKicks || b.Result.Counted < leastKicks {
		return Said{Heading: fmt.Sprintf("%s and %s: too few kicks to tell where they differ; three steady ones of each are needed.", a.Short, b.Short)}
	}
	all := Differences(a, b)
	if len(all) == 0 {
		return Said{Heading: fmt.Sprintf("%s and %s: no difference is larger than its band.", a.Short, b.Short)}
	}
	out := Said{Heading: fmt.Sprintf("%s and %s differ most here:", a.Short, b.Short)}
	named := map[string]bool{}
	for _, d := range all {
		if about := About(d.ID); len(out.Sentences) < mostNamed && !named[about] {
			named[about] = true
			out.Sentences = append(out.Sentences, Sentence{d.sentence(a, b), about, d.Size})
		}
	}
	return out
}

// about groups curves and measures that tell of one thing, so that it is named once.
var about = map[string]string{
	"kick_length": "speed", "foot_peak_speed_down": "foot_speed", "foot_peak_speed_up": "foot_speed",
	"toe_amplitude": "sweep", "toe_amplitude_length": "sweep", ToeAcross: "sweep", "hip_range": "hip", "knee_flexion_max": "knee",
	"ankle_min": "ankle", "ankle_range": "ankle", "facing_upkick": "facing",
}

// About names the thing that a measure or curve tells of: its own id, or that of a curve
// or measure that tells of the same.
func About(id string) string {
	if a, ok := about[id]; ok {
		return a
	}
	return id
}

func (d Difference) sentence(a, b Run) string {
	where := ""
	if d.Curve {
		where = " " + Where(a.Result, d.Phase)
	}
	more := "more"
	if d.Value < 0 {
		more = "less"
	}
	low, high := math.Abs(d.Low), math.Abs(d.High)
	return fmt.Sprintf("%s%s: %s for %s, %s for %s; %s %s (band %s to %s).",
		capital(d.Name), where, d.show(d.B), b.Short, d.show(d.A), a.Short,
		d.size(math.Abs(d.Value)), more, strings.TrimSuffix(d.size(min(low, high)), d.unit()), d.size(max(low, high)))
}

// size writes a positive number with its unit. The band leaves 0 out, so no end of it may
// read as zero: chart.Signed keeps the digit that tells.
func (d Difference) size(v float64) string {
	decimals := 2
	if d.percent() {
		v, decimals = 100*v, 0
	} else if d.Unit == "deg" {
		decimals = 0
	}
	text := chart.Signed(v, decimals, d.unit())
	if text == chart.NoDifference {
		return chart.FormatNumber(v, decimals) + d.unit()
	}
	return strings.TrimPrefix(text, "+")
}

// unit is what follows the number of a difference; of a percentage it is in points.
func (d Difference) unit() string {
	switch {
	case d.percent():
		return " points"
	case d.Unit == "deg":
		return "°"
	case d.Unit == "1":
		return ""
	}
	return " " + d.Unit
}

// show writes a value with its unit as the finding's sentences do.
func (d Difference) show(v float64) string {
	if d.percent() {
		return chart.FormatNumber(100*v, 0) + " %"
	}
	return limit.Show(v, d.Unit)
}

func (d Difference) percent() bool { return d.ID == "facing" || d.ID == "facing_upkick" }

// near is how far a moment may lie from a phase to give it its name.
const near = 0.04

// Where names a phase of a run's kicks: by the key moment that lies nearest on average
// over the counted kicks ("at drive"), else by its place ("late in the upkick").
func Where(r *kick.Result, p float64) string {
	best, least := "", near
	for _, name := range []string{"set", "drive", "fastest", "finish", "set-up", "drive-up", "fastest-up", "finish-up"} {
		if d := math.Abs(MomentAt(r, name) - p); d < least {
			best, least = name, d
		}
	}
	if best != "" {
		return "at " + best
	}
	switch {
	case p < 0.25:
		return "early in the downkick"
	case p < 0.5:
		return "late in the downkick"
	case p < 0.75:
		return "early in the upkick"
	}
	return "late in the upkick"
}

// MomentAt returns the phase at which a key moment comes on average over the counted
// kicks; NaN where it never does. The set may lie before the toe top, below 0.
func MomentAt(r *kick.Result, name string) float64 {
	sum, n := 0.0, 0
	for _, k := range r.Kicks {
		if !k.Counted {
			continue
		}
		for _, m := range k.Moments.List() {
			if m.Name == name {
				sum, n = sum+k.Phase(m.T), n+1
			}
		}
	}
	return sum / float64(n)
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
