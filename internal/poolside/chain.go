package poolside

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/kick"
	"underkick/internal/marker"
	"underkick/internal/record"
	"underkick/internal/table"
	"underkick/internal/trace"
)

// ErrInput is wrapped by errors about something a person gave: a file, marks, a
// scale. The text says what to do.
var ErrInput = errors.New("input cannot be used")

// inputError keeps the text of err and answers to ErrInput.
type inputError struct{ err error }

func (e inputError) Error() string   { return e.err.Error() }
func (e inputError) Unwrap() []error { return []error{e.err, ErrInput} }

func inputf(format string, args ...any) error {
	return inputError{fmt.Errorf(format, args...)}
}

// chainInput is everything a measurement stands on.
type chainInput struct {
	Frames  []int        // numbers of the run's pictures
	Times   []float64    // their presentation times in true seconds
	Marks   []body.Mark  // px, on those frames
	View    *camera.View // nil: the scale comes from the swimmer's height
	Subject body.Subject
	Supine  bool
	Clip    kick.Clip    // what is known of the filming
	Marker  markerError  // of whoever marked; zero = what is assumed of anybody
	Guess   *trace.Guess // made by planeGuess at Times and in View; nil = none
	Shutter float64      // time for which the shutter is open, s; 0 = not known

	guessed  string         // names the guess; "" without one
	history  record.History // of a kept run's marks, those outside its frames included
	steadied keptSteady     // of a kept run whose camera moved; zero = it is taken to stand still
}

// Measured is what came out of a run.
type Measured struct {
	Result *kick.Result
	View   camera.View
	Fit    *trace.Traces // nil where every frame was marked and the marks were filtered instead

	motion body.Motion                      // plane metres
	draw   func(rng *rand.Rand) body.Motion // motion with one draw of a fit's errors; nil without Fit
	frames []int
	marked []uint16 // by picture, one bit per landmark that a person placed on it

	marker   markerError
	offsetM  float64   // standard error of a landmark's constant marking offset, m; 0 = kick's default
	clip     kick.Clip // yaw and pitch NaN where not known
	shutter  float64   // s, 0 = not known
	blurFeet float64   // of the fastest toe, at most where the shutter is not known
}

// measure takes a run from landmarks to kicks.
func measure(ctx context.Context, in chainInput) (*Measured, error) {
	tr, err := traces(in)
	if err != nil {
		return nil, err
	}
	out := &Measured{View: tr.view, Fit: tr.fit, motion: tr.motion, draw: tr.draw, frames: in.Frames, marked: markedOf(in)}
	opt := kick.Options{Supine: in.Supine, Clip: in.Clip, Seed: 1, Noise: kick.Noise{Draw: tr.draw}}
	known := tr.view.Errors()
	opt.Noise.ScaleRel, opt.Noise.Roll = known.ScaleRel, known.Roll
	if out.marker = in.Marker; in.Marker.Offset > 0 {
		subject, _ := in.Subject.CompleteFrom(tr.motion) // what is assumed is among the measurement's warnings
		out.offsetM = in.Marker.Offset * subject.ArmsUpLength()
		opt.Noise.OffsetM, opt.Noise.PointM = out.offsetM, in.Marker.Spread*subject.ArmsUpLength()
	}
	opt.Clip.ScaleFromHeight = known.Source == camera.BodyHeight
	opt.Clip.PlaneCorrected = known.Source == camera.Rectangle
	opt.Clip = out.judgeFilming(opt.Clip, in.Shutter)
	out.Result, err = kick.MeasureRun(ctx, tr.motion, in.Subject, opt)
	if err != nil {
		return nil, fmt.Errorf("measure the kicks: %w", err)
	}
	if known.Note != "" {
		out.Result.Warnings = append(out.Result.Warnings, known.Note)
	}
	if tr.fit == nil {
		return out, out.checkAgainstFit(ctx, in, opt)
	}
	out.Result.Warnings = append(out.Result.Warnings, tr.fit.Warnings...)
	return out, nil
}

// traced is a run's landmarks in metres.
type traced struct {
	motion body.Motion
	view   camera.View
	fit    *trace.Traces                    // nil for the plain filter's path
	draw   func(rng *rand.Rand) body.Motion // nil for the plain filter's path
}

// traces fills the frames between marks and turns them into metres.
func traces(in chainInput) (traced, error) {
	tr, err := fillFrames(in)
	if err != nil || in.View != nil {
		return tr, err
	}
	return tr.scaledByHeight(in.Subject)
}

// viewOr returns the view, or pixels with y up where none is known.
func viewOr(v *camera.View) camera.View {
	if v != nil {
		return *v
	}
	return camera.FromScale(1)
}

// fillFrames fills the frames between marks in the pool plane where a scale is
// known, else in pixels with y up.
func fillFrames(in chainInput) (traced, error) {
	tr := traced{view: viewOr(in.View)}
	marks, err := toPlane(in.Marks, tr.view)
	if err != nil {
		return traced{}, err
	}
	if trace.Dense(in.Times, marks) {
		tr.motion = trace.Raw(in.Times, marks)
		return tr, nil
	}
	return tr, tr.fitMarks(in.Times, marks, trace.Options{Guess: in.Guess, MarkSD: in.markSD(marks)})
}

