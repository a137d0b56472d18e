package poolside

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"underkick/internal/film"
	"underkick/internal/jobs"
	"underkick/internal/record"
)

// BringIn is a clip that somebody hands over.
type BringIn struct {
	SwimmerID string
	On        record.Date // day of filming; "" = today
	Pool      string
	FileName  string
	TrueFPS   float64   // rate at which a slow-motion clip was filmed, 0 = as it plays or not known
	Content   io.Reader // read once, to its end
}

// BroughtIn is what became of it.
type BroughtIn struct {
	ClipID string
	JobID  string // the work that reads the film; "" when that is done already
}

// MaxClipBytes bounds one clip: ten minutes of phone film at its highest rate.
const MaxClipBytes = 8 << 30

// jobReadFilm is the kind of job that lists a clip's frames and takes its pictures.
const jobReadFilm = "read-film"

// readFilmArgs are its arguments.
type readFilmArgs struct {
	ClipID string `json:"clip"`
}

// BringIn copies the clip into the data folder, looks at it, and starts reading
// it in the background. A file that is not film is refused and not kept.
func (a *App) BringIn(ctx context.Context, in BringIn) (out BroughtIn, err error) {
	swimmer, err := a.store.Swimmer(ctx, in.SwimmerID)
	if err != nil {
		return BroughtIn{}, fmt.Errorf("bring in a clip: %w", err)
	}
	if in.On == "" {
		in.On = record.Date(today())
	}
	visit := record.Visit{SquadID: swimmer.SquadID, On: in.On, Pool: strings.TrimSpace(in.Pool)}
	if err := visit.Validate(); err != nil {
		return BroughtIn{}, err
	}
	staged, err := a.store.Stage(ctx, &bounded{r: in.Content, left: MaxClipBytes}, in.FileName)
	if err != nil {
		return BroughtIn{}, fmt.Errorf("copy %s into the data folder: %w", in.FileName, err)
	}
	defer func() { err = errors.Join(err, staged.Discard()) }() // does nothing once kept
	engine, err := a.engine(ctx)
	if err != nil {
		return BroughtIn{}, err
	}
	if _, err := engine.Probe(ctx, staged.Path()); err != nil {
		// The film engine knows the copy's name only; a person knows the file's.
		return BroughtIn{}, inputf("%s Nothing was kept.", strings.ReplaceAll(err.Error(), filepath.Base(staged.Path()), in.FileName))
	}
	visit, err = a.visitOf(ctx, visit)
	if err != nil {
		return BroughtIn{}, err
	}
	clip, err := staged.Keep(ctx, record.Clip{VisitID: visit.ID, SwimmerID: swimmer.ID})
	if err != nil {
		return BroughtIn{}, fmt.Errorf("keep %s: %w", in.FileName, err)
	}
	out.ClipID = clip.ID
	if in.TrueFPS > 0 { // before it is read: what is seen of the kicks hangs on it
		if err := a.SetTrueFPS(ctx, clip.ID, in.TrueFPS); err != nil {
			return out, err
		}
	}
	out.JobID, err = a.startReading(ctx, clip.ID)
	return out, err
}

// bounded fails a reader that goes on for too long.
type bounded struct {
	r    io.Reader
	left int64
}

func (b *bounded) Read(p []byte) (int, error) {
	n, err := b.r.Read(p)
	b.left -= int64(n)
	if b.left < 0 {
		return n, inputf("the clip is larger than %d GB; cut it to the stretch with the kicks", MaxClipBytes>>30)
	}
	return n, err
}

// visitOf returns the squad's visit of that day and pool, a new one if needed.
func (a *App) visitOf(ctx context.Context, want record.Visit) (record.Visit, error) {
	visits, err := a.store.Visits(ctx, want.SquadID)
	if err != nil {
		return record.Visit{}, err
	}
	for _, v := range visits {
		if v.On == want.On && strings.EqualFold(v.Pool, want.Pool) {
			return v, nil
		}
	}
	return a.store.AddVisit(ctx, want)
}

// startReading queues the reading of a clip's film.
func (a *App) startReading(ctx context.Context, clipID string) (jobID string, err error) {
	job, err := a.jobs.Enqueue(ctx, jobReadFilm, clipID, readFilmArgs{ClipID: clipID})
	if err != nil {
		return "", fmt.Errorf("queue the reading of clip %s: %w", clipID, err)
	}
	return job.ID, nil
}

