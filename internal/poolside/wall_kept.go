package poolside

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"

	"underkick/internal/limit/worth"
	"underkick/internal/record"
	"underkick/internal/report"
	"underkick/internal/store"
	"underkick/internal/wall"
)

// WallsView is one plan of a swimmer's walls, kept or about to be.
type WallsView struct {
	Swimmer record.Swimmer
	Plan    record.Plan // ID empty: not kept yet
	Input   WallInput
	Own     []KickSource
	Answer  *WallAnswer // nil where the input cannot be planned
	Problem string      // why not
}

// LadderView is one tempo ladder, kept or about to be.
type LadderView struct {
	Swimmer record.Swimmer
	Plan    record.Plan
	Input   LadderInput
	Runs    []KickSource // measured runs to take steps from, newest first
	Answer  *LadderAnswer
	Problem string
}

// PlansView lists a swimmer's plans and ladders.
type PlansView struct {
	Swimmer record.Swimmer
	Walls   []record.Plan
	Ladders []record.Plan
	Removed []record.Plan
}

// SquadWalls is the walls page: every squad with every swimmer's newest plan.
type SquadWalls struct {
	Squads []SquadWallSection
}

// SquadWallSection is one squad of the walls page.
type SquadWallSection struct {
	ID, Name string
	Rows     []SquadWallRow
}

// SquadWallRow is one swimmer's plan in the table of the squad; Turn is nil where there is
// none, or none with numbers.
type SquadWallRow struct {
	SwimmerID, Name string
	PlanID, Event   string
	More            int // other plans of the swimmer
	Start, Turn     *wall.Plan
	Total           wall.Totals
	Problem         string
}

// wallSwimmer gathers what a plan needs of a kept swimmer.
func (a *App) wallSwimmer(ctx context.Context, w record.Swimmer) (WallSwimmer, error) {
	who := WallSwimmer{Mass: w.MassKg, Height: w.HeightM, Female: w.Sex == record.Female}
	if w.MassKg == 0 && w.HeightM > 0 {
		s, _ := w.Subject().Complete()
		who.Mass = s.Mass
	}
	runs, err := a.kickRuns(ctx, w.ID)
	if err != nil {
		return who, err
	}
	ladders, err := a.ladderSources(ctx, w.ID)
	if err != nil {
		return who, err
	}
	who.Own = append(runs, ladders...)
	return who, nil
}

// kickRuns returns the measured runs that have a speed and a tempo, newest first.
func (a *App) kickRuns(ctx context.Context, swimmerID string) ([]KickSource, error) {
	measured, err := a.store.Measured(ctx, swimmerID, "speed", "kick_frequency")
	if err != nil {
		return nil, err
	}
	var list []KickSource
	for _, m := range slices.Backward(measured) {
		run, err := a.store.Run(ctx, m.RunID)
		if err != nil {
			return nil, err
		}
		s, ok := kickSource(m, run)
		if !ok {
			continue
		}
		if err := a.addEstimate(ctx, m.RunID, &s); err != nil {
			return nil, err
		}
		list = append(list, s)
	}
	return list, nil
}

// addEstimate takes the personal factor and the limiter's worth from the newest kept estimate of
// the run.
func (a *App) addEstimate(ctx context.Context, runID string, s *KickSource) error {
	text, err := a.store.LatestEstimate(ctx, runID, worth.Method)
	if errors.Is(err, ErrNotFound) {
		return nil
	}
	if err != nil {
		return err
	}
	var kept report.WorthDocument
	if err := json.Unmarshal(text, &kept); err != nil {
		return fmt.Errorf("read the estimate of run %s: %w", runID, err)
	}
	if kept.Refused {
		return nil
	}
	if factor := float64(kept.Factor); factor > 0 {
		s.Factor = factor
	}
	for _, w := range kept.Worth {
		if w.Quality == kept.Limiter && w.SpeedChange > 0 {
			s.Limiter = w.Quality
			s.Worth = wall.Given{Value: float64(w.SpeedChange), SD: bandSD(float64(w.Low), float64(w.High)), From: s.Words}
		}
	}
	return nil
}

func kickSource(m store.Measured, run record.Run) (KickSource, bool) {
	speed, tempo := keptMeasure(m.Values, "speed"), keptMeasure(m.Values, "kick_frequency")
	if speed == nil || tempo == nil || !(speed.Value > 0) || !(tempo.Value > 0) {
		return KickSource{}, false
	}
	words := "run of " + longDate(m.On)
	if run.Repeat > 0 {
		words += fmt.Sprintf(", number %d", run.Repeat)
	}
	return KickSource{
		Key: "run:" + m.RunID, Words: words,
		Speed:  wall.Given{Value: speed.Value, SD: math.Hypot(bandSD(speed.Low, speed.High), ownRunRel*speed.Value), From: words},
		Tempo:  wall.Given{Value: tempo.Value, SD: math.Hypot(bandSD(tempo.Low, tempo.High), ownRunRel*tempo.Value), From: words},
		Supine: run.Position == record.Supine, Easy: run.Effort == record.Easy, Fins: run.Equipment,
	}, true
}

