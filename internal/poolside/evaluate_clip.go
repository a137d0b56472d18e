package poolside

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"

	"gonum.org/v1/gonum/interp"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/demo"
	"underkick/internal/kick"
	"underkick/internal/record"
	"underkick/internal/series"
	"underkick/internal/table"
)

// knownClip is a clip of which the truth is known.
type knownClip struct {
	name          string
	widthPx, high float64
	times         []float64   // true presentation times of all frames, s
	px            body.Motion // true landmarks in all frames, px
	first, last   int         // the run
	plane         []camera.PlaneEntry
	subject       body.Subject
	supine        bool
	measures      map[string]float64 // stated in the truth file
	marks         *table.Table       // made by somebody; nil if none
	film          func(tmp string) (path string, err error)
}

// demoClips returns the embedded clips.
func demoClips() ([]*knownClip, error) {
	squad, err := demo.Load()
	if err != nil {
		return nil, fmt.Errorf("load the demo: %w", err)
	}
	var all []*knownClip
	for _, c := range squad.Clips {
		truth, err := c.Truth()
		if err != nil {
			return nil, err
		}
		marks, err := c.Marks()
		if err != nil {
			return nil, err
		}
		k, err := fromTruth(c.Name, &truth, marks)
		if err != nil {
			return nil, fmt.Errorf("demo clip %s: %w", c.Name, err)
		}
		k.film = filmInside(c.File(), c.Film)
		k.subject, k.supine = squad.Swimmers[c.Swimmer].Subject(), c.Run.Position == record.Supine
		all = append(all, k)
	}
	return all, nil
}

// folderClips reads every truth file of a folder.
func folderClips(dir string) ([]*knownClip, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, openError(dir, err)
	}
	var all []*knownClip
	for _, e := range entries {
		name, isJSON := strings.CutSuffix(e.Name(), ".json")
		if !isJSON || strings.HasSuffix(name, ".marks") || strings.HasSuffix(name, ".plane") {
			continue
		}
		k, err := readKnown(dir, e.Name())
		if err != nil {
			return nil, inputf("read the truth %s: %w", e.Name(), err)
		}
		k.film = filmBeside(dir, k.name)
		all = append(all, k)
	}
	if len(all) == 0 {
		return nil, inputf("%s holds no truth file (NAME.truth.json, see docs/formats.md)", dir)
	}
	return all, nil
}

// readKnown reads a truth file, ours or a bare one, with the marks beside it.
func readKnown(dir, file string) (*knownClip, error) {
	text, err := readTruth(filepath.Join(dir, file))
	if err != nil {
		return nil, err
	}
	name := strings.TrimSuffix(strings.TrimSuffix(file, ".json"), ".truth")
	marks, err := os.ReadFile(filepath.Join(dir, name+".marks.json"))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("read the marks of %s: %w", name, err)
	}
	var bare bareTruth
	if err := json.Unmarshal(text, &bare); err != nil {
		return nil, err
	}
	if bare.Landmarks != nil {
		return fromBare(name, bare, marks)
	}
	var truth demo.Truth
	if err := json.Unmarshal(text, &truth); err != nil {
		return nil, err
	}
	return fromTruth(name, &truth, marks)
}

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

func (k *knownClip) takeLandmarks(all map[string][][2]float64) error {
	k.px.T = k.times
	for name, places := range all {
		l, err := body.ParseLandmark(name)
		if err != nil {
			return err
		}
		if len(places) != len(k.times) {
			return fmt.Errorf("%s has %d places for %d frames", name, len(places), len(k.times))
		}
		p := &body.Path{X: make([]float64, len(places)), Y: make([]float64, len(places))}
		for i, q := range places {
			p.X[i], p.Y[i] = q[0], q[1]
		}
		k.px.Paths[l] = p
	}
	return nil
}

func (k *knownClip) takeMarks(text []byte, film []float64) error {
	if text == nil {
		return nil
	}
	t, err := table.Read(bytes.NewReader(text), table.Options{})
	if err != nil {
		return fmt.Errorf("its marks: %w", err)
	}
	k.marks, err = t.OnFilm(film)
	return err
}

// view returns the clip's plane as a coach gives it: each of its points clicked
// with an error of noisePx per axis, the same in every frame. nil for a clip
// without a plane, whose scale is the swimmer's height.
func (k *knownClip) view(noisePx float64, rng *rand.Rand) (*camera.View, error) {
	if k.plane == nil {
		return nil, nil //nolint:nilnil // documented: no plane is no error
	}
	off := make([][2]float64, len(k.plane[0].PointsPx))
	for i := range off {
		off[i] = [2]float64{noisePx * rng.NormFloat64(), noisePx * rng.NormFloat64()}
	}
	clicked := make([]camera.PlaneEntry, len(k.plane))
	for i, e := range k.plane {
		clicked[i] = e
		clicked[i].PointsPx = make([][2]float64, len(e.PointsPx))
		for j, p := range e.PointsPx {
			clicked[i].PointsPx[j] = [2]float64{p[0] + off[j%len(off)][0], p[1] + off[j%len(off)][1]}
		}
	}
	v, err := camera.FromPlane(clicked, func(frame int) (float64, error) {
		if frame < 0 || frame >= len(k.times) {
			return 0, fmt.Errorf("the plane names frame %d, which the clip does not have", frame)
		}
		return k.times[frame], nil
	})
	return &v, err
}

// input is the clip as the measuring chain takes it, marks left out.
func (k *knownClip) input(view *camera.View) chainInput {
	in := chainInput{View: view, Subject: k.subject, Supine: k.supine, Times: k.times[k.first : k.last+1]}
	if in.Subject.Height == 0 && view == nil {
		in.Subject.Height = assumedHeight
	}
	for f := k.first; f <= k.last; f++ {
		in.Frames = append(in.Frames, f)
	}
	in.Clip.FrameRate = float64(len(in.Times)-1) / (in.Times[len(in.Times)-1] - in.Times[0])
	return in
}

// assumedHeight gives clips without any scale metres; only ratios, angles and
// tempo of theirs are worth reading.
const assumedHeight = 1.80

// within cuts a motion to the run.
func (k *knownClip) within(m body.Motion) body.Motion {
	out := body.Motion{T: m.T[k.first : k.last+1]}
	for l, p := range m.Paths {
		if p != nil {
			out.Paths[l] = &body.Path{X: p.X[k.first : k.last+1], Y: p.Y[k.first : k.last+1]}
		}
	}
	return out
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
