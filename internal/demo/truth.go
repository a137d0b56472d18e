package demo

import (
	"encoding/json"
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/swim"
)

// Truth is what is known of a clip because it was rendered.
type Truth struct {
	Clip     string `json:"clip"`
	Swimmer  string `json:"swimmer"`
	Origin   string `json:"origin"` // where the motion comes from
	Seed     uint64 `json:"seed"`
	WidthPx  int    `json:"width_px"`
	HeightPx int    `json:"height_px"`

	FPS     float64   `json:"fps"`      // of the file
	TrueFPS float64   `json:"true_fps"` // at which it was taken
	Times   []float64 `json:"times_s"`  // of the frames in the file, s

	Supine      bool    `json:"supine"`
	Left        bool    `json:"right_to_left"`
	ClimbDeg    float64 `json:"travel_line_deg"` // of the travel line, upwards, in the direction of swimming
	Drifts      bool    `json:"camera_drifts"`
	ExposureS   float64 `json:"exposure_s"`
	MetresPerPx float64 `json:"metres_per_px"` // in the middle of the picture, at the clip's start

	// Plane is the swimmer's plane as in a plane file: one object, or a list with a frame
	// each for a camera that drifts.
	Plane json.RawMessage `json:"plane"`
	// Landmarks holds for each landmark its place in every frame, px, at the middle of
	// the exposure, in or outside the picture.
	Landmarks map[string][][2]float64 `json:"landmarks_px"`
	// InView are the first and the last frame with all needed landmarks in the picture.
	InView [2]int `json:"in_view"`

	Measures []TrueMeasure `json:"measures"`
	Kicks    []TrueKick    `json:"kicks"`
	Model    TrueModel     `json:"model"`
}

// TrueMeasure is a measure of the exact motion over the whole kicks in view.
type TrueMeasure struct {
	ID    string  `json:"id"`
	Unit  string  `json:"unit"`
	Value float64 `json:"value"`
	SD    float64 `json:"sd"` // from kick to kick; 0 where the measure is of the run
}

// TrueKick is one whole kick in view, times as in the true film.
type TrueKick struct {
	Start  float64            `json:"start_s"`
	Bottom float64            `json:"bottom_s"`
	End    float64            `json:"end_s"`
	Values map[string]float64 `json:"values"`
}

// TrueModel says what the model was given and what it found for the mean kick.
type TrueModel struct {
	Speed      float64                `json:"speed_m_s"`
	Tempo      float64                `json:"kick_frequency_hz"`
	DragFactor float64                `json:"drag_factor"`
	HeightM    float64                `json:"height_m"`
	MassKg     float64                `json:"mass_kg"`
	Joints     map[string]JointSeries `json:"joints"`
}

// JointSeries is a joint's curve over the phase of a kick: mean and the cosine and sine
// terms of its harmonics, degrees.
type JointSeries struct {
	MeanDeg float64   `json:"mean_deg"`
	CosDeg  []float64 `json:"cos_deg"`
	SinDeg  []float64 `json:"sin_deg"`
}

// Measure returns a true measure by its id.
func (t Truth) Measure(id string) (TrueMeasure, bool) {
	for _, m := range t.Measures {
		if m.ID == id {
			return m, true
		}
	}
	return TrueMeasure{}, false
}

// View returns the true view of the clip's swimmer's plane.
func (t Truth) View() (camera.View, error) {
	entries, err := camera.ParsePlane(t.Plane)
	if err != nil {
		return camera.View{}, fmt.Errorf("true plane of %s: %w", t.Clip, err)
	}
	if len(entries) == 1 {
		return entries[0].View()
	}
	keys := make([]camera.KeyView, len(entries))
	for i, e := range entries {
		v, err := e.View()
		if err != nil {
			return camera.View{}, fmt.Errorf("true plane of %s: %w", t.Clip, err)
		}
		keys[i] = camera.KeyView{Time: t.Times[*e.Frame], View: v}
	}
	return camera.Moving(keys)
}

// trueTime is the time at which frame n was really taken.
func (k *take) trueTime(n int) float64 { return float64(n) / k.fps() }

// landmarkPx returns where a landmark is seen at a true time.
func (k *take) landmarkPx(p body.Point, t float64) [2]float64 {
	x, y := k.toPool(p.X, p.Y)
	px, py := k.camera(t).ToPicture(k.w, k.h, x, y)
	return [2]float64{px, py}
}

