package poolside

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"underkick/internal/limit"
	"underkick/internal/report"
)

// lines are the rows as files carry them.
func (v RetestView) lines() []report.ChangeLine {
	lines := make([]report.ChangeLine, 0, len(v.Rows))
	for _, r := range v.Rows {
		lines = append(lines, report.ChangeLine{
			Test: r.Test, Retest: r.Retest, Change: r.Change, Grown: r.Grown,
			TestOn: string(v.Test), RetestOn: string(v.Retest), HeightThen: v.HeightsM[0], Height: v.HeightsM[1],
		})
	}
	return lines
}

// WriteCSV writes one row per measure.
func (v RetestView) WriteCSV(w io.Writer) error { return report.WriteChangesCSV(w, v.lines()) }

// RetestDocument is a retest as JSON; docs/formats.md describes it.
type RetestDocument struct {
	Swimmer    string                `json:"swimmer"` // id
	Test       string                `json:"test_on"`
	Retest     string                `json:"retest_on"`
	Problem    string                `json:"problem,omitempty"`
	Renewing   string                `json:"renewing,omitempty"`
	Refused    []string              `json:"refused,omitempty"`
	TestRuns   []string              `json:"test_runs"`
	RetestRuns []string              `json:"retest_runs"`
	Conditions []ConditionEntry      `json:"conditions"`
	Primary    []string              `json:"primary"`
	Measures   []report.VerdictEntry `json:"measures"`
	Practised  []PractisedEntry      `json:"practised"`
	Promised   *PromiseEntry         `json:"model_expected"` // null = not known
	Next       []string              `json:"next"`
}

// PromiseEntry is the change of speed that the model expected of the limiter, m/s.
type PromiseEntry struct {
	Value       report.Num `json:"m_per_s"`
	Low         report.Num `json:"low"`
	High        report.Num `json:"high"`
	EqualEffort report.Num `json:"equal_effort"`
}

// ConditionEntry is one condition of both visits.
type ConditionEntry struct {
	Name   string `json:"name"`
	Test   string `json:"test"`
	Retest string `json:"retest"`
	Alike  bool   `json:"alike"`
}

// PractisedEntry is one practice in between.
type PractisedEntry struct {
	Drill  string `json:"drill"`
	Title  string `json:"title"`
	Serves string `json:"serves"`
	Dose   string `json:"dose"`
	From   string `json:"from"`
	Ended  string `json:"ended,omitempty"`

	GivenBy string `json:"given_by,omitempty"`
}

// Document returns the retest as JSON carries it.
func (v RetestView) Document() RetestDocument {
	d := RetestDocument{
		Swimmer: v.Swimmer.ID, Test: string(v.Test), Retest: string(v.Retest), Problem: v.Problem, Renewing: v.Renewing.Words(), Refused: v.Result.Refused,
		TestRuns: runIDs(v.Result.Test), RetestRuns: runIDs(v.Result.Retest), Conditions: []ConditionEntry{}, Primary: v.Result.Primary,
		Measures: []report.VerdictEntry{}, Practised: []PractisedEntry{}, Next: v.Next,
	}
	if p := v.Promised; p.Known() {
		d.Promised = &PromiseEntry{report.Num(p.Value), report.Num(p.Low), report.Num(p.High), report.Num(p.EqualEffort)}
	}
	for _, s := range v.Result.Conditions {
		d.Conditions = append(d.Conditions, ConditionEntry(s))
	}
	for _, l := range v.lines() {
		d.Measures = append(d.Measures, report.NewVerdictEntry(l))
	}
	for _, g := range v.Given {
		d.Practised = append(d.Practised, PractisedEntry{g.DrillID, g.Drill.Title, string(g.Drill.Serves), g.Dose, string(g.From), string(g.Ended), g.GivenBy})
	}
	return d
}

func runIDs(runs []limit.Run) []string {
	ids := []string{}
	for _, r := range runs {
		ids = append(ids, r.ID)
	}
	return ids
}

// WriteCSV writes one row per measure and visit: the mean of the visit's like runs
// with its band, and the verdict since the latest earlier visit with like runs.
func (v TrendsView) WriteCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	if err := c.Write([]string{
		"measure", "unit", "on", "value", "low", "high", "runs", "kicks", "effort", "start", "position", "equipment",
		"since", "difference", "smallest_real_change", "verdict", "why", "height_m", "per_height", "verdict_per_height",
	}); err != nil {
		return fmt.Errorf("write trends as CSV: %w", err)
	}
	for _, list := range [][]Trend{v.Lead, v.Rest} {
		for _, t := range list {
			for _, s := range t.Stops {
				if err := c.Write(append([]string{t.ID, t.Unit}, s.fields()...)); err != nil {
					return fmt.Errorf("write trends as CSV: %w", err)
				}
			}
		}
	}
	c.Flush()
	if err := c.Error(); err != nil {
		return fmt.Errorf("write trends as CSV: %w", err)
	}
	return nil
}

func (s TrendStop) fields() []string {
	num := func(x float64) string {
		if math.IsNaN(x) {
			return ""
		}
		return strconv.FormatFloat(x, 'g', 8, 64)
	}
	f := []string{
		string(s.On), num(s.Mean.Value), num(s.Mean.Low), num(s.Mean.High), strconv.Itoa(s.Runs), strconv.Itoa(s.Mean.N),
		s.Conditions.Effort, s.Conditions.Start, s.Conditions.Position, report.CSVText(s.Conditions.Equipment),
	}
	switch c := s.Change; {
	case c == nil:
		f = append(f, "", "", "", string(limit.Refused), strings.Join(s.Why, " "))
	case c.Verdict == limit.Refused:
		f = append(f, c.When, "", "", c.Says(), strings.Join(c.Why, " "))
	default:
		f = append(f, c.When, num(c.Difference), num(c.Smallest), c.Says(), "")
	}
	if s.HeightM == 0 {
		return append(f, "", "", "")
	}
	grown := ""
	if s.Grown != nil {
		grown = s.Grown.Says()
	}
	return append(f, num(s.HeightM), num(s.PerHeight), grown)
}
