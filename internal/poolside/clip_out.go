package poolside

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"underkick/internal/drawing"
	"underkick/internal/jobs"
	"underkick/internal/record"
)

// jobClipOut is the kind of job that makes a clip to hand out. Its subject is the first
// run, its arguments a clipArgs, its outcome a madeClip.
const jobClipOut = "clip-out"

// ClipSpec says which clip to make of which runs. Only Runs is needed.
type ClipSpec struct {
	Runs     []ClipRun        `json:"runs"`            // one, or two side by side, of which the first leads
	Slow     int              `json:"slow,omitempty"`  // shown that many times as long: 1, 2, 4 or 8; 0 = 4
	Layers   drawing.Switches `json:"-"`               // kept by name
	Follow   bool             `json:"follow"`          // the picture goes with the swimmer; always so for two runs
	Legs     bool             `json:"legs"`            // what is followed is the legs alone, not the whole body
	Above    bool             `json:"above"`           // two runs one above the other, not side by side
	Soften   bool             `json:"soften"`          // heads are made unrecognisable
	WidthPx  int              `json:"width,omitempty"` // 0 = 960, at most what the engine can write
	Audience record.Audience  `json:"audience,omitempty"`
}

// ClipRun is a run in a clip, and which part of it. Without kicks and frames it is the
// whole run, of two runs all whole kicks that both have.
type ClipRun struct {
	RunID string `json:"run"`
	Kick  int    `json:"kick,omitempty"`  // number of the first kick
	Kicks int    `json:"kicks,omitempty"` // how many from there on; 0 = all that follow
	From  int    `json:"from,omitempty"`  // first picture of the clip; used with To and without Kick, for one run alone
	To    int    `json:"to,omitempty"`    // last picture, included
}

// Limits of what is asked for.
const (
	usualClipWidth = 960
	leastClipWidth = 160
	mostClipWidth  = 1920
	usualSlow      = 4
	mostClipPics   = 2400 // 20 s at 120 pictures a second; a minute and a half at a quarter of the speed
)

// check fills in what is usual and refuses what cannot be made.
func (s *ClipSpec) check() error {
	switch len(s.Runs) {
	case 1:
	case 2:
		s.Follow = true
		if s.Runs[0].RunID == s.Runs[1].RunID && s.Runs[0].Kick == s.Runs[1].Kick {
			return inputf("the same kicks of one run beside themselves show nothing; choose another run or another kick")
		}
	default:
		return inputf("%d runs were chosen; a clip shows one run, or two side by side", len(s.Runs))
	}
	for _, r := range s.Runs {
		if r.Kick < 0 || r.Kicks < 0 || r.From < 0 || r.To < 0 || r.To > 0 && r.To <= r.From {
			return inputf("kicks %d (%d of them), frames %d to %d: count kicks from 1, and let the last frame come after the first", r.Kick, r.Kicks, r.From, r.To)
		}
		if r.To > 0 && len(s.Runs) == 2 {
			return inputf("two runs are lined up by their kicks; choose kicks, not frames")
		}
	}
	if s.Slow == 0 {
		s.Slow = usualSlow
	}
	if s.Slow != 1 && s.Slow != 2 && s.Slow != 4 && s.Slow != 8 {
		return inputf("a clip can be shown at full, a half, a quarter or an eighth of its speed, not at 1/%d", s.Slow)
	}
	if s.WidthPx == 0 {
		s.WidthPx = usualClipWidth
	}
	if s.WidthPx < leastClipWidth || s.WidthPx > mostClipWidth {
		return inputf("a clip can be %d to %d px wide, not %d", leastClipWidth, mostClipWidth, s.WidthPx)
	}
	switch s.Audience {
	case record.JustMe, record.InSquad, record.OutsideSquad:
		return nil
	}
	return inputf("a clip is for yourself, for the squad or for outside, not for %q", s.Audience)
}

// clipArgs are a job's arguments: the layers by name, so that a later version reads them.
type clipArgs struct {
	ClipSpec
	Layers string `json:"layers"`
}

func (a clipArgs) spec() (ClipSpec, error) {
	sw, err := drawing.ParseSwitches(a.Layers)
	if err != nil {
		return ClipSpec{}, inputError{err}
	}
	a.ClipSpec.Layers = sw
	return a.ClipSpec, nil
}

// madeClip is what the job leaves behind.
type madeClip struct {
	File string `json:"file"` // below the folder of made clips
	Type string `json:"type"` // media type
	Name string `json:"name"` // for a download, without the swimmer's name
	Note string `json:"note"` // what was made and why it is slow, in words

	Named bool `json:"named,omitempty"` // real names are written in it
}

