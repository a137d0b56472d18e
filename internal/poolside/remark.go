package poolside

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"underkick/internal/body"
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

// BlindView is what a page of marking without the earlier marks starts from.
type BlindView struct {
	Places    []BlindPlace    `json:"places"`
	Landmarks []BlindLandmark `json:"landmarks"`
	State     BlindState      `json:"state"`
}

// BlindPlace is one frame to be marked.
type BlindPlace struct {
	Picture   string   `json:"picture"` // address
	Frame     int      `json:"frame"`
	Width     int      `json:"width"` // px
	Height    int      `json:"height"`
	Words     string   `json:"words"`
	Landmarks []string `json:"landmarks"` // to be placed here
	Side      int      `json:"side"`      // which of two runs
}

// BlindLandmark is a landmark with its key and where a hand puts it.
type BlindLandmark struct {
	ID       string `json:"id"`
	Key      string `json:"key"`
	Sentence string `json:"sentence"`
}

// BlindState is what stands on such a page; every action answers with it.
type BlindState struct {
	Marks   []BlindMark `json:"marks"`
	CanUndo bool        `json:"can_undo"`
	CanRedo bool        `json:"can_redo"`
	Done    bool        `json:"done"` // takes no more marks
	Left    int         `json:"left"` // places not wholly marked
}

// BlindMark is a mark made there.
type BlindMark struct {
	Place    int     `json:"place"`
	Landmark string  `json:"landmark"`
	XPx      float64 `json:"x_px"`
	YPx      float64 `json:"y_px"`
}

// BlindAction is one step of a person there.
type BlindAction struct {
	Do       string  `json:"do"` // "place" (also moves), "delete", "undo", "redo"
	Place    int     `json:"place"`
	Landmark string  `json:"landmark"`
	XPx      float64 `json:"x_px"`
	YPx      float64 `json:"y_px"`
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

func (p *BlindPlace) of(c record.Clip) {
	p.Picture = fmt.Sprintf("/clip/%s/frame/%d.jpg", c.ID, p.Frame)
	p.Width, p.Height = c.Facts.WidthPx, c.Facts.HeightPx
}

// blindLandmarks explains the landmarks named, in marking order.
func blindLandmarks(ids []string) []BlindLandmark {
	var out []BlindLandmark
	for _, g := range landmarkGuide {
		if slices.Contains(ids, g.l.String()) {
			out = append(out, BlindLandmark{g.l.String(), g.key, g.sentence})
		}
	}
	return out
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

// step turns an action into a step of a history.
func (act BlindAction) step(by string, frame int, facts record.Facts) (record.Step, error) {
	switch act.Do {
	case "undo":
		return record.Step{Act: record.Undo, By: by}, nil
	case "redo":
		return record.Step{Act: record.Redo, By: by}, nil
	case "place", "delete":
	default:
		return record.Step{}, fmt.Errorf("%w: %q", ErrAction, act.Do)
	}
	l, err := body.ParseLandmark(act.Landmark)
	if err != nil {
		return record.Step{}, inputError{err}
	}
	if act.Do == "delete" {
		return record.Take(by, frame, l), nil
	}
	m := body.Mark{Frame: frame, Landmark: l, X: act.XPx, Y: act.YPx}
	if facts.Outside(m) {
		return record.Step{}, inputf("the %v was put outside the picture; nothing was kept", l)
	}
	return record.Set(record.PlaceMark, by, m), nil
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
