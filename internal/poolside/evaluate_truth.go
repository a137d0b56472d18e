package poolside

import (
	"errors"
	"fmt"
	"math"
	"os"

	"gonum.org/v1/gonum/interp"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/demo"
	"underkick/internal/kick"
	"underkick/internal/series"
)

// maxTruthBytes bounds a truth file: ten minutes at 240 pictures per second stay
// far below it.
const maxTruthBytes = 256 << 20

func readTruth(path string) ([]byte, error) {
	if info, err := os.Stat(path); err == nil && info.Size() > maxTruthBytes {
		return nil, fmt.Errorf("it is larger than %d MB", maxTruthBytes>>20)
	}
	return os.ReadFile(path)
}

// bareTruth is the plainest truth: places in every frame and the rate.
type bareTruth struct {
	Landmarks map[string][][2]float64 `json:"truth"`
	FPS       float64                 `json:"fps"`
}

func fromBare(name string, b bareTruth, marks []byte) (*knownClip, error) {
	if !(b.FPS > 0) {
		return nil, errors.New("it states no fps")
	}
	k := &knownClip{name: name, widthPx: math.Inf(1), high: math.Inf(1)}
	n := len(b.Landmarks[body.Toe.String()])
	for i := range n {
		k.times = append(k.times, float64(i)/b.FPS)
	}
	k.last = n - 1
	return k, errors.Join(k.takeLandmarks(b.Landmarks), k.takeMarks(marks, k.times))
}

func fromTruth(name string, t *demo.Truth, marks []byte) (*knownClip, error) {
	if len(t.Times) == 0 || !(t.FPS > 0) || !(t.TrueFPS > 0) {
		return nil, errors.New("it states no times or rates; a truth file is described in docs/formats.md")
	}
	k := &knownClip{
		name: name, widthPx: float64(t.WidthPx), high: float64(t.HeightPx), first: t.InView[0], last: t.InView[1],
		supine: t.Supine, subject: body.Subject{Height: t.Model.HeightM, Mass: t.Model.MassKg}, measures: map[string]float64{},
	}
	if k.first < 0 || k.last >= len(t.Times) || k.first >= k.last {
		return nil, errors.New("in_view does not lie within the frames")
	}
	for _, at := range t.Times {
		k.times = append(k.times, at*t.FPS/t.TrueFPS)
	}
	for _, m := range t.Measures {
		k.measures[m.ID] = m.Value
	}
	if err := k.takeLandmarks(t.Landmarks); err != nil {
		return nil, err
	}
	var err error
	if k.plane, err = camera.ParsePlane(t.Plane); err != nil {
		return nil, fmt.Errorf("its plane: %w", err)
	}
	return k, k.takeMarks(marks, t.Times)
}

// exact returns the true landmarks of the run in metres, with the velocities of
// the cubic spline through them.
func (k *knownClip) exact(view *camera.View) (body.Motion, error) {
	in := k.input(view)
	px := k.within(k.px)
	tr := traced{motion: px, view: camera.FromScale(1)}
	if view != nil {
		tr.view = *view
	}
	for l, p := range px.Paths {
		if p == nil {
			continue
		}
		q := &body.Path{X: make([]float64, len(p.X)), Y: make([]float64, len(p.X))}
		for i, t := range px.T {
			q.X[i], q.Y[i] = tr.view.ToPool(t, p.X[i], p.Y[i])
		}
		var err error
		if q.VX, err = slopes(px.T, q.X); err != nil {
			return body.Motion{}, err
		}
		if q.VY, err = slopes(px.T, q.Y); err != nil {
			return body.Motion{}, err
		}
		tr.motion.Paths[l] = q
	}
	if view == nil {
		scaled, err := tr.scaledByHeight(in.Subject)
		return scaled.motion, err
	}
	return tr.motion, nil
}

// slopes returns the derivative of the not-a-knot cubic spline through x, whose
// error at the third harmonic of a kick at 60 pictures per second is below 1 %.
func slopes(t, x []float64) ([]float64, error) {
	var spline interp.NotAKnotCubic
	if err := spline.Fit(t, x); err != nil {
		return nil, fmt.Errorf("the true path: %w", err)
	}
	v := make([]float64, len(t))
	for i := range t {
		v[i] = spline.PredictDerivative(t[i])
	}
	return v, nil
}

// period is how long a kick takes, s, as anybody sees it on the film.
func (k *knownClip) period() (float64, error) {
	toe, hip := k.px.Paths[body.Toe], k.px.Paths[body.Hip]
	if toe == nil || hip == nil {
		return 0, errors.New("the truth has no toe or no hip")
	}
	var y []float64
	for f := k.first; f <= k.last; f++ {
		y = append(y, toe.Y[f]-hip.Y[f])
	}
	rate := float64(k.last-k.first) / (k.times[k.last] - k.times[k.first])
	f, ok := series.DominantFrequency(y, rate, 0.7, 4)
	if !ok {
		return 0, errors.New("no kicks are seen in the truth")
	}
	return 1 / f, nil
}

// truths returns what every measure is for the exact motion: as the truth states
// it, else as our measures see the exact landmarks.
func (k *knownClip) truths(r *kick.Result) map[string]float64 {
	out := map[string]float64{}
	for _, m := range r.Summary {
		out[m.ID] = m.Value
	}
	for id, v := range k.measures {
		out[id] = v
	}
	return out
}
