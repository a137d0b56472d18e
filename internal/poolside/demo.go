package poolside

import (
	"bytes"
	"context"
	"fmt"

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
	l := demoLoader{app: a, demo: d, progress: progress}
	if err := l.people(ctx); err != nil {
		return fmt.Errorf("load the demo's squad: %w", err)
	}
	for i, c := range d.Clips {
		progress(fmt.Sprintf("demo clip %d of %d: %s", i+1, len(d.Clips), c.File()))
		if err := l.clip(ctx, c); err != nil {
			return fmt.Errorf("load the demo's clip %s: %w", c.File(), err)
		}
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
	run, err := a.keepFacts(ctx, kept, engine, index, c.Run)
	if err != nil {
		return err
	}
	if err := l.marks(ctx, c, run); err != nil {
		return err
	}
	_, err = a.Kick(ctx, run.ID, 0)
	return err
}

// marks keeps the clip's marks as one step of the run's history.
func (l *demoLoader) marks(ctx context.Context, c demo.Clip, run record.Run) error {
	history, err := l.app.store.Marks(ctx, run.ID)
	if err != nil || history.Seq > 0 {
		return err
	}
	text, err := c.Marks()
	if err != nil {
		return err
	}
	t, err := table.Read(bytes.NewReader(text), table.Options{})
	if err != nil {
		return err
	}
	_, err = l.app.store.AddStep(ctx, run.ID, record.Set(record.ImportMark, t.Who, t.Marks...))
	return err
}