// ladderSources returns the kept ladders that can be read, newest first.
func (a *App) ladderSources(ctx context.Context, swimmerID string) ([]KickSource, error) {
	plans, err := a.store.Plans(ctx, swimmerID)
	if err != nil {
		return nil, err
	}
	var list []KickSource
	for _, p := range slices.Backward(plans) {
		if p.Kind != record.TempoLadder || p.Removed {
			continue
		}
		var in LadderInput
		if err := json.Unmarshal(p.Body, &in); err != nil {
			return nil, fmt.Errorf("read tempo ladder %s: %w", p.ID, err)
		}
		if l, err := wall.Climb(in.Steps); err == nil {
			words := "tempo ladder " + p.Name
			l.Top.From, l.Tempo.From = words, words
			list = append(list, KickSource{Key: "ladder:" + p.ID, Words: words, Speed: l.Top, Tempo: l.Tempo})
		}
	}
	return list, nil
}

// NewWalls plans what was typed for a swimmer, without keeping it. What cannot be planned is a
// view with a Problem; faults of fields are the error.
func (a *App) NewWalls(ctx context.Context, swimmerID string, in WallInput) (WallsView, error) {
	w, err := a.store.Swimmer(ctx, swimmerID)
	if err != nil {
		return WallsView{}, err
	}
	v := WallsView{Swimmer: w, Input: in}
	who, err := a.wallSwimmer(ctx, w)
	if err != nil {
		return v, err
	}
	v.Own = who.Own
	if in.Event.Distance == 0 {
		return v, nil // an empty form
	}
	v.Answer, err = PlanWalls(ctx, in, who)
	return v, err
}

// WallPlan returns a kept plan, planned with what is known of the swimmer now.
func (a *App) WallPlan(ctx context.Context, planID string) (WallsView, error) {
	p, err := a.keptPlan(ctx, planID, record.WallPlan)
	if err != nil {
		return WallsView{}, err
	}
	var in WallInput
	if err := decodeStrict(p.Body, &in); err != nil {
		return WallsView{}, fmt.Errorf("read plan %s: %w", planID, err)
	}
	v, err := a.NewWalls(ctx, p.SwimmerID, in)
	v.Plan = p
	var faults record.Faults
	if errors.As(err, &faults) { // a run that it stood on may have changed
		v.Problem, err = err.Error(), nil
	}
	return v, err
}

func (a *App) keptPlan(ctx context.Context, id string, kind record.PlanKind) (record.Plan, error) {
	p, err := a.store.Plan(ctx, id)
	if err == nil && p.Kind != kind {
		err = fmt.Errorf("plan %s is of another kind: %w", id, ErrNotFound)
	}
	return p, err
}

// KeepWalls keeps a plan's input: a new plan of the swimmer, or with planID a new version. The
// input must be one that can be planned.
func (a *App) KeepWalls(ctx context.Context, swimmerID, planID, name string, in WallInput) (string, error) {
	if _, err := a.NewWalls(ctx, swimmerID, in); err != nil {
		return "", err
	}
	return a.keepPlan(ctx, record.Plan{ID: planID, SwimmerID: swimmerID, Kind: record.WallPlan, PlanVersion: record.PlanVersion{Name: name}}, in)
}

func (a *App) keepPlan(ctx context.Context, p record.Plan, input any) (string, error) {
	body, err := json.Marshal(input)
	if err != nil {
		return "", fmt.Errorf("keep plan: %w", err)
	}
	p.Body = body
	if p.ID == "" {
		p, err = a.store.AddPlan(ctx, p)
		return p.ID, err
	}
	kept, err := a.keptPlan(ctx, p.ID, p.Kind)
	if err != nil {
		return "", err
	}
	if kept.Name == p.Name && bytes.Equal(kept.Body, body) && !kept.Removed {
		return kept.ID, nil // nothing changed
	}
	p, err = a.store.AddPlanVersion(ctx, p.ID, record.PlanVersion{Act: record.KeepPlan, Name: p.Name, Body: body})
	return p.ID, err
}

// TurnPlan undoes, redoes or removes; nothing to turn back is no error. It returns the plan as it
// stands.
func (a *App) TurnPlan(ctx context.Context, planID string, act record.PlanAct) (record.Plan, error) {
	p, err := a.store.AddPlanVersion(ctx, planID, record.PlanVersion{Act: act})
	if errors.Is(err, store.ErrNothing) {
		return a.store.Plan(ctx, planID)
	}
	return p, err
}

// Plans lists a swimmer's plans, newest first.
func (a *App) Plans(ctx context.Context, swimmerID string) (PlansView, error) {
	w, err := a.store.Swimmer(ctx, swimmerID)
	if err != nil {
		return PlansView{}, err
	}
	all, err := a.store.Plans(ctx, swimmerID)
	if err != nil {
		return PlansView{}, err
	}
	v := PlansView{Swimmer: w}
	for _, p := range slices.Backward(all) {
		switch {
		case p.Removed:
			v.Removed = append(v.Removed, p)
		case p.Kind == record.WallPlan:
			v.Walls = append(v.Walls, p)
		default:
			v.Ladders = append(v.Ladders, p)
		}
	}
	return v, nil
}

