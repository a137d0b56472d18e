package poolside

import (
	"context"
	"encoding/json"
	"fmt"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/record"
	"underkick/internal/report"
)

// seasonMethod names how a season line is made; one made otherwise is made anew.
const seasonMethod = "season/3 " + kick.Method

// seasonLine is what lists say of a swimmer, kept until something it stands on
// changes.
type seasonLine struct {
	LastVisit  record.Date `json:"last_visit,omitempty"`
	LastRun    string      `json:"last_run,omitempty"`    // newest measured run
	MeasuredOn record.Date `json:"measured_on,omitempty"` // day of its visit
	Word       string      `json:"word,omitempty"`        // its finding
	Measured   int         `json:"measured"`              // runs
	Speed      *linePoint  `json:"speed,omitempty"`       // of the newest measured run
	Tempo      *linePoint  `json:"tempo,omitempty"`
	Trend      []linePoint `json:"trend,omitempty"`  // speed by visit, oldest first, of runs alike to the newest
	Newest     []lineRun   `json:"newest,omitempty"` // runs of the newest days, oldest first
}

// linePoint is a number with its band.
type linePoint struct {
	On    record.Date `json:"on"`
	Value report.Num  `json:"value"`
	SD    report.Num  `json:"sd"`
	Low   report.Num  `json:"low"`
	High  report.Num  `json:"high"`
	N     int         `json:"n"`    // kicks
	Runs  int         `json:"runs"` // runs averaged
}

// season returns the swimmers of a squad by name with their lines.
func (a *App) season(ctx context.Context, squadID string) ([]record.Swimmer, []seasonLine, error) {
	all, err := a.store.Swimmers(ctx, squadID)
	if err != nil {
		return nil, nil, err
	}
	season, err := a.squadSeason(ctx, squadID)
	if err != nil {
		return nil, nil, err
	}
	swimmers, lines := make([]record.Swimmer, 0, len(all)), make([]seasonLine, 0, len(all))
	for _, w := range all {
		if line, ok := season.lines[w.ID]; ok { // who left the squad between the two reads has none
			swimmers, lines = append(swimmers, w), append(lines, line)
		}
	}
	return swimmers, lines, nil
}

// makeSeason makes and keeps a swimmer's line within one step, so that nothing it
// stands on changes in between.
func (a *App) makeSeason(ctx context.Context, swimmerID string) error {
	return a.seasons.make(func() error {
		return a.store.Together(ctx, func(ctx context.Context) error { return a.keepSeason(ctx, swimmerID) })
	})
}

func (a *App) keepSeason(ctx context.Context, swimmerID string) error {
	briefs, own, err := a.measuredRuns(ctx, swimmerID)
	if err != nil {
		return err
	}
	line := seasonLine{Measured: len(own)}
	if line.LastVisit, err = a.store.LastVisit(ctx, swimmerID); err != nil {
		return err
	}
	if n := len(own); n > 0 {
		line.LastRun, line.Word = own[n-1].ID, briefs[n-1].Word
		on := briefs[n-1].Visit.On
		line.MeasuredOn, line.Newest = on, newestOf(briefs, own)
		line.Speed, line.Tempo = pointOf("speed", on, own[n-1:]), pointOf("kick_frequency", on, own[n-1:])
		days := map[string]record.Date{}
		for _, b := range briefs {
			days[b.Visit.ID] = b.Visit.On
		}
		line.Trend = speedTrend(own, days)
	}
	text, err := json.Marshal(line)
	if err != nil {
		return fmt.Errorf("write the season of swimmer %s: %w", swimmerID, err)
	}
	scatter, err := json.Marshal(limit.ScatterOf(own))
	if err != nil {
		return fmt.Errorf("write the scatter of swimmer %s: %w", swimmerID, err)
	}
	return a.store.KeepSeason(ctx, swimmerID, seasonMethod, text, scatter)
}

// speedTrend is the speed of the visits whose runs are alike to the newest run.
func speedTrend(own []limit.Run, days map[string]record.Date) []linePoint {
	newest := own[len(own)-1]
	var trend []linePoint
	for _, runs := range limit.Sittings(own) {
		if !runs[0].Conditions.Like(newest.Conditions) {
			continue
		}
		if p := pointOf("speed", days[runs[0].Visit], runs); p != nil {
			trend = append(trend, *p)
		}
	}
	return trend
}

// pointOf is a measure's mean over runs, nil where it has no value.
func pointOf(id string, on record.Date, runs []limit.Run) *linePoint {
	m := limit.Mean(id, runs)
	if !m.Known() {
		return nil
	}
	return &linePoint{
		On: on, Value: report.Num(m.Value), SD: report.Num(m.SD), Low: report.Num(m.Low), High: report.Num(m.High), N: m.N, Runs: len(runs),
	}
}

func (p *linePoint) measure(id, unit string) *kick.Measure {
	if p == nil {
		return nil
	}
	m := kick.Measure{ID: id, Unit: unit, Value: float64(p.Value), SD: float64(p.SD), N: p.N, Low: float64(p.Low), High: float64(p.High)}.Bounded()
	return &m
}

// scatter returns how repeated runs scatter over a squad: its typical errors. It is
// shared and not to be changed.
func (a *App) scatter(ctx context.Context, squadID string) (limit.Scatters, error) {
	s, err := a.squadSeason(ctx, squadID)
	if err != nil {
		return nil, err
	}
	return s.scatter, nil
}
