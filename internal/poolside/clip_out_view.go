package poolside

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strings"

	"underkick/internal/drawing"
	"underkick/internal/record"
)

// ClipOutView is the page on which a clip of a run is made.
type ClipOutView struct {
	Swimmer record.Swimmer
	Name    string // as it is shown now
	Visit   record.Visit
	Run     record.Run
	Problem string // why no clip can be made, "" when one can
	Kicks   []int  // numbers of the whole kicks
	Maker   string // what this computer makes, in words
	Widest  int    // px
	Beside  CompareChoices
	Made    []MadeView // of this run first, newest first
}

// MadeView is a clip that was made, is being made, or could not be.
type MadeView struct {
	Job   JobView
	Spec  ClipSpec
	RunID string // of its first run
	Words string // what it shows
	Note  string // what was made and why it is slow, "" until it is done
	Type  string // media type, "" until it is done
	Name  string // of the file when it is downloaded
	Gone  string // why it cannot be handed out although it was made, "" when it can
}

// Plays reports whether browsers play it.
func (m MadeView) Plays() bool { return m.Type == "video/mp4" || m.Type == "video/webm" }

// ClipOut returns the page on which a clip of a run is made. What keeps one from being
// made is in Problem, not an error.
func (a *App) ClipOut(ctx context.Context, runID string) (ClipOutView, error) {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return ClipOutView{}, err
	}
	v := ClipOutView{Swimmer: rc.Swimmer, Name: a.ShownName(ctx, rc.Swimmer), Visit: rc.Visit, Run: rc.Run}
	if v.Made, err = a.madeOf(ctx, runID); err != nil {
		return v, err
	}
	panel, err := a.clipPanel(ctx, ClipRun{RunID: runID}, record.JustMe)
	if problem, ok := problemOf(err); ok {
		v.Problem = problem
		return v, nil
	}
	if err != nil {
		return v, err
	}
	for _, k := range panel.m.Result.Kicks {
		if k.Number > 0 {
			v.Kicks = append(v.Kicks, k.Number)
		}
	}
	engine, err := a.engine(ctx)
	if err != nil {
		return v, err
	}
	encoder, err := engine.Encoder(ctx)
	if err != nil {
		return v, err
	}
	v.Maker, v.Widest = encoder.Words, encoder.MaxWidth
	v.Beside, err = a.CompareChoices(ctx, v.Run.ID)
	return v, err
}

// Made returns how a clip stands.
func (a *App) Made(ctx context.Context, jobID string) (MadeView, error) {
	j, err := a.jobs.Job(ctx, jobID)
	if err != nil {
		return MadeView{}, err
	}
	if j.Kind != jobClipOut {
		return MadeView{}, fmt.Errorf("made clip %s: %w", jobID, ErrNotFound)
	}
	return a.madeView(ctx, j)
}

// madeOf lists the clips of a run that were or are being made, newest first.
func (a *App) madeOf(ctx context.Context, runID string) ([]MadeView, error) {
	list, err := a.store.JobsOn(ctx, runID)
	if err != nil {
		return nil, err
	}
	var out []MadeView
	for _, j := range list {
		if j.Kind != jobClipOut {
			continue
		}
		v, err := a.madeView(ctx, j)
		if errors.Is(err, ErrNotFound) {
			continue // the run beside is gone
		}
		if err != nil {
			return nil, err
		}
		if v.Gone == "" || j.State != record.Done {
			out = append(out, v)
		}
	}
	return out, nil
}

func (a *App) madeView(ctx context.Context, j record.Job) (MadeView, error) {
	var args clipArgs
	if err := json.Unmarshal(j.Args, &args); err != nil {
		return MadeView{}, fmt.Errorf("read what clip %s was to show: %w", j.ID, err)
	}
	v := MadeView{Job: jobView(j), RunID: j.Subject}
	var err error
	if v.Spec, err = args.spec(); err != nil {
		return v, err
	}
	if v.Words, err = a.clipWords(ctx, v.Spec); err != nil {
		return v, err
	}
	if j.State != record.Done {
		return v, nil
	}
	var made madeClip
	if err := json.Unmarshal(j.Outcome, &made); err != nil {
		return v, fmt.Errorf("read what became of clip %s: %w", j.ID, err)
	}
	v.Type, v.Note, v.Name = made.Type, made.Note, made.Name
	if _, err := os.Stat(filepath.Join(a.madeDir(), made.File)); err != nil {
		v.Gone = "The clip was cleared away to make room. Make it again."
		return v, nil //nolint:nilerr // a file that is not there is what Gone tells
	}
	if err := a.mayHandOut(ctx, v.Spec, made); errors.Is(err, ErrInput) {
		v.Gone = err.Error()
	} else if err != nil {
		return v, err
	}
	rc, err := a.store.RunWhole(ctx, v.RunID)
	v.Name = a.nameFor(ctx, rc.Swimmer, v.Spec.Audience) + made.Name
	return v, err
}

