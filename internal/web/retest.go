package web

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"math"
	"net/http"

	"underkick/internal/chart"
	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report"
)

type retestPage struct {
	shell
	poolside.RetestView
	Headline []string // the verdicts of the primary measures, one sentence each
	Lead     []verdictRow
	Rest     []verdictRow
	ErrorSay []string // what the verdicts are judged by
	Asked    string   // why what was asked for cannot be shown
	Query    string   // of this page, for its files
}

// verdictRow is one measure of a retest in words.
type verdictRow struct {
	ID, Name     string
	Test, Retest string
	TestBand     string
	RetestBand   string
	Difference   string
	Smallest     string
	Verdict      string
	Changed      bool
	Judged       string
	Why          []string
	Bar          template.HTML
	Grown        string // the same in body heights, "" = not shown
}

func (s *server) retest(w http.ResponseWriter, r *http.Request) {
	view, asked, ok := s.retestView(w, r)
	if !ok {
		return
	}
	status := http.StatusOK
	if asked != "" {
		status = http.StatusBadRequest
	}
	page := newRetestPage(view)
	page.shell, page.Asked = s.shell("Retest of "+view.Swimmer.Name, "squad"), asked
	s.render(w, r, status, "retest", page)
}

// retestView reads the question and answers it; a question that cannot be followed
// is answered with the usual visits and why.
func (s *server) retestView(w http.ResponseWriter, r *http.Request) (view poolside.RetestView, asked string, ok bool) {
	id := r.PathValue("id")
	q := poolside.RetestQuery{Test: record.Date(r.URL.Query().Get("test")), Retest: record.Date(r.URL.Query().Get("retest"))}
	view, err := s.opt.App.Retest(r.Context(), id, q)
	if errors.Is(err, poolside.ErrInput) && q != (poolside.RetestQuery{}) {
		asked = err.Error()
		view, err = s.opt.App.Retest(r.Context(), id, poolside.RetestQuery{})
	}
	if err != nil {
		s.fail(w, r, err)
		return view, asked, false
	}
	return view, asked, true
}

func (s *server) retestCSV(w http.ResponseWriter, r *http.Request) {
	view, _, ok := s.retestView(w, r)
	if !ok {
		return
	}
	var text bytes.Buffer
	if err := view.WriteCSV(&text); err != nil {
		s.fail(w, r, err)
		return
	}
	s.file(w, r, "text/csv; charset=utf-8", fmt.Sprintf("retest-%s-%s-%s.csv", view.Swimmer.ID, view.Test, view.Retest), &text)
}

func (s *server) retestJSON(w http.ResponseWriter, r *http.Request) {
	view, _, ok := s.retestView(w, r)
	if !ok {
		return
	}
	s.json(w, r, http.StatusOK, view.Document())
}

func newRetestPage(v poolside.RetestView) retestPage {
	page := retestPage{RetestView: v, Query: fmt.Sprintf("?test=%s&retest=%s", v.Test, v.Retest)}
	for _, row := range v.Rows {
		piece := newVerdictRow(row)
		if row.Primary {
			page.Headline = append(page.Headline, headline(row))
		}
		if row.Lead {
			page.Lead = append(page.Lead, piece)
		} else {
			page.Rest = append(page.Rest, piece)
		}
	}
	if len(v.Rows) > 0 {
		page.ErrorSay = errorWords(v)
	}
	return page
}

// headline is the verdict on a primary measure in one sentence.
func headline(r poolside.RetestRow) string {
	c := r.Change
	switch {
	case c.Verdict == limit.Refused:
		return r.Name + ": no verdict."
	case c.Changed():
		return fmt.Sprintf("%s changed: %s then, %s now.", r.Name, report.Banded(r.Test), report.Banded(r.Retest))
	}
	return fmt.Sprintf("%s: no change shown, %s then, %s now.", r.Name, report.Banded(r.Test), report.Banded(r.Retest))
}

func newVerdictRow(r poolside.RetestRow) verdictRow {
	c, unit := r.Change, r.Unit
	row := verdictRow{
		ID: r.ID, Name: r.Name, Test: report.Value(r.Test), Retest: report.Value(r.Retest), TestBand: report.Spread(r.Test), RetestBand: report.Spread(r.Retest),
		Verdict: c.Says(), Changed: c.Changed(), Why: c.Why,
	}
	if c.Verdict == limit.Refused {
		return row
	}
	row.Judged = report.Judged(c)
	row.Difference, row.Smallest = report.Difference(r.ID, unit, c.Difference), report.Distance(r.ID, unit, c.Smallest)
	row.Bar = differenceBar(c)
	if g := r.Grown; g != nil {
		row.Grown = fmt.Sprintf("In body heights: %.3f then, %.3f now: %s.", g.Then, g.Now, g.Says())
	}
	return row
}

// differenceBar draws a difference with its band; the tick stands at no change.
func differenceBar(c limit.Change) template.HTML {
	low, high := c.Band()
	reach := 1.1 * math.Max(math.Abs(low), math.Abs(high))
	if !(reach > 0) {
		return ""
	}
	b := chart.Bar{
		Class: "difference",
		Title: fmt.Sprintf("difference %s, band %s; the tick is no change", report.Difference(c.Measure, c.Unit, c.Difference), report.DifferenceBand(c.Measure, c.Unit, low, high)),
		Width: 160, Value: c.Difference, Low: low, High: high, Earlier: []float64{0}, Min: -reach, Max: reach,
	}
	return template.HTML(b.SVG()) //nolint:gosec // chart escapes every text
}

// errorWords say what the verdicts are judged by.
func errorWords(v poolside.RetestView) []string {
	e := v.Error
	words := []string{fmt.Sprintf(
		"The smallest real change is what chance and measuring exceed once in twenty times: Student's t times the root of TE² (1/%d + 1/%d) and the two visits' errors of scale and marking.",
		len(v.Result.Test), len(v.Result.Retest))}
	switch {
	case math.IsNaN(e.TypicalError):
	case e.Borrowed:
		words = append(words, fmt.Sprintf("The typical error TE is borrowed: 8.92 %% of the value, the largest that Connaboy and others printed for six kicks (2010). The squad's own repeats give %s; from %d on its own error counts.",
			plural(e.DF, "degree of freedom", "degrees of freedom"), e.Needed))
	default:
		words = append(words, fmt.Sprintf("The typical error TE of speed is the squad's own: %.3f m/s, from repeats with %d degrees of freedom. Repeats of one visit do not hold what differs from day to day, so a change just beyond the smallest real one may be the day's.", e.TypicalError, e.DF))
	}
	switch {
	case len(v.Practised) > 1:
		words = append(words, "Several qualities were practised, so speed alone is primary. All other measures are exploratory: Holm's correction keeps one of many from changing by chance.")
	default:
		words = append(words, "Speed and the quality practised are primary. All other measures are exploratory: Holm's correction keeps one of many from changing by chance.")
	}
	return words
}
