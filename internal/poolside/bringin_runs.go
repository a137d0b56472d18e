package poolside

import (
	"context"
	"fmt"

	"underkick/internal/camera/filming"
	"underkick/internal/film"
	"underkick/internal/record"
)

// ClipView is a clip with its runs, proposed and kept, and its check card.
type ClipView struct {
	Clip     record.Clip
	Swimmer  record.Swimmer
	Visit    record.Visit
	Job      *JobView  // reading or looking, or how it failed; nil when all is done
	Look     *LookView // nil when nobody looked yet
	Runs     []RunProposal
	Checks   []ClipCheck
	FPS      float64 // pictures per second of true time, 0 = not known yet
	FilmNote string
}

// RunProposal is a stretch of the clip that is a run or may become one.
type RunProposal struct {
	RunID    string // "" = not kept yet
	From, To int
	Position record.Position // "" = to be said by the coach
	Habit    bool            // the position is the swimmer's habit, not seen
	Kept     bool
	Marks    int
	Seen     *SeenRun // what was seen there, nil when nothing
}

// RunChoice is what the coach says of one stretch.
type RunChoice struct {
	RunID    string // "" = a new run
	From, To int
	Position record.Position
	Keep     bool // false: leave it out; a kept run without marks is removed
}

// Clip returns a clip with its runs and checks.
func (a *App) Clip(ctx context.Context, clipID string) (ClipView, error) {
	var v ClipView
	clip, err := a.store.Clip(ctx, clipID)
	if err != nil {
		return v, err
	}
	v.Clip, v.FilmNote = clip, a.FilmNote()
	if v.Swimmer, err = a.store.Swimmer(ctx, clip.SwimmerID); err != nil {
		return v, err
	}
	if v.Visit, err = a.store.Visit(ctx, clip.VisitID); err != nil {
		return v, err
	}
	if v.Job, err = a.openJobOn(ctx, clipID); err != nil {
		return v, err
	}
	if v.Look, err = a.lookOf(ctx, clipID); err != nil {
		return v, err
	}
	runs, err := a.store.RunsOfClip(ctx, clipID)
	if err != nil {
		return v, err
	}
	for _, r := range runs {
		history, err := a.store.Marks(ctx, r.ID)
		if err != nil {
			return v, err
		}
		v.Runs = append(v.Runs, RunProposal{
			RunID: r.ID, From: r.FromFrame, To: r.ToFrame, Position: r.Position, Kept: true,
			Habit: r.Position != "" && r.Position == v.Swimmer.Habit && history.Seq == 0, Marks: len(history.Marks),
		})
	}
	v.propose()
	v.judge()
	return v, nil
}

// propose adds what was seen: to the run that covers most of it, or as a new one.
func (v *ClipView) propose() {
	if v.Look == nil {
		return
	}
	for i := range v.Look.Runs {
		seen := &v.Look.Runs[i]
		if r := v.covering(seen); r != nil {
			r.Seen = seen
			continue
		}
		v.Runs = append(v.Runs, RunProposal{From: seen.First, To: seen.Last, Position: v.Swimmer.Habit, Habit: v.Swimmer.Habit != "", Seen: seen})
	}
}

// covering is the kept run that holds more than half of what was seen, nil without one.
func (v *ClipView) covering(seen *SeenRun) *RunProposal {
	for i := range v.Runs {
		r := &v.Runs[i]
		shared := min(r.To, seen.Last) - max(r.From, seen.First) + 1
		if r.Kept && r.Seen == nil && 2*shared > seen.Last-seen.First+1 {
			return r
		}
	}
	return nil
}

// trueRate is the clip's pictures per second of true time, 0 while it is not read.
func trueRate(c record.Clip) float64 { return c.Facts.MeanFPS * c.Speed(record.Run{}) }

// judge fills the clip's check card.
func (v *ClipView) judge() {
	if v.Clip.Facts.Known() {
		v.FPS = trueRate(v.Clip)
		v.Checks = v.Look.Checks(v.FPS, v.Swimmer.HeightM, v.Swimmer.Level)
	}
}

