package poolside

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/body"
	"underkick/internal/demo"
	"underkick/internal/kick"
	"underkick/internal/record"
	"underkick/internal/table"
)

// barsFullMarking are what a fully marked clip must hold against the truth of its
// motion: relative for speed, tempo and sweep, degrees for angles (issue of the
// main job: speed 1 %, frequency 0.5 %, amplitude 2 %, knee 2, ankle 3 degrees).
var barsFullMarking = []struct {
	id       string
	bar      float64
	absolute bool
}{
	{"speed", 0.01, false},
	{"kick_frequency", 0.005, false},
	{"toe_amplitude", 0.02, false},
	{"knee_flexion_max", 2, true},
	{"ankle_min", 3, true},
	{"ankle_max", 3, true},
}

// clickNoisePx is a careful hand's scatter per axis on every marked frame.
const clickNoisePx = 1.0

func TestFullyMarkedDemoClipsAgreeWithTheirTruth(t *testing.T) {
	skipShort(t)
	for _, c := range loadDemo(t).Clips {
		t.Run(c.Name, func(t *testing.T) {
			truth, err := c.Truth()
			if err != nil {
				t.Fatal(err)
			}
			measured := measureDemo(t, c, fullMarks(t, truth))
			for _, b := range barsFullMarking {
				got, want := value(t, measured.Result, b.id), trueValue(t, truth, b.id)
				off := got - want
				if !b.absolute {
					off /= want
				}
				t.Logf("%-18s %8.4f true %8.4f off %+.4f", b.id, got, want, off)
				if !(math.Abs(off) <= b.bar) {
					t.Errorf("%s is %.4f, true %.4f: off by %+.4f, bar %.4f", b.id, got, want, off, b.bar)
				}
			}
		})
	}
}

// The bands are 95 % bands, so over all clips and measures nearly all must hold
// the truth; the shipped marks are sparser and rougher than full marking.
func TestBandsOfTheShippedMarksHoldTheTruth(t *testing.T) {
	skipShort(t)
	held, all := 0, 0
	for _, c := range loadDemo(t).Clips {
		truth, err := c.Truth()
		if err != nil {
			t.Fatal(err)
		}
		text, err := c.Marks()
		if err != nil {
			t.Fatal(err)
		}
		measured := measureDemo(t, c, text)
		for _, m := range truth.Measures {
			got, ok := measured.Result.Measure(m.ID)
			if !ok {
				t.Errorf("%s: no measure %s", c.Name, m.ID)
				continue
			}
			all++
			if m.Value >= got.Low && m.Value <= got.High {
				held++
			} else {
				t.Logf("%s: %s true %.4f, measured %.4f, band %.4f to %.4f", c.Name, m.ID, m.Value, got.Value, got.Low, got.High)
			}
		}
	}
	t.Logf("%d of %d bands hold the truth", held, all)
	if share := float64(held) / float64(all); !(share >= 0.9) {
		t.Errorf("only %.0f %% of the 95 %% bands hold the truth", 100*share)
	}
}

// measureDemo measures a clip as the command line does: film, marks file, plane.
func measureDemo(t *testing.T, c demo.Clip, marks []byte) *Measured {
	t.Helper()
	truth, err := c.Truth()
	if err != nil {
		t.Fatal(err)
	}
	swimmer := loadDemo(t).Swimmers[c.Swimmer]
	req := FileRequest{
		Clip: clipFile(t, c), Film: openEngine(t), Marks: writeFile(t, "marks.json", marks),
		Plane: writeFile(t, "plane.json", truth.Plane), TrueFPS: c.TrueFPS,
		Subject: swimmer.Subject(), Supine: c.Run.Position == record.Supine,
	}
	measured, err := MeasureFiles(t.Context(), req)
	if err != nil {
		t.Fatal(err)
	}
	return measured
}

// fullMarks marks every needed landmark on every frame in view, with click noise.
func fullMarks(t *testing.T, truth demo.Truth) []byte {
	t.Helper()
	rng := rand.New(rand.NewPCG(truth.Seed, 1))
	var out table.Table
	out.HasFrame = true
	for f := truth.InView[0]; f <= truth.InView[1]; f++ {
		for l := body.Landmark(0); l < body.NumLandmarks; l++ {
			path, ok := truth.Landmarks[l.String()]
			if !ok {
				continue
			}
			x, y := path[f][0]+clickNoisePx*rng.NormFloat64(), path[f][1]+clickNoisePx*rng.NormFloat64()
			if x >= 0 && y >= 0 && x <= float64(truth.WidthPx) && y <= float64(truth.HeightPx) {
				out.Marks = append(out.Marks, body.Mark{Frame: f, Landmark: l, X: x, Y: y})
			}
		}
	}
	var text bytes.Buffer
	if err := table.WriteMarks(&text, &out); err != nil {
		t.Fatal(err)
	}
	return text.Bytes()
}

func value(t *testing.T, r *kick.Result, id string) float64 {
	t.Helper()
	m, ok := r.Measure(id)
	if !ok || !m.Known() {
		t.Fatalf("no value of %s: %+v", id, m)
	}
	return m.Value
}

func trueValue(t *testing.T, truth demo.Truth, id string) float64 {
	t.Helper()
	for _, m := range truth.Measures {
		if m.ID == id {
			return m.Value
		}
	}
	t.Fatalf("the truth of %s has no %s", truth.Clip, id)
	return 0
}
