package web

import (
	"bytes"
	"fmt"
	"html/template"
	"net/http"
	"time"

	"underkick/internal/chart"
	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report"
)

// trendPiece is one measure over the visits.
type trendPiece struct {
	ID, Name     string
	Wide, Narrow template.HTML
	Latest       trendRow
	Rows         []trendRow // newest first
	Others       bool       // some visits were swum under other conditions
	Grown        bool       // body heights are shown
	Single       bool       // nothing earlier to be compared with: one visit in all
}

// trendRow is a measure at one visit in words.
type trendRow struct {
	On, Value, Band string
	Runs            int
	Conditions      string
	Since           string // day of the visit it is compared with
	Verdict         string
	Changed         bool
	Why             []string
	Smallest        string
	PerHeight       string // value per body height and the height, "" = not shown
	GrownVerdict    string
}

func newTrendPiece(t poolside.Trend) trendPiece {
	p := trendPiece{ID: t.ID, Name: t.Name, Single: len(t.Stops) == 1 && t.Stops[0].Change == nil}
	for i := len(t.Stops) - 1; i >= 0; i-- {
		s := t.Stops[i]
		row := newTrendRow(t, s)
		p.Others = p.Others || s.Series > 0
		p.Grown = p.Grown || row.PerHeight != ""
		p.Rows = append(p.Rows, row)
	}
	p.Latest = p.Rows[0]
	return p
}

// drawn adds the curve.
func (p trendPiece) drawn(t poolside.Trend) trendPiece {
	if len(t.Stops) > 1 {
		p.Wide, p.Narrow = trendChart(t, 640, "wide"), trendChart(t, 340, "narrow")
	}
	return p
}

func newTrendRow(t poolside.Trend, s poolside.TrendStop) trendRow {
	row := trendRow{
		On: string(s.On), Value: report.Value(s.Mean), Band: report.Spread(s.Mean), Runs: s.Runs,
		Conditions: limitWords(s.Conditions), Verdict: string(limit.Refused), Why: s.Why,
	}
	if s.HeightM > 0 {
		row.PerHeight = fmt.Sprintf("%.3f body heights", s.PerHeight)
		if t.Unit == "m/s" {
			row.PerHeight += " per s"
		}
		row.PerHeight += fmt.Sprintf(" at %.2f\u00a0m", s.HeightM)
	}
	if c := s.Change; c != nil {
		row.Since, row.Verdict, row.Changed, row.Why = c.When, c.Says(), c.Changed(), c.Why
		if c.Verdict != limit.Refused {
			row.Smallest = report.Distance(t.ID, t.Unit, c.Smallest)
		}
	}
	if s.Grown != nil {
		row.GrownVerdict = s.Grown.Says()
	}
	return row
}

func limitWords(c limit.Conditions) string {
	return conditionWords(record.Run{
		Effort: record.Effort(c.Effort), Start: record.Start(c.Start), Position: record.Position(c.Position), Equipment: c.Equipment,
	})
}

