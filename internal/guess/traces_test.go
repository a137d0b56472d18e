package guess

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/body"
)

// swim is a guess of the pond's swimmer whose network sees every place off by
// a steady part of the body's length, and shakily.
func swim(t *testing.T, off xy) (*Guess, *pond, []float64) {
	t.Helper()
	p := &pond{crops: map[int]crop{}}
	rng := rand.New(rand.NewPCG(1, 2))
	g := &Guess{From: 0, To: 121, width: 1280, height: 720}
	e := p.ends(60)
	g.start = Start{Frame: 60, FingertipX: e.fingertip.x, FingertipY: e.fingertip.y, ToeX: e.toe.x, ToeY: e.toe.y}
	for n := 0; n <= 120; n += 2 {
		s, err := p.see(t.Context(), n, crop{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range s.Points {
			dx, dy := 500*off.x+1.5*rng.NormFloat64(), 500*off.y+1.5*rng.NormFloat64()
			for k := range s.Points[i] {
				s.Points[i][k].X += dx
				s.Points[i][k].Y += dy
			}
		}
		g.sights = append(g.sights, s)
	}
	times := make([]float64, 121)
	for i := range times {
		times[i] = float64(i) / 100
	}
	return g, p, times
}

// truth is where the pond's swimmer has a place that the network sees at the
// part u of the line from toe to fingertip.
func (p *pond) truth(frame int, u float64) xy {
	e := p.ends(frame)
	return xy{e.toe.x + u*(e.fingertip.x-e.toe.x), e.toe.y + u*(e.fingertip.y-e.toe.y)}
}

// TestOneMarkedFrameTakesSteadyDifferencesAway is the promise to the coach.
func TestOneMarkedFrameTakesSteadyDifferencesAway(t *testing.T) {
	g, p, times := swim(t, xy{0.02, -0.015})
	at := map[body.Landmark]float64{body.Hip: 0.42, body.Knee: 0.25, body.Ankle: 0.09, body.Shoulder: 0.66}
	var marks []body.Mark
	for l, u := range at {
		m := p.truth(33, u)
		marks = append(marks, body.Mark{Frame: 33, Landmark: l, X: m.x, Y: m.y})
	}
	rms := func(m body.Motion, l body.Landmark) float64 {
		sum := 0.0
		for i := range times {
			w := p.truth(i, at[l])
			sum += math.Pow(m.Paths[l].X[i]-w.x, 2) + math.Pow(m.Paths[l].Y[i]-w.y, 2)
		}
		return math.Sqrt(sum / float64(len(times)))
	}
	without, err := g.Motion(times, nil)
	if err != nil {
		t.Fatal(err)
	}
	with, err := g.Motion(times, marks)
	if err != nil {
		t.Fatal(err)
	}
	for l := range at {
		a, b := rms(without, l), rms(with, l)
		if a < 10 || b > 0.5*a {
			t.Errorf("%v: %.1f px without a mark, %.1f with one", l, a, b)
		}
		if with.Paths[l].SD[33] > 0.6*without.Paths[l].SD[33] {
			t.Errorf("%v: standard error %.1f without, %.1f at the mark", l, without.Paths[l].SD[33], with.Paths[l].SD[33])
		}
	}
	// The two points of the start are marks too.
	e := p.ends(60)
	if d := math.Hypot(with.Paths[body.Toe].X[60]-e.toe.x, with.Paths[body.Toe].Y[60]-e.toe.y); d > 6 {
		t.Errorf("the toe is %.1f px from where it was pointed at", d)
	}
	if with.Paths[body.Rib] != nil {
		t.Error("the rib cannot be guessed")
	}
}

// TestNothingIsGuessedOutsideThePicture: the feet are outside at first, and in
// a picture cut narrower they are never seen.
func TestNothingIsGuessedOutsideThePicture(t *testing.T) {
	g, p, times := swim(t, xy{})
	for i := range g.sights {
		for k := range g.sights[i].Points {
			for j := range g.sights[i].Points[k] {
				g.sights[i].Points[k][j].X -= 500
			}
		}
	}
	g.start.FingertipX, g.start.ToeX = g.start.FingertipX-500, g.start.ToeX-500
	m, err := g.Motion(times, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := range times {
		x := p.ends(i).toe.x - 500
		if got := m.Paths[body.Toe].X[i]; x < -25 && !math.IsNaN(got) || x > 25 && !(math.Abs(got-x) < 25) {
			t.Errorf("frame %d: toe at %.1f, is at %.1f", i, got, x)
		}
		if got := m.Paths[body.Shoulder].X[i]; !(got > 0) {
			t.Errorf("frame %d: shoulder at %.1f", i, got)
		}
	}
	for i := range g.sights {
		for k := range g.sights[i].Points[toe] {
			g.sights[i].Points[toe][k].X -= 1000
		}
	}
	if m, err = g.Motion(times, nil); err != nil || m.Paths[body.Toe] != nil || m.Paths[body.Ankle] == nil {
		t.Errorf("toe %v, ankle %v, %v", m.Paths[body.Toe], m.Paths[body.Ankle], err)
	}
}

func TestTooFewSights(t *testing.T) {
	g, _, _ := swim(t, xy{})
	g.sights, g.To = g.sights[:4], 7
	if _, err := g.Motion(make([]float64, 7), nil); !errors.Is(err, ErrTooShort) {
		t.Error(err)
	}
}
