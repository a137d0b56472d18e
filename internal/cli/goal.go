package cli

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report"
)

const goalHelp = `
Lists a swimmer's goals with where the newest visit stands against them, sets one (--measure),
or closes one (--close ID). A goal is reached when the whole 95 % band of a visit is past it.
A second goal of a measure changes the first. The number is in the unit in which the pages show
the measure: m/s, m, Hz, degrees, per cent for facing. Nothing is lost: the page of a swimmer's
goals can bring back what was changed or closed.

  underkick goal "Mira Tallow"
  underkick goal "Mira Tallow" --measure speed --at-least 1.5 --by-day 2027-03-01
  underkick goal "Mira Tallow" --measure kick_frequency --at-most 2.2 --by-day 2027-03-01
  underkick goal "Mira Tallow" --close k3j2m1n0p9q8

underkick measure --help tells where the measures are listed.`

func goalCommand() command {
	c := command{name: "goal", usage: "goal SWIMMER [options]", brief: "goals of a swimmer: what a measure should be by a day"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runGoal(ctx, c, args, s) }
	return c
}

// goalAct is what is to be done with a swimmer's goals.
type goalAct struct {
	record.Goal
	atLeast, atMost numberFlag
	close           string
	asJSON          bool
}

// numberFlag is a number that may be left out.
type numberFlag struct {
	given bool
	value float64
}

func runGoal(ctx context.Context, c command, args []string, s streams) error {
	var act goalAct
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	f.StringVar(&act.Measure, "measure", "", "set a goal of this measure, `ID` such as speed")
	f.Func("at-least", "it should be this `NUMBER` or more", act.atLeast.read)
	f.Func("at-most", "it should be this `NUMBER` or less", act.atMost.read)
	f.StringVar((*string)(&act.On), "by-day", "", "`DAY` by which, YYYY-MM-DD")
	f.StringVar(&act.Notes, "notes", "", "`TEXT`")
	f.StringVar(&act.By, "by", "", "`NAME` of who sets it")
	f.StringVar(&act.close, "close", "", "close the goal of this `ID`, reached or given up")
	f.BoolVar(&act.asJSON, "json", false, "print JSON")
	names, err := f.parse(args, goalHelp)
	if err != nil {
		return err
	}
	if len(names) != 1 {
		return usagef("say which swimmer; put a name of several words in quotes")
	}
	if err := act.complete(); err != nil {
		return err
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: *data})
	if err != nil {
		return err
	}
	return errors.Join(goal(ctx, app, names[0], act, s), app.Close())
}

func (n *numberFlag) read(text string) error {
	x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil {
		return fmt.Errorf("%q is no number", text)
	}
	n.given, n.value = true, x
	return nil
}

// complete checks that what belongs together is there, and puts the target in.
func (a *goalAct) complete() error {
	set := a.Measure != ""
	switch {
	case !set && (a.atLeast.given || a.atMost.given || a.On != "" || a.Notes != ""):
		return usagef("say of which --measure")
	case set && a.close != "":
		return usagef("either set a goal or --close one")
	case !set:
		return nil
	case a.atLeast.given == a.atMost.given:
		return usagef("give either --at-least or --at-most")
	case a.On == "":
		return usagef("give the day with --by-day")
	}
	d, ok := report.Definition(a.Measure)
	if !ok {
		return usagef("there is no measure %q; underkick squad --json and the page Measures name them, such as speed, facing, sweep, build, kick_frequency", a.Measure)
	}
	n := a.atLeast
	a.Sense = record.AtLeast
	if a.atMost.given {
		n, a.Sense = a.atMost, record.AtMost
	}
	a.Target = report.FromShown(a.Measure, d.Unit, n.value)
	return nil
}

