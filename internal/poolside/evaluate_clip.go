package poolside

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/demo"
	"underkick/internal/record"
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
