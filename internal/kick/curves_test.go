package kick

import (
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick/kicktest"
)

// The phase runs through 0 at a top, 0.5 at the bottom, 1 at the next top, and
// never backwards.
func TestPhase(t *testing.T) {
	s := kicktest.Reference()
	r := measured(t, s.Fitted(kicktest.Times(0.1, 3, 120)), s.Subject, Options{})
	sig := r.Signals
	last := math.Inf(-1)
	for i, p := range sig.Phase {
		inKick := false
		for _, k := range r.Kicks {
			inKick = inKick || (k.Number > 0 && sig.T[i] >= k.Start && sig.T[i] <= k.End)
		}
		if math.IsNaN(p) == inKick {
			t.Errorf("t %g: phase %g", sig.T[i], p)
		}
		if !math.IsNaN(p) {
			if p < last {
				t.Errorf("t %g: phase falls from %g to %g", sig.T[i], last, p)
			}
			last = p
		}
	}
	for _, k := range r.Kicks {
		if k.Number == 0 {
			continue
		}
		within(t, "top", k.Phase(k.Start), 0, 1e-12)
		within(t, "bottom", k.Phase(k.Bottom), 0.5, 1e-12)
		within(t, "next", k.Phase(k.End), 1, 1e-12)
	}
}

func TestCurvesOnTheCommonPhaseGrid(t *testing.T) {
	s := kicktest.Reference()
	r := measured(t, s.Fitted(kicktest.Times(0.1, 3, 120)), s.Subject, Options{})
	if len(r.Signals.Curves) != r.Counted {
		t.Fatalf("%d curves of %d kicks", len(r.Signals.Curves), r.Counted)
	}
	for _, c := range r.Signals.Curves {
		k := r.Kicks[c.Kick] // one partial kick before the first
		if k.Number != c.Kick || !c.Counted {
			t.Fatalf("curve %d beside kick %d", c.Kick, k.Number)
		}
		for name, x := range map[string][]float64{"x": c.ToeX, "y": c.ToeY, "v": c.FootSpeed, "foot": c.FacingFoot, "shank": c.FacingShank, "knee": c.Knee, "ankle": c.Ankle} {
			if len(x) != CurveSamples {
				t.Fatalf("%s has %d samples", name, len(x))
			}
			for i, v := range x {
				if math.IsNaN(v) {
					t.Fatalf("%s is not known at %d", name, i)
				}
			}
		}
		// The ends of the curve are the sweep.
		within(t, "toe at the top", c.ToeY[0], k.Values["toe_above_hip"], 1e-4)
		within(t, "toe at the bottom", c.ToeY[50], -k.Values["toe_below_hip"], 1e-4)
		// The knee on the grid is the known curve, read at the grid's times.
		for _, i := range []int{0, 20, 50, 70, 100} {
			at := k.Start + 2*float64(i)/100*(k.Bottom-k.Start)
			if i > 50 {
				at = k.Bottom + (2*float64(i)/100-1)*(k.End-k.Bottom)
			}
			within(t, "knee", c.Knee[i], s.Joints[body.KneeJoint].At(s.Phase(at)), 2e-3)
		}
	}
}

func TestFacingAt(t *testing.T) {
	sig := Signals{T: []float64{0, 1, 2}, FacingFoot: []float64{0, 0.5, 1}}
	foot, shank := sig.FacingAt(1.5)
	if foot != 0.75 || !math.IsNaN(shank) {
		t.Errorf("%g %g", foot, shank)
	}
	for _, at := range []float64{-0.1, 2.1, math.NaN()} {
		if foot, _ := sig.FacingAt(at); !math.IsNaN(foot) {
			t.Errorf("at %g: %g", at, foot)
		}
	}
	if foot, _ := sig.FacingAt(2); foot != 1 {
		t.Errorf("at the end: %g", foot)
	}
}

// The travel line comes back in the axes that came in.
func TestLineInTheAxesThatCameIn(t *testing.T) {
	s := kicktest.Reference()
	s.Climb = 6 * degree
	m := s.Fitted(kicktest.Times(0, 3, 120))
	sin, cos := math.Sincos(6 * degree)
	for _, c := range []struct {
		name   string
		m      body.Motion
		supine bool
		want   [2]float64
		climb  float64
	}{
		{"to the right", m, false, [2]float64{cos, sin}, 6},
		{"to the left", m.Transform(-1, 0, 0, 1), false, [2]float64{-cos, sin}, 6},
		{"on the back", m.Transform(1, 0, 0, -1), true, [2]float64{cos, -sin}, -6},
		{"on the back to the left", m.Transform(-1, 0, 0, -1), true, [2]float64{-cos, -sin}, -6},
	} {
		r := measured(t, c.m, s.Subject, Options{Supine: c.supine})
		within(t, c.name+" x", r.Line.Along[0], c.want[0], 1e-3)
		within(t, c.name+" y", r.Line.Along[1], c.want[1], 1e-3)
		within(t, c.name+" climb", value(t, r, "climb"), c.climb, 0.05)
		within(t, c.name+" climb of the line", r.Line.Climb, c.climb*degree, 1e-3)
		// A point of the line: the path of the centre of mass runs through it.
		hip := c.m.Paths[body.Hip]
		off := -(hip.X[100]-r.Line.X)*r.Line.Along[1] + (hip.Y[100]-r.Line.Y)*r.Line.Along[0]
		if math.Abs(off) > 0.15 {
			t.Errorf("%s: the hip is %g m off the travel line", c.name, off)
		}
	}
}

// Points and their origin together are the swimmer's way through the travel frame.
func TestOriginCarriesThePoints(t *testing.T) {
	s := kicktest.Reference()
	s.Climb = 6 * degree
	m := s.Fitted(kicktest.Times(0.1, 3, 120))
	r := measured(t, m, s.Subject, Options{})
	sig := r.Signals
	last := len(sig.T) - 1
	from, to := sig.Points[body.Toe], sig.Origin
	way := to.X[last] + from.X[last] - to.X[0] - from.X[0]
	toe := m.Paths[body.Toe]
	along := r.Line.Along
	within(t, "toe's way", way, along[0]*(toe.X[last]-toe.X[0])+along[1]*(toe.Y[last]-toe.Y[0]), 1e-6)
	if hip := sig.Points[body.Hip]; hip.X[5] != 0 || hip.Y[5] != 0 {
		t.Error("the hip is the origin")
	}
}
