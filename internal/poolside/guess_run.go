package poolside

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"runtime/debug"

	"underkick/internal/guess"
	"underkick/internal/jobs"
	"underkick/internal/record"
	"underkick/internal/store"
)

// jobGuess is the kind of job that guesses the landmarks of a run. Its subject is
// the run; the newest that ended well holds the run's guess.
const jobGuess = "guess"

// settingGuess is the setting that switches the guess off.
const settingGuess = "guess"

// GuessStart is where a person pointed to start the guess of a run: the finger tip
// and the toe on one frame, px.
type GuessStart struct {
	Frame     int        `json:"frame"`
	Fingertip [2]float64 `json:"fingertip_px"`
	Toe       [2]float64 `json:"toe_px"`
}

// guessLeft is what a guess leaves behind; what was seen lies in the cache.
type guessLeft struct {
	From       int  `json:"from_frame"` // frames asked for, both included
	To         int  `json:"to_frame"`
	Step       int  `json:"step"`
	FirstSeen  int  `json:"first_frame"` // frames followed through, both included
	LastSeen   int  `json:"last_frame"`
	LostBefore bool `json:"lost_before"`
	LostAfter  bool `json:"lost_after"`
}

// StartGuess begins to guess the landmarks of a run in the background. A guess of the
// run that is under way ends; frames that were looked at from the same start are not
// looked at again. Errors about the start wrap ErrInput.
func (a *App) StartGuess(ctx context.Context, runID string, s GuessStart) (GuessView, error) {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return GuessView{}, err
	}
	if state, err := a.guessBarred(ctx); err != nil {
		return GuessView{}, err
	} else if state != "" {
		return GuessView{}, inputf("%s", guessWords(state))
	}
	if !rc.Clip.Facts.Known() {
		return GuessView{}, inputf("The film is still being read. Wait for it to finish.")
	}
	req := a.guessRequest(rc, s, guessLeft{From: rc.Run.FromFrame, To: rc.Run.ToFrame, Step: 1})
	if err := req.Check(); err != nil {
		return GuessView{}, inputError{err}
	}
	if err := a.CancelGuess(ctx, runID); err != nil {
		return GuessView{}, err
	}
	if _, err := a.jobs.Enqueue(ctx, jobGuess, runID, s); err != nil {
		return GuessView{}, fmt.Errorf("queue the guess of run %s: %w", runID, err)
	}
	return a.Guess(ctx, runID)
}

// GuessOn takes a run's guess up again from where it was started last: after it was
// stopped, or when the run has got more frames.
func (a *App) GuessOn(ctx context.Context, runID string) (GuessView, error) {
	list, err := a.guessJobs(ctx, runID)
	if err != nil {
		return GuessView{}, err
	}
	if len(list) == 0 {
		return GuessView{}, inputf("There is no guess to go on with. Point at the finger tip and the toe on one frame.")
	}
	var s GuessStart
	if err := json.Unmarshal(list[0].Args, &s); err != nil {
		return GuessView{}, fmt.Errorf("read where the guess of run %s started: %w", runID, err)
	}
	return a.StartGuess(ctx, runID, s)
}

// CancelGuess ends the guess of a run that waits or is under way; what was looked at
// stays. Without one it does nothing.
func (a *App) CancelGuess(ctx context.Context, runID string) error {
	list, err := a.guessJobs(ctx, runID)
	if err != nil {
		return err
	}
	for _, j := range list {
		if !j.State.Ended() {
			err = errors.Join(err, a.jobs.Cancel(ctx, j.ID))
		}
	}
	return err
}

// SetGuessing switches the guess on or off for all runs. Off, those under way end and
// every run is measured from its marks alone; nothing that was seen is lost.
func (a *App) SetGuessing(ctx context.Context, on bool) error {
	if on {
		return a.store.SetSetting(ctx, settingGuess, "on")
	}
	if err := a.store.SetSetting(ctx, settingGuess, "off"); err != nil {
		return err
	}
	open, err := a.store.OpenJobs(ctx)
	for _, j := range open {
		if j.Kind == jobGuess {
			err = errors.Join(err, a.jobs.Cancel(ctx, j.ID))
		}
	}
	return err
}

