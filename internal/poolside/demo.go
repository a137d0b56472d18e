package poolside

import (
	"bytes"
	"context"
	"fmt"
	"slices"

	"underkick/internal/body"
	"underkick/internal/demo"
	"underkick/internal/record"
	"underkick/internal/table"
)

// demoSetting is set once the demo's squad is complete in a data folder.
const demoSetting = "demo-squad"

// LoadDemo puts the invented squad into the data folder: swimmers, visits, clips
// as any other clip, runs and marks. A folder that has it is left as it is, one
// that was left half-way is completed; a folder with squads of somebody's own is
// refused. progress is told what is being done.
func (a *App) LoadDemo(ctx context.Context, progress func(doing string)) error {
	if _, done, err := a.store.Setting(ctx, demoSetting); err != nil || done {
		return err
	}
	d, err := demo.Load()
	if err != nil {
		return fmt.Errorf("load the demo: %w", err)
	}
	l := demoLoader{app: a, demo: d, progress: progress, runs: map[string]string{}}
	if err := l.people(ctx); err != nil {
		return fmt.Errorf("load the demo's squad: %w", err)
	}
	for i, c := range d.Clips {
		progress(fmt.Sprintf("demo clip %d of %d: %s", i+1, len(d.Clips), c.File()))
		if err := l.clip(ctx, c); err != nil {
			return fmt.Errorf("load the demo's clip %s: %w", c.File(), err)
		}
	}
	if err := l.alike(ctx); err != nil {
		return fmt.Errorf("mark the demo's runs alike: %w", err)
	}
	if err := l.measure(ctx); err != nil {
		return fmt.Errorf("measure the demo's runs: %w", err)
	}
	progress("what the squad practises")
	if err := l.season(ctx); err != nil {
		return fmt.Errorf("load the demo's season: %w", err)
	}
	return a.store.SetSetting(ctx, demoSetting, d.Squad.Name)
}

// demoLoader keeps the demo's records; whatever is there already is taken as it is.
type demoLoader struct {
	app      *App
	demo     *demo.Squad
	progress func(doing string)
	squad    record.Squad
	swimmers []record.Swimmer
	visits   []record.Visit
	runs     map[string]string // run id by clip name
}

// measure measures every run. The one that is held against a reference comes first: its
// estimate of worth is waited for, since the practice chosen for it hangs on that.
func (l *demoLoader) measure(ctx context.Context) error {
	if _, err := l.app.Estimated(ctx, l.runs[demoRun]); err != nil {
		return err
	}
	for _, c := range l.demo.Clips {
		if _, err := l.app.Kick(ctx, l.runs[c.Name], 0); err != nil {
			return err
		}
	}
	return nil
}

func (l *demoLoader) people(ctx context.Context) error {
	squads, err := l.app.store.Squads(ctx)
	if err != nil {
		return err
	}
	for _, q := range squads {
		if q.Name != l.demo.Squad.Name {
			return inputf("the data folder holds squads of your own; give the demo another with --data")
		}
		l.squad = q
	}
	if l.squad.ID == "" {
		if l.squad, err = l.app.store.AddSquad(ctx, l.demo.Squad); err != nil {
			return err
		}
	}
	have, err := l.app.store.Swimmers(ctx, l.squad.ID)
	if err != nil {
		return err
	}
	for _, w := range l.demo.Swimmers {
		kept, err := l.swimmer(ctx, have, w)
		if err != nil {
			return err
		}
		l.swimmers = append(l.swimmers, kept)
	}
	if err := l.consents(ctx); err != nil {
		return err
	}
	for _, v := range l.demo.Visits {
		v.SquadID = l.squad.ID
		kept, err := l.app.visitOf(ctx, v)
		if err != nil {
			return err
		}
		l.visits = append(l.visits, kept)
	}
	return nil
}

func (l *demoLoader) swimmer(ctx context.Context, have []record.Swimmer, w record.Swimmer) (record.Swimmer, error) {
	for _, h := range have {
		if h.Name == w.Name {
			return h, nil
		}
	}
	w.SquadID = l.squad.ID
	return l.app.store.AddSwimmer(ctx, w)
}

