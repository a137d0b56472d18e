package report

import (
	"io"
	"math"
	"strconv"
	"strings"

	"underkick/internal/kick"
	"underkick/internal/limit"
)

// ChangeLine is one measure of a retest, as files carry it.
type ChangeLine struct {
	Test, Retest       kick.Measure // means over the runs of each visit
	Change             limit.Change
	Grown              *limit.Change // the same counted in body heights; nil = not shown
	TestOn, RetestOn   string        // YYYY-MM-DD
	HeightThen, Height float64       // m; 0 = not known
}

// WriteChangesCSV writes one row per measure: both means with their bands, the
// difference, the smallest real change, the verdict and what it was judged by.
// docs/formats.md lists the columns.
func WriteChangesCSV(w io.Writer, lines []ChangeLine) error {
	rows := [][]string{{
		"measure", "unit", "test_on", "test", "test_low", "test_high", "test_runs", "retest_on", "retest", "retest_low", "retest_high", "retest_runs",
		"difference", "smallest_real_change", "verdict", "why", "judged", "typical_error", "df", "clip_error", "p",
		"test_height_m", "retest_height_m", "test_per_height", "retest_per_height", "verdict_per_height",
	}}
	for _, l := range lines {
		rows = append(rows, l.row())
	}
	return writeRows(w, rows)
}

func (l ChangeLine) row() []string {
	c := l.Change
	row := []string{
		c.Measure, l.Retest.Unit, l.TestOn, field(l.Test.Value), field(l.Test.Low), field(l.Test.High), strconv.Itoa(c.Runs),
		l.RetestOn, field(l.Retest.Value), field(l.Retest.Low), field(l.Retest.High), strconv.Itoa(c.RunsNow),
	}
	if c.Verdict == limit.Refused {
		row = append(row, "", "", c.Says(), strings.Join(c.Why, " "), "", "", "", "", "")
	} else {
		df := strconv.Itoa(c.DF)
		if c.Borrowed {
			df = "published"
		}
		row = append(row, field(c.Difference), field(c.Smallest), c.Says(), "", Judged(c), field(c.Error), df, field(c.ClipError), field(c.P))
	}
	if l.Grown == nil {
		return append(row, "", "", "", "", "")
	}
	return append(row, field(l.HeightThen), field(l.Height), field(l.Grown.Then), field(l.Grown.Now), l.Grown.Says())
}

// Judged says in a word how a measure was judged: "primary", "exploratory", or
// "exploratory, withdrawn by Holm's correction".
func Judged(c limit.Change) string {
	switch {
	case c.Withdrawn:
		return "exploratory, withdrawn by Holm's correction"
	case c.Exploratory:
		return "exploratory"
	}
	return "primary"
}

// VerdictEntry is one measure of a retest as JSON; numbers that are not known are
// null.
type VerdictEntry struct {
	Measure    string   `json:"measure"`
	Name       string   `json:"name"`
	Unit       string   `json:"unit"`
	Test       Num      `json:"test"`
	TestLow    Num      `json:"test_low"`
	TestHigh   Num      `json:"test_high"`
	Retest     Num      `json:"retest"`
	RetestLow  Num      `json:"retest_low"`
	RetestHigh Num      `json:"retest_high"`
	Difference Num      `json:"difference"`
	Smallest   Num      `json:"smallest_real_change"`
	Verdict    string   `json:"verdict"`
	Why        []string `json:"why,omitempty"`
	Judged     string   `json:"judged,omitempty"`
	Error      Num      `json:"typical_error"`
	DF         int      `json:"df"` // 0 where the error is borrowed from a paper
	ClipError  Num      `json:"clip_error"`
	P          Num      `json:"p"`
	PerHeight  string   `json:"verdict_per_height,omitempty"`
}

// NewVerdictEntry returns a line as JSON carries it.
func NewVerdictEntry(l ChangeLine) VerdictEntry {
	c := l.Change
	e := VerdictEntry{
		Measure: c.Measure, Name: limit.Name(c.Measure), Unit: l.Retest.Unit,
		Test: Num(l.Test.Value), TestLow: Num(l.Test.Low), TestHigh: Num(l.Test.High),
		Retest: Num(l.Retest.Value), RetestLow: Num(l.Retest.Low), RetestHigh: Num(l.Retest.High),
		Difference: nan, Smallest: nan, Verdict: c.Says(), Why: c.Why, Error: nan, ClipError: nan, P: nan,
	}
	if c.Verdict != limit.Refused {
		e.Difference, e.Smallest, e.Error, e.ClipError, e.P = Num(c.Difference), Num(c.Smallest), Num(c.Error), Num(c.ClipError), Num(c.P)
		e.DF, e.Judged = c.DF, Judged(c)
	}
	if l.Grown != nil {
		e.PerHeight = l.Grown.Says()
	}
	return e
}

var nan = Num(math.NaN())