// nameFor is how a file's name begins: with the swimmer's shown name, or, when it leaves
// the squad, with the pseudonym if there is one.
func (a *App) nameFor(ctx context.Context, w record.Swimmer, who record.Audience) string {
	name := a.ShownName(ctx, w)
	if who == record.OutsideSquad {
		name = w.Pseudonym
	}
	if name == "" {
		return ""
	}
	return name + " "
}

// speedWords says how fast a clip is shown.
var speedWords = map[int]string{1: "full speed", 2: "half speed", 4: "a quarter of the speed", 8: "an eighth of the speed"}

// clipWords says what a clip shows, without names where they are one swimmer's.
func (a *App) clipWords(ctx context.Context, spec ClipSpec) (string, error) {
	var parts []string
	for i, r := range spec.Runs {
		rc, err := a.store.RunWhole(ctx, r.RunID)
		if err != nil {
			return "", err
		}
		what := kicksWords(r)
		if i > 0 {
			what = fmt.Sprintf("beside %s, %s, from kick %d", a.ShownName(ctx, rc.Swimmer), longDate(rc.Visit.On), max(r.Kick, 1))
		}
		parts = append(parts, what)
	}
	parts = append(parts, speedWords[spec.Slow])
	if spec.Soften {
		parts = append(parts, "heads softened")
	}
	switch spec.Audience {
	case record.InSquad:
		parts = append(parts, "for the squad")
	case record.OutsideSquad:
		parts = append(parts, "for outside the squad")
	}
	return strings.Join(parts, ", "), nil
}

func kicksWords(r ClipRun) string {
	switch {
	case r.Kick > 0 && r.Kicks == 1:
		return fmt.Sprintf("Kick %d", r.Kick)
	case r.Kick > 0 && r.Kicks > 1:
		return fmt.Sprintf("Kicks %d to %d", r.Kick, r.Kick+r.Kicks-1)
	case r.Kick > 0:
		return fmt.Sprintf("From kick %d on", r.Kick)
	case r.Kicks > 0:
		return fmt.Sprintf("The first %d kicks", r.Kicks)
	case r.To > 0:
		return fmt.Sprintf("Frames %d to %d", r.From, r.To)
	}
	return "The whole run"
}

// ClipPicture draws one picture of a clip as it would be made, at most 640 px wide, as a
// JPEG file: the fastest moment of its first downkick, else its middle.
func (a *App) ClipPicture(ctx context.Context, spec ClipSpec) ([]byte, error) {
	if spec.WidthPx == 0 || spec.WidthPx > tryWidth {
		spec.WidthPx = tryWidth
	}
	plan, err := a.planClip(ctx, &spec)
	if err != nil {
		return nil, err
	}
	d := plan.drawer()
	if err := d.draw(ctx, plan.telling()); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, d.canvas, &jpeg.Options{Quality: 85}); err != nil {
		return nil, fmt.Errorf("write the picture: %w", err)
	}
	return out.Bytes(), nil
}

// tryWidth is how wide the picture is that shows what a clip will be, px.
const tryWidth = 640

// telling is the picture of the clip that shows most: at the fastest moment of the first
// downkick in it.
func (p *clipPlan) telling() int {
	lead := p.panels[0]
	from, to := lead.m.motion.T[lead.shown[0]], lead.m.motion.T[lead.shown[len(lead.shown)-1]]
	for _, k := range lead.m.Result.Kicks {
		if f := k.Moments.Fastest; k.Number > 0 && !math.IsNaN(f) && f >= from && f <= to {
			return min(max(drawing.Nearest(lead.m.motion.T, f)-lead.shown[0], 0), len(lead.shown)-1)
		}
	}
	return len(lead.shown) / 2
}
