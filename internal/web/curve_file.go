package web

import (
	"bytes"
	"fmt"
	"html/template"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"underkick/internal/kick"
	"underkick/internal/report"
)

// curves are the drawings of the kick page that are files of their own, by name.
var curves = map[string]func(r *kick.Result, chosen int) template.HTML{
	"foot-speed": func(r *kick.Result, n int) template.HTML { return report.PhaseCurve(r, n, report.FootSpeed()) },
	"facing":     func(r *kick.Result, n int) template.HTML { return report.PhaseCurve(r, n, report.FootFacing()) },
	"knee":       func(r *kick.Result, n int) template.HTML { return report.PhaseCurve(r, n, report.KneeAngle()) },
	"ankle":      func(r *kick.Result, n int) template.HTML { return report.PhaseCurve(r, n, report.AnkleAngle()) },
	"toe-path":   report.ToePath,
}

// curveFile answers with one curve of a kick as an SVG file. A curve that the clip does
// not support is not there.
func (s *server) curveFile(w http.ResponseWriter, r *http.Request) {
	name, isSVG := strings.CutSuffix(r.PathValue("file"), ".svg")
	draw, ok := curves[name]
	number, err := strconv.Atoi(r.URL.Query().Get("kick"))
	if err != nil {
		number = 0
	}
	view, measured := s.measured(w, r, number)
	if !measured {
		return
	}
	facing, _ := view.Result.Measure("facing")
	svg := ""
	if ok && isSVG && (name != "facing" || facing.Known()) {
		svg = string(draw(view.Result, view.Chosen))
	}
	file, err := curveAlone(svg)
	if err != nil {
		s.problem(w, r, http.StatusNotFound, "There is no such curve", "This clip does not give it, or the address is mistyped.")
		return
	}
	s.file(w, r, "image/svg+xml", fmt.Sprintf("run-%s-kick-%d-%s.svg", view.Run.ID, view.Chosen, name), file)
}

// curveAlone makes a file of its own of a page's drawing: the first of its svg elements,
// which is the wide one, with the colours of the light pages written into it, so that
// programs without style sheets of pages show it.
func curveAlone(svg string) (*bytes.Buffer, error) {
	one, _, ok := strings.Cut(svg, "</svg>")
	open := strings.Index(one, ">")
	if !ok || open < 0 {
		return nil, fmt.Errorf("no drawing")
	}
	style, err := chartStyle()
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	b.WriteString(one[:open+1] + "<style>" + style + "</style>" + one[open+1:] + "</svg>\n")
	return &b, nil
}

var (
	colourRule = regexp.MustCompile(`--([a-z0-9-]+):\s*(#[0-9a-f]+);`)
	colourUse  = regexp.MustCompile(`var\(--([a-z0-9-]+)\)`)
)

// chartStyle is the style of charts with its colours written out: what stands in
// charts.css before what depends on screen or paper, and the light colours of
// colours.css.
var chartStyle = sync.OnceValues(func() (string, error) {
	charts, err := staticFiles.ReadFile("static/css/charts.css")
	if err != nil {
		return "", err
	}
	colours, err := staticFiles.ReadFile("static/css/colours.css")
	if err != nil {
		return "", err
	}
	light, _, _ := strings.Cut(string(colours), "@media")
	value := map[string]string{}
	for _, m := range colourRule.FindAllStringSubmatch(light, -1) {
		value[m[1]] = m[2]
	}
	rules, _, _ := strings.Cut(string(charts), "@media")
	rules, _, _ = strings.Cut(rules, ".chart.narrow")
	return colourUse.ReplaceAllStringFunc(rules, func(use string) string {
		return value[colourUse.FindStringSubmatch(use)[1]]
	}), nil
})
