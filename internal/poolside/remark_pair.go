package poolside

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
)

// pairLandmarks are marked in runs marked together: ankle and toe decide facing, the
// heel goes along where it is marked.
var pairLandmarks = []body.Landmark{body.Ankle, body.Heel, body.Toe}

// mostPairFrames is how many frames of one run a person is asked to mark in one go.
const mostPairFrames = 100

// markedAlike reports whether two runs were marked together: every standing ankle and
// toe mark on the frames of both was placed in one joint marking of these two.
func (a *App) markedAlike(ctx context.Context, runA, runB string) (bool, error) {
	pairs, err := a.store.Pairs(ctx, runA)
	if err != nil {
		return false, err
	}
	for _, p := range pairs {
		if !slices.Contains(p.RunIDs[:], runB) || runA == runB {
			continue
		}
		left := 0
		for side := range p.RunIDs {
			run, err := a.store.Run(ctx, p.RunIDs[side])
			if err != nil {
				return false, err
			}
			steps, err := a.store.Steps(ctx, run.ID)
			if err != nil {
				return false, err
			}
			s := pairSideOf(p, side, run, steps)
			if len(s.frames) < offerAfter {
				left++
			}
			left += s.left
		}
		if left == 0 {
			return true, nil
		}
	}
	return false, nil
}

// pairSide is one run of a pair as far as it is marked.
type pairSide struct {
	frames []int                   // with a standing ankle or toe mark
	wanted map[int][]body.Landmark // to be placed on each
	made   []record.Placed         // placed in this pair
	left   int                     // ankles and toes not placed in this pair
}

func pairSideOf(p record.Pair, side int, run record.Run, steps []record.Step) pairSide {
	s := pairSide{wanted: map[int][]body.Landmark{}}
	for _, m := range record.Standing(steps) {
		f, l := m.Mark.Frame, m.Mark.Landmark
		if !slices.Contains(pairLandmarks, l) || f < run.FromFrame || f > run.ToFrame {
			continue
		}
		s.wanted[f] = append(s.wanted[f], l)
		if _, made := slices.BinarySearch(p.Steps[side], m.Seq); made {
			s.made = append(s.made, m)
		} else if l != body.Heel {
			s.left++
		}
	}
	for f, ls := range s.wanted {
		if slices.Contains(ls, body.Ankle) || slices.Contains(ls, body.Toe) {
			s.frames = append(s.frames, f)
		} else {
			delete(s.wanted, f)
		}
	}
	slices.Sort(s.frames)
	return s
}

// StartPair begins to mark two runs of one swimmer together, or goes on with what was
// begun today.
func (a *App) StartPair(ctx context.Context, runA, runB string) (id string, err error) {
	name, err := a.MarkerName(ctx)
	if err != nil {
		return "", err
	}
	before, err := a.store.Pairs(ctx, runA)
	if err != nil {
		return "", err
	}
	for _, p := range before {
		if slices.Contains(p.RunIDs[:], runB) && runA != runB && p.By == name && time.Since(p.Created) < laterAfter {
			return p.ID, nil
		}
	}
	for _, id := range []string{runA, runB} {
		if err := a.fitForPair(ctx, id); err != nil {
			return "", err
		}
	}
	p, err := a.store.AddPair(ctx, record.Pair{RunIDs: [2]string{runA, runB}, By: name})
	return p.ID, err
}

// fitForPair refuses runs that cannot be walked through by phase.
func (a *App) fitForPair(ctx context.Context, runID string) error {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return err
	}
	steps, err := a.store.Steps(ctx, runID)
	if err != nil {
		return err
	}
	switch n := len(pairSideOf(record.Pair{}, 0, rc.Run, steps).frames); {
	case n < offerAfter:
		return inputf("a run of %s has ankle or toe marked on %d frames; mark it by itself first", rc.Clip.Name, n)
	case n > mostPairFrames:
		return inputf("a run of %s has ankle or toe marked on %d frames; all of them would have to be marked again, and more than %d are too many to keep one habit", rc.Clip.Name, n, mostPairFrames)
	}
	_, err = a.phasesOf(ctx, rc, record.Replay(steps).Marks)
	return err
}

// PairView is the page on which two runs are marked together.
type PairView struct {
	Swimmer record.Swimmer
	ID      string
	By      string
	RunIDs  [2]string
	When    [2]string
	Blind   BlindView
	Alike   bool
}

