package poolside

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"underkick/internal/record"
	"underkick/internal/store"
)

// RemarkOffer says whether a run's marks are ready to be tested by marking one frame
// again.
type RemarkOffer struct {
	Offer bool   `json:"offer"`
	Open  string `json:"open"` // id of one that was begun and not finished, ""
}

// offerAfter is how many whole frames must be marked before one is asked for again.
const offerAfter = 3

// wholeFrame is how many landmarks make a frame worth marking again.
const wholeFrame = 4

// RemarkOffer says whether to ask for a frame to be marked again: once per run and
// marker, after three whole frames.
func (a *App) RemarkOffer(ctx context.Context, runID string) (RemarkOffer, error) {
	steps, err := a.store.Steps(ctx, runID)
	if err != nil {
		return RemarkOffer{}, err
	}
	name, err := a.MarkerName(ctx)
	if err != nil {
		return RemarkOffer{}, err
	}
	before, err := a.store.Remarks(ctx, runID)
	if err != nil {
		return RemarkOffer{}, err
	}
	for _, r := range before {
		if r.By == name && r.Finished() {
			return RemarkOffer{}, nil
		}
		if r.By == name {
			return RemarkOffer{Offer: true, Open: r.ID}, nil
		}
	}
	return RemarkOffer{Offer: len(wholeFrames(ownMarks(steps, name))) >= offerAfter}, nil
}

// ownMarks returns the standing marks of a person, and those without a name: other
// people's marks tell nothing of one's own error.
func ownMarks(steps []record.Step, name string) []record.Placed {
	return slices.DeleteFunc(record.Standing(steps), func(p record.Placed) bool { return p.By != "" && p.By != name })
}

// wholeFrames returns the frames that hold enough marks, those marked longest ago
// first: what was clicked last is still in mind.
func wholeFrames(placed []record.Placed) []int {
	count, seq := map[int]int{}, map[int]int64{}
	for _, p := range placed {
		count[p.Mark.Frame]++
		seq[p.Mark.Frame] = max(seq[p.Mark.Frame], p.Seq)
	}
	var frames []int
	for f, n := range count {
		if n >= wholeFrame {
			frames = append(frames, f)
		}
	}
	slices.SortFunc(frames, func(x, y int) int {
		if seq[x] != seq[y] {
			return int(seq[x] - seq[y])
		}
		return x - y
	})
	return frames
}

// StartRemark begins to mark a frame of a run again, or goes on with one begun. A
// negative frame lets the run's own choice stand: the whole frame marked longest ago
// that was not marked again yet.
func (a *App) StartRemark(ctx context.Context, runID string, frame int) (id string, err error) {
	name, err := a.MarkerName(ctx)
	if err != nil {
		return "", err
	}
	before, err := a.store.Remarks(ctx, runID)
	if err != nil {
		return "", err
	}
	done := map[int]bool{}
	for _, r := range before {
		done[r.Frame] = true
		if r.By == name && !r.Finished() && !r.Discarded() && (frame < 0 || frame == r.Frame) {
			return r.ID, nil
		}
	}
	if frame < 0 {
		steps, err := a.store.Steps(ctx, runID)
		if err != nil {
			return "", err
		}
		whole := slices.DeleteFunc(wholeFrames(ownMarks(steps, name)), func(f int) bool { return done[f] })
		if len(whole) == 0 {
			return "", inputf("no frame of this run is left to mark again: it takes one on which %s marked %d landmarks or more", name, wholeFrame)
		}
		frame = whole[0]
	}
	r, err := a.store.AddRemark(ctx, record.Remark{RunID: runID, Frame: frame, By: name})
	if errors.Is(err, store.ErrNothing) {
		return "", inputError{err}
	}
	return r.ID, err
}

// RemarkView is the page on which a frame is marked again.
type RemarkView struct {
	Whole     store.Whole
	ID        string
	By        string
	Frame     int
	Blind     BlindView
	Discarded bool
	Points    []RemarkPoint // both places, once finished
	BodyPx    float64
}

// Remark returns the page of a frame that is marked again. Until it is finished
// nothing of the first marks is in it but which landmarks they are.
func (a *App) Remark(ctx context.Context, id string) (RemarkView, error) {
	r, err := a.store.Remark(ctx, id)
	if err != nil {
		return RemarkView{}, err
	}
	view := RemarkView{ID: r.ID, By: r.By, Frame: r.Frame, Discarded: r.Discarded()}
	if view.Whole, err = a.store.RunWhole(ctx, r.RunID); err != nil {
		return view, err
	}
	steps, err := a.store.Steps(ctx, r.RunID)
	if err != nil {
		return view, err
	}
	var first []string
	for _, m := range record.Replay(record.Before(steps, r.RunSeq)).Marks {
		if m.Frame == r.Frame {
			first = append(first, m.Landmark.String())
		}
	}
	view.Blind.Landmarks = blindLandmarks(first)
	place := BlindPlace{Words: fmt.Sprintf("Frame %d", r.Frame), Frame: r.Frame}
	for _, l := range view.Blind.Landmarks {
		place.Landmarks = append(place.Landmarks, l.ID)
	}
	place.of(view.Whole.Clip)
	view.Blind.Places = []BlindPlace{place}
	view.Blind.State = remarkState(r, len(first))
	if r.Finished() {
		s := remarkedFrame(r, steps)
		view.Points, view.BodyPx = s.Points, s.BodyPx
	}
	return view, nil
}

func remarkState(r record.Remark, wanted int) BlindState {
	h := record.Replay(r.Steps)
	s := BlindState{Marks: []BlindMark{}, Done: r.Finished(), CanUndo: h.Undos > 0 && !r.Finished(), CanRedo: h.Redos > 0 && !r.Finished()}
	for _, m := range h.Marks {
		s.Marks = append(s.Marks, BlindMark{Landmark: m.Landmark.String(), XPx: m.X, YPx: m.Y})
	}
	if len(h.Marks) < wanted {
		s.Left = 1
	}
	return s
}

// RemarkMark does one marking action on a frame that is marked again.
func (a *App) RemarkMark(ctx context.Context, id string, act BlindAction) (BlindState, error) {
	r, err := a.store.Remark(ctx, id)
	if err != nil {
		return BlindState{}, err
	}
	clip, err := a.store.RunWhole(ctx, r.RunID)
	if err != nil {
		return BlindState{}, err
	}
	step, err := act.step(r.By, r.Frame, clip.Clip.Facts)
	if err != nil {
		return BlindState{}, err
	}
	after, err := a.store.AddRemarkStep(ctx, id, step)
	switch {
	case errors.Is(err, store.ErrInUse):
		return BlindState{}, inputError{err}
	case errors.Is(err, store.ErrNothing):
		after = r
	case err != nil:
		return BlindState{}, err
	}
	view, err := a.Remark(ctx, after.ID)
	return view.Blind.State, err
}

// JudgeRemark finishes, discards or restores a frame marked again. Finishing shows
// the first marks; from then on it counts and takes no more marks.
func (a *App) JudgeRemark(ctx context.Context, id string, word record.RemarkWord) error {
	switch word {
	case record.FinishRemark, record.DiscardRemark, record.RestoreRemark:
	default:
		return fmt.Errorf("%w: %q", ErrAction, word)
	}
	if word == record.FinishRemark {
		r, err := a.store.Remark(ctx, id)
		if err != nil || r.Finished() {
			return err
		}
		if len(record.Replay(r.Steps).Marks) == 0 {
			return inputf("nothing is marked on the frame yet; mark it, or discard it")
		}
	}
	_, err := a.store.AddRemarkAct(ctx, id, word)
	return err
}