// markSD is the standard error of a click of the run's marker in the unit of the
// marks; 0 = what the fit takes for anybody.
func (in chainInput) markSD(marks []body.Mark) float64 {
	if in.Marker.Spread == 0 {
		return 0
	}
	return in.Marker.Spread * marker.BodyLength(marks)
}

func (tr *traced) fitMarks(times []float64, marks []body.Mark, opt trace.Options) error {
	fit, err := trace.Fit(times, marks, opt)
	if err != nil {
		return inputf("fill the frames between the marks: %w", err)
	}
	tr.fit, tr.motion, tr.draw = fit, fit.Motion(), fit.Draw
	return nil
}

// scaledByHeight turns traces in pixels into metres: the median length of the
// body as far as it is marked, against the same stretch of a body of that height.
func (tr traced) scaledByHeight(s body.Subject) (traced, error) {
	if s.Height == 0 {
		return traced{}, inputf("pixels cannot become metres: give a known length, a rectangle, or the swimmer's height")
	}
	usual := s.Lengths()
	var px, m float64
	var segments int
	for g, length := range body.MeasuredLengths(tr.motion) {
		if length > 0 {
			px, m, segments = px+length, m+usual[g], segments+1
		}
	}
	if segments < 3 {
		return traced{}, inputf("the swimmer's height gives no scale: too few of shoulder, hip, knee, ankle and toe are marked together. Mark them, or give a known length")
	}
	k := m / px
	tr.view = camera.FromBodyHeight(m, px)
	tr.motion = tr.motion.Scale(k)
	if inPx := tr.draw; inPx != nil {
		tr.draw = func(rng *rand.Rand) body.Motion { return inPx(rng).Scale(k) }
	}
	return tr, nil
}

// toPlane returns the marks in plane coordinates.
func toPlane(marks []body.Mark, view camera.View) ([]body.Mark, error) {
	out := slices.Clone(marks)
	for i := range out {
		m := &out[i]
		scale := view.MetresPerPx(m.Time, m.X, m.Y)
		m.X, m.Y = view.ToPool(m.Time, m.X, m.Y)
		m.SD *= scale
		if math.IsNaN(m.X) || math.IsNaN(m.Y) {
			return nil, inputf("the mark of %v on frame %d lies beyond the plane's horizon; check the rectangle's corners", m.Landmark, m.Frame)
		}
	}
	return out, nil
}

// Traces returns every landmark at every frame, px, with its standard error.
func (m *Measured) Traces() []body.Mark {
	return table.FromMotion(m.pictureMotion(), m.frames)
}

// pictureMotion returns the traces in px.
func (m *Measured) pictureMotion() body.Motion {
	px := body.Motion{T: m.motion.T}
	for l, p := range m.motion.Paths {
		if p != nil {
			px.Paths[l] = onPicture(*p, m.motion.T, m.View)
		}
	}
	return px
}

// onPicture returns a plane path in picture px.
func onPicture(p body.Path, times []float64, view camera.View) *body.Path {
	n := len(times)
	out := &body.Path{X: make([]float64, n), Y: make([]float64, n), SD: make([]float64, n)}
	for i, t := range times {
		out.X[i], out.Y[i] = view.ToPicture(t, p.X[i], p.Y[i])
		if p.SD != nil {
			out.SD[i] = p.SD[i] / view.MetresPerPx(t, out.X[i], out.Y[i])
		}
	}
	return out
}

// checkAgainstFit measures a fully marked run a second way, from the fit, and
// warns where the two disagree beyond the band: then the filter or the marks
// decide the number, not the swimmer.
func (m *Measured) checkAgainstFit(ctx context.Context, in chainInput, opt kick.Options) error {
	if m.Result.Counted < 3 {
		return nil
	}
	marks, err := toPlane(in.Marks, m.View)
	if err != nil {
		return err
	}
	var second traced
	if second.fitMarks(in.Times, marks, trace.Options{MarkSD: in.markSD(marks)}) != nil {
		return nil //nolint:nilerr // no second way, nothing to compare; the first stands
	}
	opt.Draws, opt.Noise.Draw = -1, nil
	other, err := kick.MeasureRun(ctx, second.motion, in.Subject, opt)
	if err != nil {
		return fmt.Errorf("measure the kicks a second way: %w", err)
	}
	for _, a := range m.Result.Summary {
		b, ok := other.Measure(a.ID)
		if ok && a.Known() && b.Known() && (b.Value < a.Low || b.Value > a.High) {
			m.Result.Warnings = append(m.Result.Warnings, fmt.Sprintf(
				"%s is %.3g %s from the filtered marks and %.3g from the fitted traces, outside its band; read it with care", a.ID, a.Value, a.Unit, b.Value))
		}
	}
	return nil
}