// Pair returns the page of two runs marked together: their frames with ankle or toe
// marks, by phase, the runs in turn. Marks made in this pair are shown, all others
// are not.
func (a *App) Pair(ctx context.Context, id string) (PairView, error) {
	p, err := a.store.Pair(ctx, id)
	if err != nil {
		return PairView{}, err
	}
	view := PairView{ID: p.ID, By: p.By, RunIDs: p.RunIDs, Blind: BlindView{State: BlindState{Marks: []BlindMark{}}}}
	for _, l := range pairLandmarks {
		view.Blind.Landmarks = append(view.Blind.Landmarks, blindLandmarks([]string{l.String()})...)
	}
	var walks [2][]BlindPlace
	var sides [2]pairSide
	for side, runID := range p.RunIDs {
		rc, err := a.store.RunWhole(ctx, runID)
		if err != nil {
			return view, err
		}
		steps, err := a.store.Steps(ctx, runID)
		if err != nil {
			return view, err
		}
		view.Swimmer, view.When[side] = rc.Swimmer, longDate(rc.Visit.On)
		sides[side] = pairSideOf(p, side, rc.Run, steps)
		// From the marks of before, so that the walk stays as it is while it is gone.
		begun := slices.DeleteFunc(steps, func(s record.Step) bool { return s.At.After(p.Created) })
		phase, err := a.phasesOf(ctx, rc, record.Replay(begun).Marks)
		if problem, ok := problemOf(err); ok {
			return view, inputf("%s", problem)
		}
		if err != nil {
			return view, err
		}
		walks[side] = walk(rc, side, sides[side], phase)
	}
	view.Blind.Places = inTurn(walks)
	view.Blind.State.fill(view.Blind.Places, sides)
	if view.Blind.State.CanUndo, err = a.canUndoPair(ctx, p); err != nil {
		return view, err
	}
	view.Alike, err = a.markedAlike(ctx, p.RunIDs[0], p.RunIDs[1])
	return view, err
}

// lastOfPair returns the side whose last standing step is the pair's newest; -1 when
// the last step of neither run is the pair's.
func (a *App) lastOfPair(ctx context.Context, p record.Pair) (side int, err error) {
	side = -1
	var newest time.Time
	for i, runID := range p.RunIDs {
		steps, err := a.store.Steps(ctx, runID)
		if err != nil {
			return -1, err
		}
		last, ok := record.Last(steps)
		if !ok {
			continue
		}
		if _, made := slices.BinarySearch(p.Steps[i], last.Seq); made && last.At.After(newest) {
			side, newest = i, last.At
		}
	}
	return side, nil
}

func (a *App) canUndoPair(ctx context.Context, p record.Pair) (bool, error) {
	side, err := a.lastOfPair(ctx, p)
	return side >= 0, err
}

// PairMark does one marking action on runs that are marked together. Undo takes back
// what was done last here, and nothing that was done elsewhere.
func (a *App) PairMark(ctx context.Context, id string, act BlindAction) (BlindState, error) {
	p, err := a.store.Pair(ctx, id)
	if err != nil {
		return BlindState{}, err
	}
	if act.Do == "undo" {
		side, err := a.lastOfPair(ctx, p)
		if err != nil {
			return BlindState{}, err
		}
		if side >= 0 {
			if _, err := a.store.Undo(ctx, p.RunIDs[side], p.By); err != nil && !errors.Is(err, store.ErrNothing) {
				return BlindState{}, err
			}
		}
		return a.pairState(ctx, id)
	}
	view, err := a.Pair(ctx, id)
	if err != nil {
		return BlindState{}, err
	}
	if act.Do != "place" || act.Place < 0 || act.Place >= len(view.Blind.Places) {
		return BlindState{}, fmt.Errorf("%w: %q", ErrAction, act.Do)
	}
	place := view.Blind.Places[act.Place]
	if !slices.Contains(place.Landmarks, act.Landmark) {
		return BlindState{}, inputf("the %s is not marked on this frame; nothing was kept", act.Landmark)
	}
	step, err := act.step(p.By, place.Frame, record.Facts{WidthPx: place.Width, HeightPx: place.Height})
	if err != nil {
		return BlindState{}, err
	}
	if _, err := a.store.AddPairStep(ctx, id, place.Side, step); err != nil {
		return BlindState{}, err
	}
	return a.pairState(ctx, id)
}

func (a *App) pairState(ctx context.Context, id string) (BlindState, error) {
	view, err := a.Pair(ctx, id)
	return view.Blind.State, err
}
