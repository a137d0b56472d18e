package web

import (
	"net/http"
	"slices"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// weeksPage is what a swimmer does in each week up to the retest, on screen and on
// one sheet of paper.
type weeksPage struct {
	shell
	View   poolside.WeeksView
	Drills []weekDrill
	Weeks  []weekRow
}

// weekDrill is a column: one practice.
type weekDrill struct {
	record.Drill
	Rest, Notes, By string
}

// weekRow is one week.
type weekRow struct {
	Days  string // "9 to 15 November"
	Now   bool
	Cells []weekCell // one for each drill
}

// weekCell is what is done of one drill in a week; Dose "" = nothing.
type weekCell struct{ Title, Dose, Words, Retest string }

func (s *server) practiceWeeks(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.PracticeWeeks(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := weeksPage{shell: s.shell("Practice of "+view.Name+", week by week", "practice"), View: view}
	for _, g := range view.Given {
		page.Drills = append(page.Drills, weekDrill{g.Drill, g.Amount.Rest, g.Notes, g.GivenBy})
	}
	now := practice.MondayOf(view.Today)
	for _, week := range view.Weeks {
		row := weekRow{Days: daysOf(week), Now: week.Monday == now}
		for _, g := range view.Given {
			row.Cells = append(row.Cells, newWeekCell(week, g, row.Now))
		}
		page.Weeks = append(page.Weeks, row)
	}
	s.render(w, r, http.StatusOK, "given_weeks", page)
}

// daysOf names the days of a week, without the year.
func daysOf(week practice.Week) string {
	from, month, _ := strings.Cut(yearless(week.Monday), " ")
	to := yearless(week.Sunday())
	if strings.HasSuffix(to, " "+month) {
		return from + " to " + to
	}
	return from + " " + month + " to " + to
}

func yearless(d record.Date) string {
	text := day(string(d))
	if i := strings.LastIndex(text, " "); i > 0 {
		return text[:i]
	}
	return text
}

// newWeekCell says what is different only where it begins, and in the week that is now.
func newWeekCell(week practice.Week, g record.Given, now bool) weekCell {
	i := slices.IndexFunc(week.Tasks, func(t practice.Task) bool { return t.Given.ID == g.ID })
	if i < 0 {
		return weekCell{}
	}
	t := week.Tasks[i]
	cell := weekCell{Title: g.Drill.Title, Dose: t.Dose.Short()}
	if _, before := g.Drill.InWeek(g.Amount, t.Week-1); now || t.Week <= 1 || before != t.Words {
		cell.Words = t.Words
	}
	if t.Retest {
		cell.Retest = string(g.RetestOn)
	}
	return cell
}

// drillPage is one drill whole.
type drillPage struct {
	shell
	Card     drillCard
	Cautions []string
}

func (s *server) drill(w http.ResponseWriter, r *http.Request) {
	d, err := s.opt.App.Drill(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "drill", drillPage{s.shell(d.Title, "practice"), newCard(practice.Choice{Drill: d}), poolside.PracticeCautions()})
}
