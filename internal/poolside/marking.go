package poolside

import (
	"context"
	"errors"
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/film"
	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/trace"
)

// landmarkGuide says where a hand puts each point, in the order of marking, and
// the key that chooses it.
var landmarkGuide = []struct {
	l        body.Landmark
	key      string
	sentence string
}{
	{body.Toe, "1", "The tip of the big toe, of the nearer foot when the feet part."},
	{body.Heel, "2", "The back of the heel."},
	{body.Ankle, "3", "The outer ankle bone."},
	{body.Knee, "4", "The middle of the knee from the side, over the outer bump."},
	{body.Hip, "5", "The bony bump at the side of the hip."},
	{body.Rib, "6", "The side of the lowest rib."},
	{body.Shoulder, "7", "The middle of the shoulder joint from the side."},
	{body.Head, "8", "The crown of the head."},
	{body.Elbow, "9", "The middle of the elbow from the side."},
	{body.Wrist, "0", "The middle of the wrist from the side."},
	{body.Fingertip, "q", "The end of the longest finger of the upper hand."},
}

// needed lists the landmarks that the measures need; the wrist stands in for
// the finger tip.
func needed(l body.Landmark) bool {
	switch l {
	case body.Fingertip, body.Shoulder, body.Hip, body.Knee, body.Ankle, body.Toe:
		return true
	}
	return false
}

func landmarkViews() []LandmarkView {
	var out []LandmarkView
	for _, g := range landmarkGuide {
		out = append(out, LandmarkView{ID: g.l.String(), Key: g.key, Sentence: g.sentence, Needed: needed(g.l)})
	}
	return out
}

// Marking returns the marking page of a run.
func (a *App) Marking(ctx context.Context, runID string) (MarkingView, error) {
	defer a.guesses.first()()
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return MarkingView{}, err
	}
	in, err := a.chainInput(ctx, rc)
	if err != nil {
		return MarkingView{}, err
	}
	if err := a.fetchPictures(ctx, rc.Clip.ID); err != nil {
		return MarkingView{}, err
	}
	view := MarkingView{
		Swimmer: rc.Swimmer, Visit: rc.Visit, Clip: rc.Clip, Run: rc.Run,
		WidthPx: rc.Clip.Facts.WidthPx, HeightPx: rc.Clip.Facts.HeightPx,
		Landmarks: landmarkViews(), Scale: scaleView(rc, in), Lens: lensView(rc.Run.Scale),
		SlowMotion: slowMotionView(rc.Clip), FilmNote: a.FilmNote(),
	}
	for i, f := range in.Frames {
		view.Frames = append(view.Frames, FrameView{N: f, Time: in.Times[i]})
	}
	if view.Steady, err = a.steadyView(ctx, rc, in); err != nil {
		return MarkingView{}, err
	}
	if view.Earlier, err = a.earlier(ctx, rc); err != nil {
		return MarkingView{}, err
	}
	if view.Guess, err = a.guessView(ctx, rc); err != nil {
		return MarkingView{}, err
	}
	view.Marks = marksView(rc, in)
	return view, nil
}

// slowMotionView asks for the true rate where the file raises the question.
func slowMotionView(c record.Clip) SlowMotionView {
	f := c.Facts
	return SlowMotionView{
		PlaysFPS: f.MeanFPS, TaggedFPS: f.TaggedFPS, TrueFPS: c.TrueFPS,
		Ask: !c.TrueFPSConfirmed && f.TaggedFPS > 0 && f.MeanFPS > 0 && math.Abs(f.TaggedFPS/f.MeanFPS-1) > 0.1,
	}
}

// Marks returns what stands on the film of a run.
func (a *App) Marks(ctx context.Context, runID string) (MarksView, error) {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return MarksView{}, err
	}
	return a.marksOf(ctx, rc)
}

func (a *App) marksOf(ctx context.Context, rc store.Whole) (MarksView, error) {
	in, err := a.chainInput(ctx, rc)
	if err != nil {
		return MarksView{}, err
	}
	return marksView(rc, in), nil
}

func marksView(rc store.Whole, in chainInput) MarksView {
	history := in.history
	view := MarksView{
		Seq: history.Seq, CanUndo: history.Undos > 0, CanRedo: history.Redos > 0,
		Marks: []MarkView{}, Traces: map[string]TraceView{},
	}
	outside := 0
	for _, m := range history.Marks {
		view.Marks = append(view.Marks, MarkView{Frame: m.Frame, Landmark: m.Landmark.String(), XPx: m.X, YPx: m.Y})
		if rc.Clip.Facts.Outside(m) {
			outside++
		}
	}
	if outside > 0 {
		view.Warn = append(view.Warn, fmt.Sprintf("%d marks lie outside the picture. Move or delete them.", outside))
	}
	view.addTraces(in, rc.Clip.Facts)
	return view
}