// MakeClip begins to make a clip in the background. What cannot be made is refused here
// where that can be seen beforehand: errors wrap ErrInput, and ErrConsent where a swimmer
// may not be shown to those it is for.
func (a *App) MakeClip(ctx context.Context, spec ClipSpec) (jobID string, err error) {
	if _, err := a.planClip(ctx, &spec); err != nil {
		return "", err
	}
	j, err := a.jobs.Enqueue(ctx, jobClipOut, spec.Runs[0].RunID, clipArgs{spec, spec.Layers.String()})
	if err != nil {
		return "", fmt.Errorf("queue the clip: %w", err)
	}
	return j.ID, nil
}

// clipOut is the job.
func (a *App) clipOut(ctx context.Context, t *jobs.Task) error {
	var args clipArgs
	if err := t.Args(&args); err != nil {
		return err
	}
	spec, err := args.spec()
	if err != nil {
		return err
	}
	t.Report(ctx, 0, "measuring the runs")
	if err := a.sweepMade(ctx); err != nil {
		return err
	}
	plan, err := a.planClip(ctx, &spec)
	if err != nil {
		return err
	}
	dir := filepath.Join(a.madeDir(), madeFolder(spec))
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fmt.Errorf("keep the clip: %w", err)
	}
	made, err := plan.write(ctx, filepath.Join(dir, t.Job().ID), func(done float64, doing string) { t.Report(ctx, done, doing) })
	if err == nil {
		err = a.makeRoomForMade(filepath.Join(dir, made.File))
	}
	if err == nil { // a run may have been erased meanwhile
		err = a.sweepMade(ctx)
	}
	if err != nil {
		return errors.Join(err, removeEmpty(dir))
	}
	made.File = filepath.Join(madeFolder(spec), made.File)
	return t.Leave(made)
}

// WriteClip makes a clip at once, to a file: path is completed by the ending of what this
// engine can write, unless it has that ending. It returns the path and what was made, in
// words. progress (may be nil) is told the part done and what is being done.
func (a *App) WriteClip(ctx context.Context, spec ClipSpec, path string, progress func(done float64, doing string)) (written, note string, err error) {
	plan, err := a.planClip(ctx, &spec)
	if err != nil {
		return "", "", err
	}
	ext := plan.encoder.Codec.Ext()
	stem := path
	if filepath.Ext(path) == ext {
		stem = path[:len(path)-len(ext)]
	}
	if progress == nil {
		progress = func(float64, string) {}
	}
	made, err := plan.write(ctx, stem, progress)
	return stem + ext, made.Note, err
}

// MadeClip returns the file of a clip that was made, with its media type. Whether the
// swimmers may be shown to those it is for is asked again. ErrNotFound where the work has
// not ended well or the file was cleared away.
func (a *App) MadeClip(ctx context.Context, jobID string) (path, mediaType string, err error) {
	j, err := a.jobs.Job(ctx, jobID)
	if err != nil {
		return "", "", err
	}
	var args clipArgs
	var made madeClip
	if j.Kind != jobClipOut || j.State != record.Done || json.Unmarshal(j.Args, &args) != nil || json.Unmarshal(j.Outcome, &made) != nil {
		return "", "", fmt.Errorf("made clip %s: %w", jobID, ErrNotFound)
	}
	if err := a.mayHandOut(ctx, args.ClipSpec, made); err != nil {
		return "", "", err
	}
	path = filepath.Join(a.madeDir(), made.File)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return "", "", fmt.Errorf("the clip was cleared away to make room; make it again: %w", ErrNotFound)
	} else if err != nil {
		return "", "", fmt.Errorf("find the made clip: %w", err)
	}
	return path, made.Type, nil
}

// mayHandOut asks the consent of everybody in a made clip again, and refuses one in which
// names stand while names are hidden.
func (a *App) mayHandOut(ctx context.Context, spec ClipSpec, made madeClip) error {
	for _, r := range spec.Runs {
		rc, err := a.store.RunWhole(ctx, r.RunID)
		if err != nil {
			return err
		}
		if err := a.mayBeFor(ctx, rc.Swimmer, spec.Audience); err != nil {
			return err
		}
	}
	if made.Named && a.Pseudonyms(ctx) {
		return hiddenf("this clip was made while they were shown and has them written in it. Make it again")
	}
	return nil
}

// mayBeFor asks the swimmer's consent for an audience.
func (a *App) mayBeFor(ctx context.Context, w record.Swimmer, who record.Audience) error {
	if who == record.JustMe {
		return nil
	}
	return a.MayShow(ctx, w.ID, purposeOf(who))
}
