package poolside

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"underkick/internal/body"
	"underkick/internal/kick"
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

// AlikeChoice is a run that can be marked together with another one.
type AlikeChoice struct {
	Run    record.Run
	When   string
	Clip   string
	Frames int      // with ankle or toe marked
	With   []string // ids of runs it is marked alike with
}

// AlikeChoices is the page on which two runs of a swimmer are chosen.
type AlikeChoices struct {
	Swimmer record.Swimmer
	Runs    []AlikeChoice
}

// AlikeChoices returns a swimmer's marked runs, newest visit first.
func (a *App) AlikeChoices(ctx context.Context, swimmerID string) (AlikeChoices, error) {
	var out AlikeChoices
	var err error
	if out.Swimmer, err = a.store.Swimmer(ctx, swimmerID); err != nil {
		return out, err
	}
	visits, err := a.store.Filmed(ctx, swimmerID)
	if err != nil {
		return out, err
	}
	for _, v := range visits {
		for _, c := range v.Clips {
			for _, r := range c.Runs {
				steps, err := a.store.Steps(ctx, r.Run.ID)
				if err != nil {
					return out, err
				}
				s := pairSideOf(record.Pair{}, 0, r.Run, steps)
				if len(s.frames) > 0 {
					out.Runs = append(out.Runs, AlikeChoice{Run: r.Run, When: longDate(v.Visit.On), Clip: c.Clip.Name, Frames: len(s.frames)})
				}
			}
		}
	}
	for i := range out.Runs {
		for j := range out.Runs {
			alike, err := a.markedAlike(ctx, out.Runs[i].Run.ID, out.Runs[j].Run.ID)
			if err != nil {
				return out, err
			}
			if alike {
				out.Runs[i].With = append(out.Runs[i].With, out.Runs[j].Run.ID)
			}
		}
	}
	return out, nil
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

// phasesOf measures a run from the marks given and returns where in a kick each of
// its frames lies, NaN outside whole kicks.
func (a *App) phasesOf(ctx context.Context, rc store.Whole, marks []body.Mark) (phase func(frame int) float64, err error) {
	in, err := a.chainInput(ctx, rc)
	if err != nil {
		return nil, err
	}
	in.Marks = nil
	in.takeMarks(marks)
	m, _, err := a.measureRun(ctx, rc, in)
	if err != nil {
		return nil, err
	}
	kicks := m.Result.Kicks
	return func(frame int) float64 {
		i := frame - in.Frames[0]
		if i < 0 || i >= len(in.Times) {
			return math.NaN()
		}
		return phaseAt(kicks, in.Times[i])
	}, nil
}

// phaseAt is where in a kick a moment lies: 0 at the highest toe, a half at the lowest,
// towards 1 at the next highest; NaN outside whole kicks.
func phaseAt(kicks []kick.Kick, t float64) float64 {
	for _, k := range kicks {
		switch {
		case k.Number == 0 || t < k.Start || t >= k.End:
		case t < k.Bottom:
			return 0.5 * (t - k.Start) / (k.Bottom - k.Start)
		default:
			return 0.5 + 0.5*(t-k.Bottom)/(k.End-k.Bottom)
		}
	}
	return math.NaN()
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

// walk lists a run's frames by phase; those outside whole kicks come last.
func walk(rc store.Whole, side int, s pairSide, phase func(frame int) float64) []BlindPlace {
	at := func(f int) float64 {
		if p := phase(f); !math.IsNaN(p) {
			return p
		}
		return 2
	}
	frames := slices.Clone(s.frames)
	slices.SortStableFunc(frames, func(x, y int) int { return cmp.Compare(at(x), at(y)) })
	var out []BlindPlace
	for _, f := range frames {
		p := BlindPlace{Frame: f, Side: side, Words: fmt.Sprintf("%s, %s, frame %d", longDate(rc.Visit.On), rc.Clip.Name, f)}
		for _, l := range pairLandmarks {
			if slices.Contains(s.wanted[f], l) {
				p.Landmarks = append(p.Landmarks, l.String())
			}
		}
		p.of(rc.Clip)
		out = append(out, p)
	}
	return out
}

// inTurn takes from two walks in turn; the longer one goes on alone in between, so
// that both end together.
func inTurn(walks [2][]BlindPlace) []BlindPlace {
	var out []BlindPlace
	n, m := len(walks[0]), len(walks[1])
	i, j := 0, 0
	for i < n || j < m {
		if j == m || (i < n && (2*i+1)*m <= (2*j+1)*n) {
			out, i = append(out, walks[0][i]), i+1
		} else {
			out, j = append(out, walks[1][j]), j+1
		}
	}
	return out
}

// fill lists the marks made in the pair and counts the places still to be marked.
func (s *BlindState) fill(places []BlindPlace, sides [2]pairSide) {
	for i, p := range places {
		missing := len(p.Landmarks)
		for _, m := range sides[p.Side].made {
			if m.Mark.Frame == p.Frame {
				s.Marks = append(s.Marks, BlindMark{Place: i, Landmark: m.Mark.Landmark.String(), XPx: m.Mark.X, YPx: m.Mark.Y})
				missing--
			}
		}
		if missing > 0 {
			s.Left++
		}
	}
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