// addTraces fills in the frames between marks as far as that can be done.
func (v *MarksView) addTraces(in chainInput, facts record.Facts) {
	if len(in.Marks) == 0 && in.Guess == nil {
		v.advise(in, traced{view: viewOr(in.View)}, facts)
		return
	}
	tr, err := fillFrames(in)
	if err == nil || errors.Is(err, trace.ErrTooFewMarks) {
		v.advise(in, tr, facts)
	} else {
		v.Note = err.Error()
	}
	if err != nil {
		return
	}
	if tr.fit != nil {
		for _, i := range tr.fit.Outliers {
			m := in.Marks[i]
			v.Warn = append(v.Warn, fmt.Sprintf("The %v on frame %d does not fit the others. Look at it again.", m.Landmark, m.Frame))
		}
		v.Warn = append(v.Warn, tr.fit.Warnings...)
	}
	for l, p := range tr.motion.Paths {
		if p != nil {
			v.Traces[body.Landmark(l).String()] = traceView(in.Frames[0], onPicture(*p, tr.motion.T, tr.view))
		}
	}
}

func traceView(from int, p *body.Path) TraceView {
	return TraceView{From: from, XPx: nullable(p.X), YPx: nullable(p.Y), SDPx: nullable(p.SD)}
}

// nullable returns the values to a hundredth, nil where not known.
func nullable(x []float64) []*float64 {
	out := make([]*float64, len(x))
	for i, v := range x {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			r := math.Round(v*100) / 100
			out[i] = &r
		}
	}
	return out
}

// ErrAction is wrapped by errors about a marking action that makes no sense.
var ErrAction = errors.New("not a marking action")

// Mark does one marking action, keeps it under the name by (empty: of whoever marks at
// this computer), and returns what stands then. Undo and
// redo act only on what the person saw: after a change in another window they
// just show it.
func (a *App) Mark(ctx context.Context, runID, by string, act MarkAction) (MarksView, error) {
	defer a.guesses.first()()
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return MarksView{}, err
	}
	if by == "" {
		if by, err = a.MarkerName(ctx); err != nil {
			return MarksView{}, err
		}
	}
	stale, err := a.act(ctx, rc, by, act)
	if err != nil && !errors.Is(err, store.ErrNothing) {
		return MarksView{}, err
	}
	view, err := a.marksOf(ctx, rc)
	a.measureAhead(runID)
	if stale {
		view.Warn = append(view.Warn, "The marks were changed in another window. They are shown now; nothing was undone.")
	}
	return view, err
}

func (a *App) act(ctx context.Context, rc store.Whole, by string, act MarkAction) (stale bool, err error) {
	switch act.Do {
	case "undo", "redo":
		history, err := a.store.Marks(ctx, rc.Run.ID)
		if err != nil || history.Seq != act.Seq {
			return err == nil, err
		}
		if act.Do == "undo" {
			_, err = a.store.Undo(ctx, rc.Run.ID, by)
		} else {
			_, err = a.store.Redo(ctx, rc.Run.ID, by)
		}
		return false, err
	}
	l, err := body.ParseLandmark(act.Landmark)
	if err != nil {
		return false, inputError{err}
	}
	switch act.Do {
	case "place", "accept":
		m := body.Mark{Frame: act.Frame, Landmark: l, X: act.XPx, Y: act.YPx}
		if rc.Clip.Facts.Outside(m) {
			return false, inputf("the %v was put outside the picture; nothing was kept", l)
		}
		kept := record.PlaceMark
		if act.Do == "accept" {
			kept = record.AcceptMark
			m.SD = acceptedSD(rc.Clip.Facts)
		}
		_, err = a.store.AddStep(ctx, rc.Run.ID, record.Set(kept, by, m))
	case "delete":
		_, err = a.store.AddStep(ctx, rc.Run.ID, record.Take(by, act.Frame, l))
	default:
		return false, fmt.Errorf("%w: %q", ErrAction, act.Do)
	}
	return false, err
}

// acceptedShare is the standard error per axis of an accepted point as a share of the
// picture's width, 3 px on 1280: the eye passes a ring a little off the place that the
// hand would have clicked, and what is passed must not weigh as much as a click.
const acceptedShare = 3.0 / 1280

func acceptedSD(f record.Facts) float64 { return acceptedShare * float64(f.WidthPx) }

// UpdateRun changes a run's frames, conditions and scale. A longer run's
// pictures are taken as they are looked at.
func (a *App) UpdateRun(ctx context.Context, r record.Run) error {
	clip, err := a.store.Clip(ctx, r.ClipID)
	if err != nil {
		return err
	}
	if err := r.Validate(clip.Facts.Frames); err != nil {
		return err
	}
	if r.ToFrame-r.FromFrame >= film.MaxFrames {
		return record.Faults{{Field: "to_frame", Text: fmt.Sprintf("is too far from the first frame: a run has at most %d frames", film.MaxFrames)}}
	}
	if r.Scale.Kind == record.Plane {
		if _, err := camera.ParsePlane(r.Scale.Plane); err != nil {
			return record.Faults{{Field: "plane", Text: err.Error()}}
		}
	}
	return a.store.UpdateRun(ctx, r)
}

// Run returns a run.
func (a *App) Run(ctx context.Context, id string) (record.Run, error) { return a.store.Run(ctx, id) }

// AddRun keeps another run of a clip.
func (a *App) AddRun(ctx context.Context, r record.Run) (id string, err error) {
	kept, err := a.store.AddRun(ctx, r)
	return kept.ID, err
}

// SetTrueFPS keeps a person's word on how fast a clip was filmed; 0 = as it plays.
func (a *App) SetTrueFPS(ctx context.Context, clipID string, fps float64) error {
	return a.store.SetTrueFPS(ctx, clipID, fps, true)
}