// truth computes a clip's truth.
func (k *take) truth() (Truth, error) {
	m, err := k.motion()
	if err != nil {
		return Truth{}, err
	}
	n := k.frames(m)
	t := Truth{
		Clip: k.name + ".mp4", Swimmer: swimmers()[k.swimmer].Name, Seed: k.seed, WidthPx: k.w, HeightPx: k.h,
		Origin: "Joint-angle curves invented and plausible, not measured; hip, pitch and speed from the model of package swim.",
		FPS:    k.rate.Float(), TrueFPS: k.fps(), Supine: k.supine, Left: k.left, Drifts: k.drift, ClimbDeg: k.climb / deg,
		ExposureS: k.exposure, MetresPerPx: k.wide / float64(k.w), Landmarks: map[string][][2]float64{}, InView: [2]int{-1, -1},
		Model: k.model(m),
	}
	for i := range n {
		t.Times = append(t.Times, round(float64(i)/k.rate.Float(), 1e6))
		at := k.trueTime(i)
		all := true
		for l, p := range m.landmarks(at) {
			q := k.landmarkPx(p, at)
			id := body.Landmark(l).String()
			t.Landmarks[id] = append(t.Landmarks[id], [2]float64{round(q[0], 1e3), round(q[1], 1e3)})
			all = all && (!needed[l] || k.inPicture(q))
		}
		if all {
			if t.InView[0] < 0 {
				t.InView[0] = i
			}
			t.InView[1] = i
		}
	}
	if t.Plane, err = k.plane(n); err != nil {
		return Truth{}, err
	}
	if t.InView[0] < 0 {
		return Truth{}, fmt.Errorf("clip %s never shows the whole swimmer", k.name)
	}
	t.Kicks = m.kicks(k.trueTime(t.InView[0]), k.trueTime(t.InView[1]))
	if len(t.Kicks) == 0 {
		return Truth{}, fmt.Errorf("clip %s shows no whole kick", k.name)
	}
	t.Measures = m.measures(t.Kicks)
	return t, nil
}

// needed are the landmarks without which there are no measures.
var needed = [body.NumLandmarks]bool{body.Fingertip: true, body.Shoulder: true, body.Hip: true, body.Knee: true, body.Ankle: true, body.Toe: true}

// inPicture leaves a few pixels at the edge where a hand sees nothing.
func (k *take) inPicture(q [2]float64) bool {
	const edge = 4
	return q[0] >= edge && q[1] >= edge && q[0] <= float64(k.w)-edge && q[1] <= float64(k.h)-edge
}

// round keeps so many steps per unit, so that numbers are short as text.
func round(x, perUnit float64) float64 { return math.Round(x*perUnit) / perUnit }

// plane writes the swimmer's plane as in a plane file, from the points of the rod.
func (k *take) plane(frames int) (json.RawMessage, error) {
	r := k.rod()
	m := [][2]float64{{r.X, r.Y}, {r.X + r.Length, r.Y}}
	if k.uprights {
		m = append(m, [2]float64{r.X + r.Length, r.Y + r.Height}, [2]float64{r.X, r.Y + r.Height})
	}
	entry := func(i int) camera.PlaneEntry {
		e := camera.PlaneEntry{PointsM: m}
		for _, p := range m {
			x, y := k.camera(k.trueTime(i)).ToPicture(k.w, k.h, p[0], p[1])
			e.PointsPx = append(e.PointsPx, [2]float64{round(x, 1e4), round(y, 1e4)})
		}
		if k.drift {
			e.Frame = &i
		}
		return e
	}
	var text []byte
	var err error
	if k.drift {
		var list []camera.PlaneEntry
		for i := range frames {
			list = append(list, entry(i))
		}
		text, err = json.Marshal(list)
	} else {
		text, err = json.Marshal(entry(0))
	}
	if err != nil {
		return nil, fmt.Errorf("write the plane of %s: %w", k.name, err)
	}
	return text, nil
}

func (k *take) model(m *motion) TrueModel {
	o := m.orbits[1]
	out := TrueModel{Speed: o.Speed, Tempo: o.Kick.Tempo, DragFactor: o.DragFactor, HeightM: m.subject.Height, MassKg: m.subject.Mass, Joints: map[string]JointSeries{}}
	for j := range o.Kick.Joints {
		out.Joints[body.Joint(j).String()] = seriesOf(o.Kick, j)
	}
	return out
}

func seriesOf(k swim.Kick, j int) JointSeries {
	f := k.Joints[j]
	s := JointSeries{MeanDeg: f.Mean / deg}
	for h := range f.Cos {
		s.CosDeg = append(s.CosDeg, f.Cos[h]/deg)
		s.SinDeg = append(s.SinDeg, f.Sin[h]/deg)
	}
	return s
}
