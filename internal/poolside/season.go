package poolside

import (
	"context"
	"encoding/json"
	"fmt"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/record"
	"underkick/internal/report"
	"underkick/internal/store"
)

// seasonMethod names how a season line is made; one made otherwise is made anew.
const seasonMethod = "season/1 " + kick.Method

// seasonLine is what lists say of a swimmer, kept until something it stands on
// changes.
type seasonLine struct {
	LastVisit record.Date `json:"last_visit,omitempty"`
	LastRun   string      `json:"last_run,omitempty"` // newest measured run
	Word      string      `json:"word,omitempty"`     // its finding
	Measured  int         `json:"measured"`           // runs
	Speed     *linePoint  `json:"speed,omitempty"`    // of the newest measured run
	Tempo     *linePoint  `json:"tempo,omitempty"`
	Trend     []linePoint `json:"trend,omitempty"` // speed by visit, oldest first, of runs alike to the newest
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

// season returns the swimmers of a squad by name with their lines. Lines that do
// not stand any more are made and kept: once after every new result of a swimmer.
func (a *App) season(ctx context.Context, squadID string) ([]record.Swimmer, []seasonLine, error) {
	rows, err := a.wholeSeason(ctx, squadID)
	if err != nil {
		return nil, nil, err
	}
	swimmers, lines := make([]record.Swimmer, len(rows)), make([]seasonLine, len(rows))
	for i, r := range rows {
		swimmers[i] = r.Swimmer
		if err := json.Unmarshal(r.Line, &lines[i]); err != nil {
			return nil, nil, fmt.Errorf("read the season of swimmer %s: %w", r.Swimmer.ID, err)
		}
	}
	return swimmers, lines, nil
}

// wholeSeason returns the rows of a squad, with the lines that had to be made.
func (a *App) wholeSeason(ctx context.Context, squadID string) ([]store.SeasonRow, error) {
	rows, err := a.store.Season(ctx, squadID, seasonMethod)
	if err != nil {
		return nil, err
	}
	for i, r := range rows {
		if r.Line != nil {
			continue
		}
		if rows[i].Line, err = a.makeSeason(ctx, r.Swimmer); err != nil {
			return nil, err
		}
	}
	return rows, nil
}

// makeSeason makes and keeps a swimmer's line within one step, so that nothing it
// stands on changes in between.
func (a *App) makeSeason(ctx context.Context, w record.Swimmer) (text json.RawMessage, err error) {
	err = a.store.Together(ctx, func(ctx context.Context) error {
		briefs, err := a.store.Briefs(ctx, w.ID)
		if err != nil {
			return err
		}
		own, err := briefRuns(briefs)
		if err != nil {
			return err
		}
		line := seasonLine{Measured: len(own)}
		if line.LastVisit, err = a.store.LastVisit(ctx, w.ID); err != nil {
			return err
		}
		if n := len(own); n > 0 {
			line.LastRun, line.Word = own[n-1].ID, briefs[n-1].Word
			on := briefs[n-1].Visit.On
			line.Speed, line.Tempo = pointOf("speed", on, own[n-1:]), pointOf("kick_frequency", on, own[n-1:])
			days := map[string]record.Date{}
			for _, b := range briefs {
				days[b.Visit.ID] = b.Visit.On
			}
			line.Trend = speedTrend(own, days)
		}
		if text, err = json.Marshal(line); err != nil {
			return fmt.Errorf("write the season of swimmer %s: %w", w.ID, err)
		}
		scatter, err := json.Marshal(limit.ScatterOf(own))
		if err != nil {
			return fmt.Errorf("write the scatter of swimmer %s: %w", w.ID, err)
		}
		return a.store.KeepSeason(ctx, w.ID, seasonMethod, text, scatter)
	})
	return text, err
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
	return &kick.Measure{ID: id, Unit: unit, Value: float64(p.Value), SD: float64(p.SD), N: p.N, Low: float64(p.Low), High: float64(p.High)}
}

// scatter returns how repeated runs scatter over a squad: its typical errors.
func (a *App) scatter(ctx context.Context, squadID string) (limit.Scatters, error) {
	if _, err := a.wholeSeason(ctx, squadID); err != nil {
		return nil, err
	}
	kept, err := a.store.Scatters(ctx, squadID, seasonMethod)
	if err != nil {
		return nil, err
	}
	all := limit.Scatters{}
	for _, text := range kept {
		var one limit.Scatters
		if err := json.Unmarshal(text, &one); err != nil {
			return nil, fmt.Errorf("read the squad's scatter: %w", err)
		}
		all.Merge(one)
	}
	return all, nil
}

// Season is store.Season.
func (r records) Season(ctx context.Context, squadID, method string) ([]store.SeasonRow, error) {
	rows, err := r.Store.Season(ctx, squadID, method)
	for i := range rows {
		rows[i].Swimmer = hideSwimmer(ctx, rows[i].Swimmer)
	}
	return rows, err
}