// trendChart draws a measure over the days, each visit with its band. Visits alike
// to the newest are joined; others stand alone, open.
func trendChart(t poolside.Trend, width float64, class string) template.HTML {
	factor := 1.0
	if report.Unit(t.ID, t.Unit) == "%" {
		factor = 100
	}
	first := days(t.Stops[0].On)
	p := chart.Plot{
		Class: "season " + class, Title: trendTitle(t), Width: width, Height: 180,
		Y: chart.Axis{Label: axisLabel(t)},
	}
	var joined, apart chart.Dots
	var line chart.Line
	last := -1e9
	span := days(t.Stops[len(t.Stops)-1].On) - first
	const besides = 30 // px, so that the days at the ends are not cut off
	margin := besides * max(span, 1) / (width - 50 - 2*besides)
	p.X.Min, p.X.Max = -margin, max(span, 1)+margin
	for _, s := range t.Stops {
		x, m := days(s.On)-first, s.Mean
		p.Lines = append(p.Lines, chart.Line{X: []float64{x, x}, Y: []float64{factor * m.Low, factor * m.High}, Class: "whisker"})
		if s.Series == 0 {
			joined.X, joined.Y = append(joined.X, x), append(joined.Y, factor*m.Value)
		} else {
			apart.X, apart.Y = append(apart.X, x), append(apart.Y, factor*m.Value)
		}
		if x-last > 70/width*(p.X.Max-p.X.Min) {
			last = x
			p.X.Ticks = append(p.X.Ticks, chart.Tick{At: x, Text: shortDay(s.On)})
		}
		if s.Change != nil && s.Change.Changed() {
			p.Notes = append(p.Notes, chart.Note{X: x, Y: factor * m.Value, Text: "changed", Left: x > 0.6*span})
		}
	}
	joined.R, apart.R, apart.Class = 4, 4, "apart"
	line.X, line.Y, line.Class = joined.X, joined.Y, "kick"
	if g := t.Goal; g != nil {
		p.Lines = append(p.Lines, chart.Line{X: []float64{p.X.Min, p.X.Max}, Y: []float64{factor * g.Target, factor * g.Target}, Class: "goal"})
	}
	p.Lines = append(p.Lines, line)
	p.Dots = []chart.Dots{joined, apart}
	return template.HTML(p.SVG()) //nolint:gosec // chart escapes every text
}

func axisLabel(t poolside.Trend) string {
	if u := report.Unit(t.ID, t.Unit); u != "" {
		return u
	}
	return t.Name
}

func trendTitle(t poolside.Trend) string {
	first, last := t.Stops[0], t.Stops[len(t.Stops)-1]
	title := fmt.Sprintf("%s from %s, %s, to %s, %s, with the band of every visit", t.Name, day(string(first.On)), report.Value(first.Mean), day(string(last.On)), report.Value(last.Mean))
	if g := t.Goal; g != nil {
		title += fmt.Sprintf("; the dashed line is the goal, %s %s by %s", g.Sense, report.WithUnit(t.ID, t.Unit, g.Target), day(string(g.On)))
	}
	return title
}

// days counts days to a date, for a time axis.
func days(d record.Date) float64 {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return 0
	}
	return t.Sub(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)).Hours() / 24
}

func shortDay(d record.Date) string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return string(d)
	}
	return t.Format("2 Jan 06")
}

func (s *server) trendsCSV(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Trends(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	var text bytes.Buffer
	if err := view.WriteCSV(&text); err != nil {
		s.fail(w, r, err)
		return
	}
	s.file(w, r, "text/csv; charset=utf-8", "trends-"+view.SwimmerID+".csv", &text)
}

// seasonPiece is the season's part of a swimmer's page.
type seasonPiece struct {
	Lead   []trendPiece
	Rest   []trendPiece // without curves
	Stops  int
	Retest bool
	Goals  []poolside.GoalView
}

// season draws the leading measures and the one that was asked for.
func (s *server) season(r *http.Request, swimmerID string) (seasonPiece, error) {
	view, err := s.opt.App.Trends(r.Context(), swimmerID)
	if err != nil {
		return seasonPiece{}, err
	}
	p := seasonPiece{Stops: view.Stops, Retest: view.Retest, Goals: view.Goals}
	for _, t := range view.Lead {
		p.Lead = append(p.Lead, newTrendPiece(t).drawn(t))
	}
	asked := r.URL.Query().Get("trend")
	for _, t := range view.Rest {
		piece := newTrendPiece(t)
		if t.ID == asked {
			p.Lead = append(p.Lead, piece.drawn(t))
		}
		p.Rest = append(p.Rest, piece)
	}
	return p, nil
}

func (s *server) seasonRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /swimmer/{id}/retest", s.retest)
	mux.HandleFunc("GET /swimmer/{id}/retest.csv", s.retestCSV)
	mux.HandleFunc("GET /swimmer/{id}/retest.json", s.retestJSON)
	mux.HandleFunc("GET /swimmer/{id}/trends.csv", s.trendsCSV)
}
