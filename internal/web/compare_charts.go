package web

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"underkick/internal/chart"
	"underkick/internal/compare"
	"underkick/internal/poolside"
)

// compareChart is one curve of all runs.
type compareChart struct {
	ID, Name string
	SVG      template.HTML
	Notes    []string // which run has no curve, and why
}

// runClass is the class of a run's lines: a colour and a dash of its own.
func runClass(i int) string { return fmt.Sprintf("run-%d", i+1) }

// lineKey is a sample of a run's line.
func lineKey(i int) template.HTML {
	return template.HTML(fmt.Sprintf(`<svg class="chart key" viewBox="0 0 40 12" width="40" height="12" aria-hidden="true"><path class="line %s" d="M1 6L39 6"/></svg>`, runClass(i))) //nolint:gosec // our own text
}

// compareCharts draws the runs' curves over the phase, each with its band, and the toe's
// paths in the body frame.
func compareCharts(runs []poolside.ComparedRun) (charts []compareChart, toePath template.HTML) {
	for n, c := range runs[0].Curves {
		if c.ID == compare.ToeAlong {
			continue
		}
		if piece := phaseChart(runs, n); piece.SVG != "" {
			charts = append(charts, piece)
		}
	}
	return charts, toePaths(runs)
}

// phaseChart draws the n-th curve of every run.
func phaseChart(runs []poolside.ComparedRun, n int) compareChart {
	first := runs[0].Curves[n]
	piece := compareChart{ID: "curve-" + first.ID, Name: strings.ToUpper(first.Name[:1]) + first.Name[1:]}
	unit := unitWords(first.Unit)
	p := chart.Plot{
		Title: fmt.Sprintf("%s through the kick for %s, mean of the counted kicks with its band", first.Name, namesOf(runs)),
		X:     chart.Axis{Min: 0, Max: 1},
		Y:     chart.Axis{Label: unit, Zero: first.ID == compare.ToeAcross},
		Parts: []chart.Part{{From: 0, To: 0.5, Label: "downkick"}, {From: 0.5, To: 1, Label: "upkick", Class: "other"}},
		Rules: momentRules(runs[0]),
	}
	for i, run := range runs {
		c := run.Curves[n]
		if !c.Known() {
			piece.Notes = append(piece.Notes, fmt.Sprintf("%d %s: not known. %s", i+1, run.Short, strings.Join(c.Reasons, " ")))
			continue
		}
		x := phases()
		p.Bands = append(p.Bands, chart.Band{X: x, Low: c.Low, High: c.High, Class: runClass(i)})
		p.Lines = append(p.Lines, chart.Line{X: x, Y: c.Mean, Class: runClass(i)})
	}
	if len(p.Lines) == 0 {
		return compareChart{}
	}
	p.Y.Min, p.Y.Max = curveEnds(p)
	p.Class, p.Width, p.Height = "wide", 560, 230
	wide := p.SVG()
	p.Class, p.Width, p.Height = "narrow", 340, 210
	piece.SVG = template.HTML(wide + p.SVG()) //nolint:gosec // chart escapes every text
	return piece
}

// momentRules marks the moments of the downkick, and of the upkick the fastest, where the
// first run has them on average.
func momentRules(run poolside.ComparedRun) []chart.Rule {
	var rules []chart.Rule
	for _, name := range []string{"drive", "fastest", "finish", "fastest-up"} {
		if at := compare.MomentAt(run.Result, name); at >= 0 && at <= 1 {
			rules = append(rules, chart.Rule{At: at, Label: name})
		}
	}
	return rules
}

// curveEnds holds every mean and as much of the bands as twice the means' span: a band
// of few kicks must not press the curves flat.
func curveEnds(p chart.Plot) (lo, hi float64) {
	lo, hi = ends(nil, nil)
	for _, l := range p.Lines {
		a, b := ends(l.Y, nil)
		lo, hi = math.Min(lo, a), math.Max(hi, b)
	}
	span := hi - lo
	bandLo, bandHi := lo, hi
	for _, b := range p.Bands {
		c, d := ends(b.Low, b.High)
		bandLo, bandHi = math.Min(bandLo, c), math.Max(bandHi, d)
	}
	lo, hi = math.Max(bandLo, lo-span/2), math.Min(bandHi, hi+span/2)
	return roundedEnds(lo, hi)
}

func ends(a, b []float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, v := range slices.Concat(a, b) {
		if !math.IsNaN(v) {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	return lo, hi
}

// roundedEnds widens to the next ticks.
func roundedEnds(lo, hi float64) (float64, float64) {
	ticks := chart.RoundTicks(lo, hi, 5)
	if len(ticks) < 2 {
		return lo - 0.5, hi + 0.5
	}
	step := ticks[1].At - ticks[0].At
	return math.Floor(lo/step+1e-9) * step, math.Ceil(hi/step-1e-9) * step
}

func phases() []float64 {
	x := make([]float64, compare.Samples)
	for i := range x {
		x[i] = float64(i) / (compare.Samples - 1)
	}
	return x
}

// toePaths draws the mean path of every run's toe as seen from the hip.
func toePaths(runs []poolside.ComparedRun) template.HTML {
	p := chart.Plot{
		Class: "toe-path", Width: 340, Height: 340, Equal: true,
		Title: "toe paths of " + namesOf(runs) + " seen from the hip, swimming to the right, mean of the counted kicks",
		X:     chart.Axis{Label: "along the body line from the hip, m"}, Y: chart.Axis{Label: "across it, m", Zero: true},
	}
	for i, run := range runs {
		var along, across compare.Curve
		for _, c := range run.Curves {
			switch c.ID {
			case compare.ToeAlong:
				along = c
			case compare.ToeAcross:
				across = c
			}
		}
		if along.Known() && across.Known() {
			p.Lines = append(p.Lines, chart.Line{X: along.Mean, Y: across.Mean, Class: runClass(i)})
		}
	}
	if len(p.Lines) == 0 {
		return ""
	}
	return template.HTML(p.SVG()) //nolint:gosec // chart escapes every text
}

func namesOf(runs []poolside.ComparedRun) string {
	var names []string
	for _, r := range runs {
		names = append(names, r.Short)
	}
	return listed(names)
}

func unitWords(unit string) string {
	switch unit {
	case "deg":
		return "degrees"
	case "1":
		return "part"
	}
	return unit
}