// clip brings a clip in with its run and marks.
func (l *demoLoader) clip(ctx context.Context, c demo.Clip) error {
	a := l.app
	film, err := c.Film()
	if err != nil {
		return err
	}
	swimmer := l.swimmers[c.Swimmer]
	kept, err := a.store.ImportClip(ctx, bytes.NewReader(film), c.File(), record.Clip{
		VisitID: l.visits[c.Visit].ID, SwimmerID: swimmer.ID, TrueFPS: c.TrueFPS, TrueFPSConfirmed: c.TrueFPS > 0,
	})
	if err != nil {
		return err
	}
	engine, err := a.engine(ctx)
	if err != nil {
		return err
	}
	index, err := engine.Index(ctx, a.store.ClipPath(kept), nil)
	if err != nil {
		return err
	}
	kept.Facts = factsOf(engine, index)
	var run record.Run
	err = a.store.Together(ctx, func(ctx context.Context) error {
		if err := a.store.SetFacts(ctx, kept.ID, kept.Facts); err != nil {
			return err
		}
		run, err = a.firstRun(ctx, kept, index, c.Run, nil)
		return err
	})
	if err != nil {
		return err
	}
	l.runs[c.Name] = run.ID
	return l.marks(ctx, c, run)
}

// marks keeps the clip's marks as one step of the run's history.
func (l *demoLoader) marks(ctx context.Context, c demo.Clip, run record.Run) error {
	history, err := l.app.store.Marks(ctx, run.ID)
	if err != nil || history.Seq > 0 {
		return err
	}
	t, err := l.table(c)
	if err != nil {
		return err
	}
	marks := t.Marks
	if isAlike(c.Name) { // ankle and toe of these are set side by side, see alike
		marks = slices.DeleteFunc(marks, ankleOrToe)
	}
	_, err = l.app.store.AddStep(ctx, run.ID, record.Set(record.ImportMark, t.Who, marks...))
	return err
}

func (l *demoLoader) table(c demo.Clip) (*table.Table, error) {
	text, err := c.Marks()
	if err != nil {
		return nil, err
	}
	return table.Read(bytes.NewReader(text), table.Options{})
}

// The demo's coach marked ankle and toe of these two clips side by side, and holds the
// first against the second. The invented hand has no constant offset, so this is true of
// them.
const (
	demoRun       = "joren-august"
	demoReference = "joren-october-2"
)

func isAlike(clip string) bool { return clip == demoRun || clip == demoReference }

func ankleOrToe(m body.Mark) bool { return m.Landmark == body.Ankle || m.Landmark == body.Toe }

// alike keeps the joint marking of the two clips and names the reference.
func (l *demoLoader) alike(ctx context.Context) error {
	s := l.app.store
	run, ref := l.runs[demoRun], l.runs[demoReference]
	pairs, err := s.Pairs(ctx, run)
	if err != nil {
		return err
	}
	if len(pairs) == 0 {
		pair, err := s.AddPair(ctx, record.Pair{RunIDs: [2]string{run, ref}, By: l.demo.Clips[0].Run.MarkedBy})
		if err != nil {
			return err
		}
		pairs = append(pairs, pair)
	}
	for _, c := range l.demo.Clips {
		if !isAlike(c.Name) {
			continue
		}
		side := slices.Index(pairs[0].RunIDs[:], l.runs[c.Name])
		if side < 0 || len(pairs[0].Steps[side]) > 0 {
			continue
		}
		t, err := l.table(c)
		if err != nil {
			return err
		}
		marks := slices.DeleteFunc(t.Marks, func(m body.Mark) bool { return !ankleOrToe(m) })
		if _, err := s.AddPairStep(ctx, pairs[0].ID, side, record.Set(record.ImportMark, t.Who, marks...)); err != nil {
			return err
		}
	}
	return s.SetReference(ctx, run, ref)
}