// guessBarred tells why nothing is guessed, "" when it can be.
func (a *App) guessBarred(ctx context.Context) (GuessState, error) {
	if !guess.Supported() {
		return GuessCannot, nil
	}
	if a.opt.NoGuess {
		return GuessOffHere, nil
	}
	if text, _, err := a.store.Setting(ctx, settingGuess); err != nil || text == "off" {
		return GuessOff, err
	}
	return "", nil
}

// guessJobs lists the guesses of a run, newest first.
func (a *App) guessJobs(ctx context.Context, runID string) ([]record.Job, error) {
	all, err := a.store.JobsOn(ctx, runID)
	var list []record.Job
	for _, j := range all {
		if j.Kind == jobGuess {
			list = append(list, j)
		}
	}
	return list, err
}

// guessRequest is what package guess is asked for.
func (a *App) guessRequest(rc store.Whole, s GuessStart, of guessLeft) guess.Request {
	f := rc.Clip.Facts
	return guess.Request{
		Clip: rc.Clip.Hash, Width: f.WidthPx, Height: f.HeightPx, CacheDir: a.store.CacheDir(),
		Start: guess.Start{Frame: s.Frame, FingertipX: s.Fingertip[0], FingertipY: s.Fingertip[1], ToeX: s.Toe[0], ToeY: s.Toe[1]},
		From:  of.From, To: of.To + 1, Step: of.Step, Kept: true,
	}
}

// fewestFollowed is the least number of frames that make a guess.
const fewestFollowed = 10

// guessMemory is what the Go runtime keeps to while a guess runs, bytes: the
// collector would else let garbage grow to the size of the network's instances, which
// are live. The program itself and its compiled code come on top, some 70 MB.
const guessMemory = 500 << 20

// guessRun is the job: the run's pictures, then what the network sees on them.
func (a *App) guessRun(ctx context.Context, t *jobs.Task) error {
	var s GuessStart
	if err := t.Args(&s); err != nil {
		return err
	}
	rc, err := a.store.RunWhole(ctx, t.Job().Subject)
	if err != nil {
		return err
	}
	engine, err := a.engine(ctx)
	if err != nil {
		return err
	}
	const pictures = 0.1 // of the whole work; mostly they were taken before
	err = a.takePictures(ctx, engine, rc.Clip, rc.Run, func(done, total int) {
		t.Report(ctx, pictures*part(done, total), "taking the pictures")
	})
	if err != nil {
		return err
	}
	left := guessLeft{From: rc.Run.FromFrame, To: rc.Run.ToFrame, Step: guess.StepAt(rc.Clip.Facts.MeanFPS * rc.Clip.Speed(rc.Run))}
	req := a.guessRequest(rc, s, left)
	req.Kept = false
	req.Pictures = func(ctx context.Context, frame int) (image.Image, error) {
		file, err := a.cache.Picture(ctx, engine, a.filmClip(rc.Clip), PictureWidth, frame)
		if err != nil {
			return nil, err
		}
		return jpeg.Decode(bytes.NewReader(file))
	}
	req.Between = a.guesses.giveWay
	t.Report(ctx, pictures, "starting the guess")
	req.Progress = func(done, total int) {
		t.Report(ctx, pictures+(1-pictures)*part(done, total), fmt.Sprintf("looking at the frames, %d of about %d", done, total))
	}
	defer debug.FreeOSMemory() // the network's memory is hundreds of megabytes
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(guessMemory))
	g, err := guess.Run(ctx, req)
	if err != nil {
		return err
	}
	if n := len(g.Frames()); n < fewestFollowed {
		return fmt.Errorf("the swimmer was followed through %d frames only. Point again, on a frame where the whole swimmer is seen clearly", n)
	}
	left.FirstSeen, left.LastSeen, left.LostBefore, left.LostAfter = g.From, g.To-1, g.LostBack, g.LostOn
	return t.Leave(left)
}
