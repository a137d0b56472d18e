package web

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"underkick/internal/chart"
	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/report"
)

// kickPage is the kick page of a run, with every drawing finished.
type kickPage struct {
	shell
	poolside.KickView
	Headline    string
	Stills      []stillPiece
	UpStills    []stillPiece
	Loops       []report.Loop
	FacingKnown bool // the clip supports facing; else none is drawn
	ToePath     template.HTML
	Curve       template.HTML
	FacingCurve template.HTML
	AngleCurve  template.HTML // knee or ankle, where the finding rests on it
	AngleName   string
	LookAt      string // what shows the finding
	Qualities   []qualityPiece
	Context     []measurePiece
	Groups      []measureGroup
	KickColumns []string
	KickRows    []kickRow
	OtherRuns   []otherRun
	Method      string
}

// otherRun is another measured run of the swimmer.
type otherRun struct{ ID, When, Speed string }

func (s *server) kick(w http.ResponseWriter, r *http.Request) {
	chosen, err := strconv.Atoi(r.URL.Query().Get("kick"))
	if err != nil {
		chosen = 0
	}
	view, err := s.opt.App.Kick(r.Context(), r.PathValue("id"), chosen)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := kickPage{KickView: view}
	page.shell = s.shell("Kicks of "+view.Swimmer.Name, "squad")
	page.fill()
	s.render(w, r, http.StatusOK, "kick", page)
}

// fill draws everything that stands on the page.
func (p *kickPage) fill() {
	p.Headline = "This run is not measured yet"
	if p.Problem != "" || p.Result == nil || p.Finding == nil {
		return
	}
	p.Headline, p.Method = p.Finding.Sentence, p.Result.Method
	facing, _ := p.Result.Measure("facing")
	p.FacingKnown = facing.Known()
	for _, v := range p.KickView.Stills {
		if !p.FacingKnown {
			v.Facing = nil
		}
		if piece := still(p.KickView, v); v.Upkick {
			p.UpStills = append(p.UpStills, piece)
		} else {
			p.Stills = append(p.Stills, piece)
		}
	}
	p.Loops = report.Loops(p.Result)
	p.ToePath = report.ToePath(p.Result, p.Chosen)
	p.Curve = report.PhaseCurve(p.Result, p.Chosen, report.FootSpeed())
	if p.FacingKnown {
		p.FacingCurve = report.PhaseCurve(p.Result, p.Chosen, report.FootFacing())
	}
	p.fillEvidence()
	for _, q := range p.Finding.Qualities {
		p.Qualities = append(p.Qualities, quality(q))
	}
	for _, c := range p.Finding.Context {
		p.Context = append(p.Context, comparison(c))
	}
	p.Groups = measureGroups(p.Result)
	p.fillKickTable()
	for _, o := range p.Own {
		if speed, ok := o.Result.Measure("speed"); ok && o.ID != p.Run.ID {
			p.OtherRuns = append(p.OtherRuns, otherRun{o.ID, o.When, report.Value(speed)})
		}
	}
}

// fillEvidence says where to look, and draws the curve of an angle where the
// finding rests on one.
func (p *kickPage) fillEvidence() {
	e := p.Finding.Evidence
	switch e.Curve {
	case limit.CurveKnee:
		p.AngleName, p.AngleCurve = "Knee angle", report.PhaseCurve(p.Result, p.Chosen, report.KneeAngle())
	case limit.CurveAnkle:
		p.AngleName, p.AngleCurve = "Ankle angle", report.PhaseCurve(p.Result, p.Chosen, report.AnkleAngle())
	}
	if e.Kick > 0 {
		p.LookAt = fmt.Sprintf("kick %d at %s, and its %s", e.Kick, listed(e.Moments), e.Curve)
	}
}