func goal(ctx context.Context, app *poolside.App, who string, act goalAct, s streams) error {
	w, err := app.FindSwimmer(ctx, who)
	if err != nil {
		return err
	}
	act.SwimmerID = w.ID
	switch {
	case act.Measure != "":
		err = changeOrSet(ctx, app, act.Goal)
	case act.close != "":
		err = closeGoal(ctx, app, w, act.close, act.By)
	}
	var faults record.Faults
	if errors.As(err, &faults) {
		return usagef("%v", faults)
	}
	if err != nil {
		return err
	}
	view, err := app.Goals(ctx, w.ID)
	if err != nil {
		return err
	}
	return printGoals(view, act.asJSON, s)
}

// changeOrSet changes the goal of the measure that stands, or sets the first.
func changeOrSet(ctx context.Context, app *poolside.App, g record.Goal) error {
	view, err := app.Goals(ctx, g.SwimmerID)
	if err != nil {
		return err
	}
	for _, had := range view.Goals {
		if had.Measure == g.Measure {
			g.ID = had.ID
		}
	}
	_, err = app.SetGoal(ctx, g)
	return err
}

func closeGoal(ctx context.Context, app *poolside.App, w record.Swimmer, id, by string) error {
	g, err := app.Goal(ctx, id)
	if err == nil && g.SwimmerID != w.ID {
		err = poolside.ErrNotFound
	}
	if err == nil {
		_, err = app.CloseGoal(ctx, id, by)
	}
	if errors.Is(err, poolside.ErrNotFound) {
		return unusablef(nil, "the swimmer has no goal %q; underkick goal lists them", id)
	}
	return err
}

// goalLine is a goal as JSON.
type goalLine struct {
	ID        string       `json:"id"`
	SwimmerID string       `json:"swimmer_id"`
	Measure   string       `json:"measure"`
	Unit      string       `json:"unit"`
	Sense     record.Sense `json:"sense"`
	Target    float64      `json:"target"` // in unit
	On        record.Date  `json:"by_day"`
	Overdue   bool         `json:"past"`
	Reach     string       `json:"stands,omitempty"` // reached, not told apart, not reached
	Since     bool         `json:"filmed_since"`
	VisitOn   record.Date  `json:"visit_on,omitempty"`
	Value     *report.Num  `json:"value,omitempty"` // of that visit, with its band
	Low       *report.Num  `json:"low,omitempty"`
	High      *report.Num  `json:"high,omitempty"`
	Notes     string       `json:"notes,omitempty"`
	Words     []string     `json:"words"`
}

func printGoals(view poolside.GoalsView, asJSON bool, s streams) error {
	lines := []goalLine{}
	for _, g := range view.Goals {
		d, _ := report.Definition(g.Measure)
		l := goalLine{
			ID: g.ID, SwimmerID: g.SwimmerID, Measure: g.Measure, Unit: d.Unit, Sense: g.Sense, Target: g.Target, On: g.On, Overdue: g.Overdue,
			Reach: string(g.Reach), Since: g.Since, Notes: g.Notes, Words: g.Words(),
		}
		if g.Stop != nil {
			m := g.Stop.Mean
			v, low, high := report.Num(m.Value), report.Num(m.Low), report.Num(m.High)
			l.VisitOn, l.Value, l.Low, l.High = g.Stop.On, &v, &low, &high
		}
		lines = append(lines, l)
	}
	if asJSON {
		return writeJSON(s.out, lines)
	}
	fmt.Fprintf(s.out, "Goals of %s\n", view.Swimmer.Name)
	if len(lines) == 0 {
		fmt.Fprintln(s.out, "No goal is set.")
	}
	for _, g := range view.Goals {
		past := ""
		if g.Overdue {
			past = ", past"
		}
		fmt.Fprintf(s.out, "\n%s  %s %s by %s%s\n  %s\n", g.ID, g.Name, g.Aim, g.On, past, strings.Join(g.Words(), " "))
		if g.Notes != "" {
			fmt.Fprintln(s.out, " ", g.Notes)
		}
	}
	printCautions(s.out, view.Cautions)
	return nil
}