// clipOfJob is the clip that a job on film names, with the engine that reads it.
func (a *App) clipOfJob(ctx context.Context, t *jobs.Task) (clip record.Clip, engine *film.Engine, err error) {
	var args readFilmArgs
	if err := t.Args(&args); err != nil {
		return clip, nil, err
	}
	if clip, err = a.store.Clip(ctx, args.ClipID); err != nil {
		return clip, nil, err
	}
	engine, err = a.engine(ctx)
	return clip, engine, err
}

// readFilm is the job: exact frame table, facts, a first run, the pictures of the runs.
func (a *App) readFilm(ctx context.Context, t *jobs.Task) error {
	clip, engine, err := a.clipOfJob(ctx, t)
	if err != nil {
		return err
	}
	t.Report(ctx, 0, "listing the frames")
	index, err := engine.Index(ctx, a.store.ClipPath(clip), func(done, total int) {
		t.Report(ctx, 0.1*part(done, total), "listing the frames")
	})
	if err != nil {
		return err
	}
	// Kept at once: a person may choose the run of a long clip while it is looked through.
	clip.Facts = factsOf(engine, index)
	if err := a.store.SetFacts(ctx, clip.ID, clip.Facts); err != nil {
		return fmt.Errorf("keep what the film of clip %s is: %w", clip.ID, err)
	}
	look, err := a.firstLook(ctx, engine, clip, func(done, total int) {
		t.Report(ctx, 0.1+0.4*part(done, total), "looking for the swimmer")
	})
	if err != nil {
		return err
	}
	if _, err := a.firstRun(ctx, clip, index, record.Run{}, look); err != nil {
		return err
	}
	if err := a.takeRuns(ctx, engine, clip, func(done, total int) {
		t.Report(ctx, 0.5+0.5*part(done, total), "taking the pictures")
	}); err != nil {
		return err
	}
	if look == nil {
		return nil
	}
	a.seeSmear(ctx, engine, clip, look)
	return t.Leave(look)
}

// firstLook looks through a clip that nobody looked through yet, if looking is quick.
// Film that cannot be looked through is no reason not to keep what can be read. nil
// means that it was not looked at now.
func (a *App) firstLook(ctx context.Context, engine *film.Engine, clip record.Clip, progress func(done, total int)) (*LookView, error) {
	known, err := a.lookOf(ctx, clip.ID)
	if err != nil || known != nil || engine.Slow() {
		return nil, err
	}
	runs, err := a.store.RunsOfClip(ctx, clip.ID)
	if err != nil || len(runs) > 0 {
		return nil, err
	}
	look, err := a.look(ctx, engine, clip, progress)
	if err != nil && ctx.Err() == nil {
		a.log.Warn("no run proposed", "clip", clip.ID, "err", err)
		return nil, nil //nolint:nilnil // not looked at, which is no error
	}
	return look, err
}

// takeRuns takes the pictures of all runs of a clip.
func (a *App) takeRuns(ctx context.Context, engine *film.Engine, clip record.Clip, progress func(done, total int)) error {
	runs, err := a.store.RunsOfClip(ctx, clip.ID)
	if err != nil {
		return err
	}
	total, before := 0, 0
	for _, r := range runs {
		total += r.Frames()
	}
	for _, r := range runs {
		err := a.takePictures(ctx, engine, clip, r, func(done, _ int) { progress(before+done, total) })
		if err != nil {
			return err
		}
		before += r.Frames()
	}
	return nil
}

func part(done, total int) float64 {
	if total <= 0 {
		return 0
	}
	return min(float64(done)/float64(total), 1)
}

// firstRun makes the clip's first run, once, and returns it: the one given, else the one
// that was seen with the most kicks, else the beginning of the clip.
func (a *App) firstRun(ctx context.Context, clip record.Clip, index *film.Index, first record.Run, look *LookView) (record.Run, error) {
	err := a.store.Together(ctx, func(ctx context.Context) error {
		runs, err := a.store.RunsOfClip(ctx, clip.ID)
		if err != nil {
			return err
		}
		if len(runs) > 0 {
			first = runs[0]
			return nil
		}
		swimmer, err := a.store.Swimmer(ctx, clip.SwimmerID)
		if err != nil {
			return err
		}
		if first.ToFrame == 0 {
			first = record.Run{FromFrame: 0, ToFrame: index.Longest(0) - 1, Position: swimmer.Habit}
			if best, ok := look.best(); ok {
				first.FromFrame, first.ToFrame = best.First, best.Last
			}
		}
		first.ClipID, first.SwimmerID = clip.ID, swimmer.ID
		first, err = a.store.AddRun(ctx, first)
		return err
	})
	if err != nil {
		return first, fmt.Errorf("keep the first run of clip %s: %w", clip.ID, err)
	}
	return first, nil
}