// listed joins words as a sentence does: "set, drive and finish".
func listed(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// stillPiece is a still with its words.
type stillPiece struct {
	Moment, When, Facing string
	SVG                  template.HTML
}

func still(view poolside.KickView, v poolside.StillView) stillPiece {
	facts := view.Clip.Facts
	st := report.Still{
		Picture: fmt.Sprintf("/clip/%s/frame/%d.jpg", view.Clip.ID, v.Frame),
		WidthPx: float64(facts.WidthPx), HeightPx: float64(facts.HeightPx),
		Crop: report.Box(v.Crop), LineDeg: v.LineDeg, Points: map[string]report.Point{},
		Title: fmt.Sprintf("The swimmer at %s of kick %d", v.Moment, view.Chosen),
	}
	for name, p := range v.Points {
		st.Points[name] = report.Point{X: p.XPx, Y: p.YPx}
	}
	words := ""
	for _, f := range v.Facing {
		st.Facing = append(st.Facing, report.Facing{From: f.From, To: f.To, Part: f.Part})
		if words != "" {
			words += ", "
		}
		words += fmt.Sprintf("%s %.0f %%", f.Segment, 100*f.Part)
	}
	if words != "" {
		words = "facing back: " + words
	}
	return stillPiece{Moment: v.Moment, When: fmt.Sprintf("%.2f s", v.Time), Facing: words, SVG: st.SVG()}
}

// measurePiece is one measure with its bar.
type measurePiece struct {
	ID, Name, Value, Spread, SD string
	Meaning                     string
	N                           int
	Bar                         template.HTML
	Published                   string
	Reasons                     []string
	Doubtful                    bool
}

func piece(m kick.Measure) measurePiece {
	p := measurePiece{
		ID: m.ID, Name: limit.Name(m.ID), Value: report.Value(m), Spread: report.Spread(m), N: m.N,
		SD: report.Number(m.ID, m.Unit, m.SD), Doubtful: report.Doubtful(m),
	}
	if m.Text != "" {
		p.SD = ""
	}
	if d, ok := report.Definition(m.ID); ok {
		p.Meaning = d.Meaning
	}
	for _, r := range m.Reasons {
		p.Reasons = append(p.Reasons, r.Text)
	}
	return p
}

func comparison(c limit.Comparison) measurePiece {
	p := piece(c.Measure)
	p.Name = c.Name
	var earlier []float64
	for _, o := range c.Own {
		earlier = append(earlier, o.Value)
	}
	p.Bar = report.Bar(c.Measure, c.Published, earlier)
	if len(c.Published.Rows) > 0 {
		p.Published = c.Words
	}
	return p
}

// qualityPiece is one of the three qualities, down and up.
type qualityPiece struct {
	Name     string
	Down, Up halfPiece
	Changes  []string
}

type halfPiece struct {
	Words   string
	Reasons []string // that hold for all rows
	Rows    []measurePiece
	SeeIt   string // address of the kick that shows it best
}

func quality(q limit.Quality) qualityPiece {
	p := qualityPiece{Name: q.Name, Down: half(q.Down, 3), Up: half(q.Up, 1)}
	for _, c := range q.Change {
		p.Changes = append(p.Changes, changeWords(c))
	}
	return p
}

// half keeps the first rows, the main measure and what explains it; the rest
// stands in the full table.
func half(h limit.Half, rows int) halfPiece {
	p := halfPiece{Words: h.Words}
	for _, c := range h.Numbers[:min(rows, len(h.Numbers))] {
		p.Rows = append(p.Rows, comparison(c))
	}
	p.shareReasons()
	if h.Kick > 0 {
		p.SeeIt = fmt.Sprintf("?kick=%d#stills", h.Kick)
	}
	return p
}

// shareReasons lifts the reasons that all rows have, so that they are said once.
func (p *halfPiece) shareReasons() {
	if len(p.Rows) < 2 {
		return
	}
	for _, reason := range p.Rows[0].Reasons {
		everywhere := !slices.ContainsFunc(p.Rows, func(row measurePiece) bool { return !slices.Contains(row.Reasons, reason) })
		if everywhere {
			p.Reasons = append(p.Reasons, reason)
		}
	}
	for i := range p.Rows {
		p.Rows[i].Reasons = slices.DeleteFunc(p.Rows[i].Reasons, func(s string) bool { return slices.Contains(p.Reasons, s) })
	}
}

// changeWords says what became of a measure since the earlier visit.
func changeWords(c limit.Change) string {
	name := limit.Name(c.Measure)
	if c.Verdict == limit.Refused {
		text := name + ": no verdict against " + c.When + "."
		for _, why := range c.Why {
			text += " " + why
		}
		return text
	}
	text := fmt.Sprintf("%s: %s since %s (%s then, %s now; smallest real change %s).", name, c.Verdict, c.When,
		report.WithUnit(c.Measure, c.Unit, c.Then), report.WithUnit(c.Measure, c.Unit, c.Now), report.WithUnit(c.Measure, c.Unit, c.Smallest))
	if c.Exploratory {
		text += " Exploratory."
	}
	return text
}

// measureGroup is a group of the full table.
type measureGroup struct {
	Name string
	Rows []measurePiece
}

func measureGroups(r *kick.Result) []measureGroup {
	var groups []measureGroup
	for _, m := range r.Summary {
		name := ""
		if d, ok := report.Definition(m.ID); ok {
			name = d.Group
		}
		if n := len(groups); n == 0 || groups[n-1].Name != name {
			groups = append(groups, measureGroup{Name: name})
		}
		g := &groups[len(groups)-1]
		g.Rows = append(g.Rows, piece(m))
	}
	return groups
}

// kickRow is a row of the kick-by-kick table.
type kickRow struct {
	Number  int
	Start   string
	Counted bool
	Cells   []string
	Why     string
}

// kickColumns are the measures of the kick-by-kick table; all others stand in
// the CSV file.
var kickColumns = []string{"kick_length", "toe_amplitude", "facing", "sweep", "build", "knee_flexion_max", "foot_peak_speed_down"}

func (p *kickPage) fillKickTable() {
	var shown []kick.Measure
	for _, id := range kickColumns {
		if m, ok := p.Result.Measure(id); ok {
			shown = append(shown, m)
			head := limit.Name(id)
			if u := report.Unit(id, m.Unit); u != "" {
				head += ", " + u
			}
			p.KickColumns = append(p.KickColumns, head)
		}
	}
	for _, k := range p.Result.Kicks {
		row := kickRow{Number: k.Number, Start: chart.FormatNumber(k.Start, 2), Counted: k.Counted, Why: k.Why}
		for _, m := range shown {
			cell := "–"
			if v, ok := k.Values[m.ID]; ok {
				cell = report.Number(m.ID, m.Unit, v)
			}
			row.Cells = append(row.Cells, cell)
		}
		p.KickRows = append(p.KickRows, row)
	}
}

func (s *server) measuresJSON(w http.ResponseWriter, r *http.Request) {
	s.download(w, r, "application/json", "measures.json", report.WriteJSON)
}

func (s *server) measuresCSV(w http.ResponseWriter, r *http.Request) {
	s.download(w, r, "text/csv; charset=utf-8", "measures.csv", report.WriteSummaryCSV)
}

func (s *server) curvesCSV(w http.ResponseWriter, r *http.Request) {
	s.download(w, r, "text/csv; charset=utf-8", "curves.csv", report.WriteSignalsCSV)
}

func (s *server) kicksCSV(w http.ResponseWriter, r *http.Request) {
	s.download(w, r, "text/csv; charset=utf-8", "kicks.csv", report.WriteKicksCSV)
}

// download answers with a run's result as a file.
func (s *server) download(w http.ResponseWriter, r *http.Request, kind, name string, write func(io.Writer, *kick.Result) error) {
	id := r.PathValue("id")
	view, err := s.opt.App.Kick(r.Context(), id, 0)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if view.Result == nil {
		s.problem(w, r, http.StatusConflict, "There is nothing to save yet", view.Problem)
		return
	}
	var buf bytes.Buffer
	if err := write(&buf, view.Result); err != nil {
		s.fail(w, r, err)
		return
	}
	s.file(w, r, kind, "run-"+view.Run.ID+"-"+name, &buf)
}