// NewLadder reads a ladder as typed, without keeping it; an input without steps is an empty form.
func (a *App) NewLadder(ctx context.Context, swimmerID string, in LadderInput) (LadderView, error) {
	w, err := a.store.Swimmer(ctx, swimmerID)
	if err != nil {
		return LadderView{}, err
	}
	v := LadderView{Swimmer: w, Input: in}
	if v.Runs, err = a.kickRuns(ctx, swimmerID); err != nil {
		return v, err
	}
	if len(in.Steps) > 0 {
		v.Answer, err = ClimbLadder(in)
	}
	return v, err
}

// Ladder returns a kept ladder.
func (a *App) Ladder(ctx context.Context, planID string) (LadderView, error) {
	p, err := a.keptPlan(ctx, planID, record.TempoLadder)
	if err != nil {
		return LadderView{}, err
	}
	var in LadderInput
	if err := decodeStrict(p.Body, &in); err != nil {
		return LadderView{}, fmt.Errorf("read tempo ladder %s: %w", planID, err)
	}
	v, err := a.NewLadder(ctx, p.SwimmerID, in)
	v.Plan = p
	var faults record.Faults
	if errors.As(err, &faults) {
		v.Problem, err = err.Error(), nil
	}
	return v, err
}

// KeepLadder keeps a ladder as KeepWalls keeps a plan.
func (a *App) KeepLadder(ctx context.Context, swimmerID, planID, name string, in LadderInput) (string, error) {
	if _, err := ClimbLadder(in); err != nil {
		return "", err
	}
	return a.keepPlan(ctx, record.Plan{ID: planID, SwimmerID: swimmerID, Kind: record.TempoLadder, PlanVersion: record.PlanVersion{Name: name}}, in)
}

// SquadWalls plans the newest plan of every swimmer.
func (a *App) SquadWalls(ctx context.Context) (SquadWalls, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return SquadWalls{}, err
	}
	var view SquadWalls
	for _, q := range squads {
		section, err := a.squadWallSection(ctx, q)
		if err != nil {
			return SquadWalls{}, fmt.Errorf("plan the walls of squad %s: %w", q.ID, err)
		}
		view.Squads = append(view.Squads, section)
	}
	return view, nil
}

func (a *App) squadWallSection(ctx context.Context, q record.Squad) (SquadWallSection, error) {
	section := SquadWallSection{ID: q.ID, Name: q.Name}
	swimmers, err := a.store.Swimmers(ctx, q.ID)
	if err != nil {
		return section, err
	}
	plans, err := a.store.PlansOfSquad(ctx, q.ID)
	if err != nil {
		return section, err
	}
	newest, count := map[string]record.Plan{}, map[string]int{}
	for _, p := range plans {
		if p.Kind == record.WallPlan && !p.Removed {
			newest[p.SwimmerID] = p
			count[p.SwimmerID]++
		}
	}
	for _, w := range swimmers {
		row := SquadWallRow{SwimmerID: w.ID, Name: w.Name}
		if p, ok := newest[w.ID]; ok {
			row.PlanID, row.Event, row.More = p.ID, p.Name, count[w.ID]-1
			if err := a.fillWallRow(ctx, &row); err != nil {
				return section, err
			}
		}
		section.Rows = append(section.Rows, row)
	}
	return section, nil
}

func (a *App) fillWallRow(ctx context.Context, row *SquadWallRow) error {
	v, err := a.WallPlan(ctx, row.PlanID)
	if err != nil {
		return err
	}
	if v.Answer == nil {
		row.Problem = v.Problem
		return nil
	}
	row.Event, row.Total = v.Input.Event.String(), v.Answer.Total
	for i, w := range v.Answer.Walls {
		switch {
		case w.Kicks < 0 && row.Problem == "" && len(w.Reasons) > 0:
			row.Problem = w.Reasons[0].Text
		case i == 0 && w.Kicks >= 0:
			row.Start = w.Plan
		case i > 0 && w.Kicks >= 0 && row.Turn == nil:
			row.Turn = w.Plan
		}
	}
	return nil
}

// ReadWallInput reads the JSON of a WallInput; unknown fields are refused.
func ReadWallInput(text []byte) (WallInput, error) {
	var in WallInput
	if err := decodeStrict(text, &in); err != nil {
		return in, inputf("the wall file is not one of ours: %w", err)
	}
	return in, nil
}

// ReadLadderInput reads the JSON of a LadderInput; unknown fields are refused.
func ReadLadderInput(text []byte) (LadderInput, error) {
	var in LadderInput
	if err := decodeStrict(text, &in); err != nil {
		return in, inputf("the ladder file is not one of ours: %w", err)
	}
	return in, nil
}

// decodeStrict reads one JSON value and nothing after it.
func decodeStrict(text []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return err
	}
	if d.More() {
		return errors.New("something follows after the end")
	}
	return nil
}
