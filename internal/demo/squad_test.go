package demo

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/series"
	"underkick/internal/swim"
	"underkick/internal/table"
)

func load(t *testing.T) *Squad {
	t.Helper()
	s, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func truthOf(t *testing.T, c Clip) Truth {
	t.Helper()
	truth, err := c.Truth()
	if err != nil {
		t.Fatal(err)
	}
	return truth
}

// The squad is what the demo promises.
func TestSquad(t *testing.T) {
	s := load(t)
	names, visits := map[string]bool{}, map[int]map[int]bool{}
	var women, men, juniors, seniors int
	for _, w := range s.Swimmers {
		if names[w.Name] {
			t.Errorf("two swimmers are called %s", w.Name)
		}
		names[w.Name] = true
		w.SquadID = "0123456789abcdef0123456789abcdef"
		if err := w.Validate(); err != nil {
			t.Errorf("%s: %v", w.Name, err)
		}
		switch w.Sex {
		case record.Female:
			women++
		case record.Male:
			men++
		}
		if w.BirthYear >= 2009 {
			juniors++
		} else {
			seniors++
		}
	}
	if len(s.Swimmers) < 5 || women == 0 || men == 0 || juniors == 0 || seniors == 0 {
		t.Errorf("%d swimmers, %d women, %d men, %d juniors, %d seniors", len(s.Swimmers), women, men, juniors, seniors)
	}
	var supine, left, drifts, slow, earlier bool
	for _, c := range s.Clips {
		truth := truthOf(t, c)
		supine, left, drifts = supine || truth.Supine, left || truth.Left, drifts || truth.Drifts
		slow = slow || c.TrueFPS > 0
		if visits[c.Swimmer] == nil {
			visits[c.Swimmer] = map[int]bool{}
		}
		visits[c.Swimmer][c.Visit] = true
		earlier = earlier || len(visits[c.Swimmer]) > 1
		if n := len(truth.Kicks); n < 4 || n > 6 {
			t.Errorf("%s shows %d whole kicks", c.Name, n)
		}
	}
	if !supine || !left || !drifts || !slow || !earlier {
		t.Errorf("supine %v, right to left %v, drifting camera %v, slow motion %v, earlier visit %v: all are promised", supine, left, drifts, slow, earlier)
	}
}

// All embedded files together stay below what the repository allows.
func TestEmbeddedSize(t *testing.T) {
	total := int64(0)
	err := fs.WalkDir(files, ".", func(_ string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		total += info.Size()
		return err
	})
	if err != nil || total > 12<<20 {
		t.Errorf("%.1f MB, %v; the limit is 12 MB", float64(total)/(1<<20), err)
	}
}

// In the plane stated with each clip, the bodies have the lengths of their swimmers in
// every frame.
func TestTruthHasConstantSegments(t *testing.T) {
	s := load(t)
	for _, c := range s.Clips {
		truth := truthOf(t, c)
		view, err := truth.View()
		if err != nil {
			t.Fatal(err)
		}
		want := s.Swimmers[c.Swimmer].Subject().Lengths()
		for i, at := range truth.Times {
			for g := range body.Segment(body.NumSegments) {
				a, b := g.Ends()
				p, q := truth.Landmarks[a.String()][i], truth.Landmarks[b.String()][i]
				x0, y0 := view.ToPool(at, p[0], p[1])
				x1, y1 := view.ToPool(at, q[0], q[1])
				if d := math.Hypot(x1-x0, y1-y0) - want[g]; math.Abs(d) > 2e-4 {
					t.Fatalf("%s frame %d: %v is %.5f m too long", c.Name, i, g, d)
				}
			}
		}
	}
}

// A clip's true speed is the speed at which the model swims the kick stated with it.
func TestTruthSpeedIsTheModels(t *testing.T) {
	s := load(t)
	for _, c := range s.Clips {
		truth := truthOf(t, c)
		k := swim.Kick{Tempo: truth.Model.Tempo}
		for j := range k.Joints {
			f := truth.Model.Joints[body.Joint(j).String()]
			k.Joints[j] = series.Fourier{Mean: f.MeanDeg * deg}
			for h := range f.CosDeg {
				k.Joints[j].Cos = append(k.Joints[j].Cos, f.CosDeg[h]*deg)
				k.Joints[j].Sin = append(k.Joints[j].Sin, f.SinDeg[h]*deg)
			}
		}
		o, err := swim.NewModel(s.Swimmers[c.Swimmer].Subject(), swim.ModelOptions{}).Swim(k, swim.Options{DragFactor: truth.Model.DragFactor})
		if err != nil {
			t.Fatal(err)
		}
		got, _ := truth.Measure("speed")
		if math.Abs(got.Value/o.Speed-1) > 0.01 {
			t.Errorf("%s: true speed %.4f m/s, the model swims %.4f", c.Name, got.Value, o.Speed)
		}
		if p := got.Value; p < 0.9 || p > 2.0 {
			t.Errorf("%s: %.2f m/s is no believable speed", c.Name, p)
		}
	}
}

// The difference between the two visits of one swimmer is real: far more than the
// kick-to-kick scatter of either.
func TestTheSecondVisitIsFaster(t *testing.T) {
	s := load(t)
	speed := map[int]TrueMeasure{}
	for _, c := range s.Clips {
		if c.Swimmer == joren {
			truth := truthOf(t, c)
			speed[c.Visit], _ = truth.Measure("speed")
		}
	}
	a, b := speed[august], speed[october]
	if gain := b.Value - a.Value; gain < 2*math.Hypot(a.SD, b.SD) || gain > 0.2*a.Value {
		t.Errorf("%.3f +- %.3f m/s, then %.3f +- %.3f", a.Value, a.SD, b.Value, b.SD)
	}
}

// The embedded files are those that the recipes make today.
func TestEmbeddedTruthIsCurrent(t *testing.T) {
	for i := range takes {
		fresh, err := takes[i].truth()
		if err != nil {
			t.Fatal(err)
		}
		kept := truthOf(t, Clip{Name: takes[i].name})
		if len(kept.Times) != len(fresh.Times) || kept.InView != fresh.InView || len(kept.Kicks) != len(fresh.Kicks) {
			t.Fatalf("%s: %d frames, in view %v, kept %d and %v; render the clips again", fresh.Clip, len(fresh.Times), fresh.InView, len(kept.Times), kept.InView)
		}
		for l, path := range fresh.Landmarks {
			for n, p := range path {
				if q := kept.Landmarks[l][n]; math.Hypot(p[0]-q[0], p[1]-q[1]) > 0.01 {
					t.Fatalf("%s: %s in frame %d has moved; render the clips again", fresh.Clip, l, n)
				}
			}
		}
	}
}

// The marks are a steady hand's: near the truth by the click error, none outside the
// picture, and tied to the very film file.
func TestMarks(t *testing.T) {
	for _, c := range load(t).Clips {
		truth := truthOf(t, c)
		text, err := c.Marks()
		if err != nil {
			t.Fatal(err)
		}
		tab, err := table.ReadMarks(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		film, err := c.Film()
		if err != nil {
			t.Fatal(err)
		}
		if sum := sha256.Sum256(film); tab.Clip.SHA256 != hex.EncodeToString(sum[:]) {
			t.Errorf("%s: the marks name another film file", c.Name)
		}
		if out := table.Outside(tab.Marks, truth.WidthPx, truth.HeightPx); len(out) > 0 {
			t.Errorf("%s: %d marks outside the picture", c.Name, len(out))
		}
		sum, worst := 0.0, 0.0
		for _, m := range tab.Marks {
			p := truth.Landmarks[m.Landmark.String()][m.Frame]
			d := math.Hypot(m.X-p[0], m.Y-p[1])
			sum += d * d / 2
			worst = max(worst, d)
		}
		rms := math.Sqrt(sum/float64(len(tab.Marks))) * 1280 / float64(truth.WidthPx)
		if rms < 1.4 || rms > 2.1 || worst > 12 {
			t.Errorf("%s: marks off by %.2f px per axis at 1280 px width, worst %.1f px", c.Name, rms, worst)
		}
	}
}

// Staggered marks see the kick at many phases, plain ones at even frames.
func TestMarkedFrames(t *testing.T) {
	truth := Truth{InView: [2]int{10, 130}, Model: TrueModel{Tempo: 2}}
	k := take{marking: marking{perKick: 4}}
	k.rate.Num, k.rate.Den = 60, 1
	phases := map[int]bool{}
	for _, f := range k.marked(&truth) {
		if f < 10 || f > 130 {
			t.Fatalf("frame %d is outside the run", f)
		}
		phases[(f-10)%30] = true
	}
	if len(phases) < 12 {
		t.Errorf("four kicks with four marks each see only %d phases", len(phases))
	}
}
