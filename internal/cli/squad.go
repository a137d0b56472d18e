package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"

	"underkick/internal/kick"
	"underkick/internal/poolside"
	"underkick/internal/report"
)

const squadHelp = `
Lists every squad with its swimmers: id, last visit, limiter (the last finding in a word or
two), speed with its 95 % band, tempo, what is practised, when the retest is due, and what is
missing of consent to filming.

--name TEXT      swimmers with words in the name that begin with TEXT
--limiter WORD   facing, sweep, build, tempo, or none
--due WORD       retest (due), consent (missing or ending), goal (its day passed), visit (not filmed for eight weeks), never (filmed)
--level WORD     beginner, club, regional, national, international
--sort WORD      name, visit, limiter, speed, tempo, retest, consent
docs/formats.md describes the JSON.`

func squadCommand() command {
	c := command{name: "squad", usage: "squad [options]", brief: "list the squads with their swimmers: limiter, speed, practice, what is due"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runSquad(ctx, c, args, s) }
	return c
}

// squadLine is a swimmer in the list.
type squadLine struct {
	Squad      string      `json:"squad"`
	ID         string      `json:"id"`
	Name       string      `json:"name"`
	Level      string      `json:"level,omitempty"`
	LastVisit  string      `json:"last_visit,omitempty"`
	Finding    string      `json:"finding,omitempty"`
	Limiter    string      `json:"limiter,omitempty"`
	SpeedMPS   *float64    `json:"speed_m_per_s,omitempty"` // of the newest measured run
	SpeedLow   *report.Num `json:"speed_low_m_per_s,omitempty"`
	SpeedHigh  *report.Num `json:"speed_high_m_per_s,omitempty"`
	TempoHz    *float64    `json:"tempo_hz,omitempty"`
	TempoLow   *report.Num `json:"tempo_low_hz,omitempty"`
	TempoHigh  *report.Num `json:"tempo_high_hz,omitempty"`
	LastRun    string      `json:"last_run,omitempty"`
	Measured   int         `json:"measured_runs"`
	Renewing   int         `json:"results_being_renewed,omitempty"`
	Older      int         `json:"results_older_than_a_change,omitempty"`
	Trend      []trendLine `json:"speed_trend,omitempty"`
	Practising []string    `json:"practising,omitempty"`
	RetestOn   string      `json:"retest_on,omitempty"`
	RetestDue  bool        `json:"retest_due"`
	GoalOn     string      `json:"goal_on,omitempty"`
	GoalDue    bool        `json:"goal_due"`
	Consent    string      `json:"consent,omitempty"`
	ConsentDue bool        `json:"consent_due"`
}

// trendLine is the speed of one visit.
type trendLine struct {
	On    string     `json:"on"`
	Speed report.Num `json:"speed_m_per_s"`
	Low   report.Num `json:"low"`
	High  report.Num `json:"high"`
	Runs  int        `json:"runs"`
}

func runSquad(ctx context.Context, c command, args []string, s streams) error {
	var q poolside.SquadQuery
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	asJSON := f.Bool("json", false, "print JSON")
	f.StringVar(&q.Name, "name", "", "only names with `TEXT`")
	f.StringVar(&q.Limiter, "limiter", "", "only this limiter, `WORD`")
	f.StringVar(&q.Due, "due", "", "only where this is due, `WORD`")
	f.StringVar((*string)(&q.Level), "level", "", "only this level, `WORD`")
	f.StringVar(&q.Sort, "sort", "", "order, `WORD`")
	names, err := f.parse(args, squadHelp)
	if err != nil {
		return err
	}
	if len(names) > 0 {
		return usagef("takes no file names")
	}
	if err := q.Check(); err != nil {
		return usagef("%v", err)
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: *data})
	if err != nil {
		return err
	}
	view, err := app.SquadList(ctx, q)
	if err := errors.Join(err, app.Close()); err != nil {
		return err
	}
	if len(view.Names) == 0 {
		fmt.Fprintln(s.err, "No squad is kept here yet. `underkick serve` opens the pages; add a swimmer there and name the squad.")
	}
	lines := squadLines(view)
	if *asJSON {
		return writeJSON(s.out, lines)
	}
	return printSquad(s.out, lines)
}

func squadLines(view poolside.SquadView) []squadLine {
	lines := []squadLine{}
	for _, q := range view.Squads {
		for _, r := range q.Rows {
			lines = append(lines, newSquadLine(q.Name, r))
		}
	}
	return lines
}

func newSquadLine(squad string, r poolside.SwimmerRow) squadLine {
	l := squadLine{
		Squad: squad, ID: r.ID, Name: r.Name, Level: string(r.Level), LastVisit: r.LastVisit, Finding: r.Finding, Limiter: r.Limiter, LastRun: r.LastRunID, Measured: r.Measured,
		Renewing: r.Renewing.Working, Older: r.Renewing.Stuck,
		Practising: r.Practising, RetestOn: r.RetestOn, RetestDue: r.RetestDue, GoalOn: r.GoalOn, GoalDue: r.GoalDue, Consent: r.Consent, ConsentDue: r.ConsentDue,
	}
	l.SpeedMPS, l.SpeedLow, l.SpeedHigh = banded(r.Speed)
	l.TempoHz, l.TempoLow, l.TempoHigh = banded(r.Tempo)
	for _, p := range r.Trend {
		l.Trend = append(l.Trend, trendLine{p.On, report.Num(p.Value), report.Num(p.Low), report.Num(p.High), p.Runs})
	}
	return l
}

// banded is a measure's value with its band, nil where it has none.
func banded(m *kick.Measure) (value *float64, low, high *report.Num) {
	if m == nil {
		return nil, nil, nil
	}
	l, h := report.Num(m.Low), report.Num(m.High)
	return &m.Value, &l, &h
}

// bandedText is a value with its band as the table has it, without unit.
func bandedText(id string, value *float64, band [2]*report.Num) string {
	if value == nil {
		return "-"
	}
	return report.Banded(kick.Measure{ID: id, Value: *value, Low: float64(*band[0]), High: float64(*band[1])})
}

func printSquad(w io.Writer, lines []squadLine) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "squad\tid\tswimmer\tlast visit\tlimiter\tspeed, m/s\ttempo, Hz\tmeasured runs\tpractising\tretest\tconsent")
	for _, l := range lines {
		speed := bandedText("speed", l.SpeedMPS, [2]*report.Num{l.SpeedLow, l.SpeedHigh})
		tempo := bandedText("kick_frequency", l.TempoHz, [2]*report.Num{l.TempoLow, l.TempoHigh})
		retest := orDash(l.RetestOn)
		if l.RetestDue {
			retest += " due"
		}
		measured := strconv.Itoa(l.Measured)
		if words := (poolside.Renewing{Working: l.Renewing, Stuck: l.Older}).Short(); words != "" {
			measured += ", " + words
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", l.Squad, l.ID, l.Name, orDash(l.LastVisit), orDash(l.Finding), speed, tempo, measured,
			orDash(strings.Join(l.Practising, ", ")), retest, orDash(l.Consent))
	}
	return t.Flush()
}