// Checks is the check card of a clip before any mark: what film alone tells, and what it
// costs. v may be nil: nobody looked. heightM and level are the swimmer's, zero = not
// known.
func (v *LookView) Checks(fps, heightM float64, level record.Level) []ClipCheck {
	out := []ClipCheck{CheckFrameRate(fps)}
	if v == nil {
		return out
	}
	best, ok := v.best()
	if !ok {
		return append(out, check("kicks", "no swimmer is seen to cross the picture", "Choose the run by hand. The camera may follow the swimmer, or the water may hide them."))
	}
	in := FilmingInput{HeightM: heightM, Level: level, FPS: fps, ShutterS: 1 / fps}.Complete()
	if best.Frequency > 0 {
		in.TempoHz = best.Frequency
		out = append(out, CheckKicks(best.Kicks))
	} else {
		out = append(out, check("kicks", "no steady kicking is seen", "How many whole kicks there are shows when the run is marked."))
	}
	f := in.film(1)
	out = append(out, v.checkSmear(f, best))
	if length := f.swimmer.Subject.ArmsUpLength(); best.BodyPx > 0 {
		out = append(out, CheckScale(best.BodyPx, length))
	}
	out = append(out, check("view", "how square the camera looks is not known before the scale is set", ""))
	if v.Moved {
		out = append(out, check("camera", "the camera moves", "Distances are off unless it is followed: set the scale on one frame and steady the run."))
	}
	return out
}

// checkSmear judges the blur of the feet: by their edges where those could be
// measured, else the most it can be at this rate for a swimmer of this level.
func (v *LookView) checkSmear(f filmed, best SeenRun) ClipCheck {
	foot := f.footLength()
	most := filming.Blur(f.toeSpeed(), f.shutter, foot)
	if v.Smear == nil || !(best.BodyPx > 0) {
		return CheckBlur(most, 0)
	}
	return checkEdges(v.Smear.Px*f.swimmer.Subject.ArmsUpLength()/best.BodyPx/foot, most)
}

// KeepRuns keeps what the coach says of a clip's runs, all together or nothing, and
// takes their pictures in the background.
func (a *App) KeepRuns(ctx context.Context, clipID string, choices []RunChoice) (jobID string, err error) {
	clip, err := a.store.Clip(ctx, clipID)
	if err != nil {
		return "", err
	}
	if err := checkChoices(choices, clip.Facts.Frames); err != nil {
		return "", err
	}
	err = a.store.Together(ctx, func(ctx context.Context) error {
		for i, c := range choices {
			if err := a.keepRun(ctx, clip, i, c); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return "", err
	}
	return a.startReading(ctx, clipID)
}

// checkChoices returns nil or Faults of from_N, to_N and position_N, N from 0.
func checkChoices(choices []RunChoice, frames int) error {
	var f record.Faults
	add := func(field string, i int, format string, args ...any) {
		f = append(f, record.Fault{Field: fmt.Sprintf("%s_%d", field, i), Text: fmt.Sprintf(format, args...)})
	}
	for i, c := range choices {
		switch {
		case !c.Keep:
			continue
		case c.From < 0 || c.From >= frames:
			add("from", i, "is %d; the clip's frames are 0 to %d", c.From, frames-1)
		case c.To <= c.From || c.To >= frames:
			add("to", i, "is %d; it must come after the first frame, %d, and be at most %d", c.To, c.From, frames-1)
		case c.To-c.From >= film.MaxFrames:
			add("to", i, "is too far from the first frame: a run has at most %d frames", film.MaxFrames)
		}
		if c.Position == "" {
			add("position", i, "is not said; film does not show it, so choose how the swimmer lies")
		}
	}
	if len(f) > 0 {
		return f
	}
	return nil
}

func (a *App) keepRun(ctx context.Context, clip record.Clip, i int, c RunChoice) error {
	if c.RunID == "" {
		if !c.Keep {
			return nil
		}
		_, err := a.store.AddRun(ctx, record.Run{ClipID: clip.ID, SwimmerID: clip.SwimmerID, FromFrame: c.From, ToFrame: c.To, Position: c.Position})
		return err
	}
	run, err := a.store.Run(ctx, c.RunID)
	if err != nil {
		return err
	}
	if run.ClipID != clip.ID {
		return ErrNotFound
	}
	if c.Keep {
		run.FromFrame, run.ToFrame, run.Position = c.From, c.To, c.Position
		return a.store.UpdateRun(ctx, run)
	}
	history, err := a.store.Marks(ctx, run.ID)
	if err != nil {
		return err
	}
	if history.Seq > 0 {
		return record.Faults{{Field: fmt.Sprintf("keep_%d", i), Text: "run holds marks, so it stays; nothing was changed"}}
	}
	return a.store.DeleteRun(ctx, run.ID)
}
