package worth

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"underkick/internal/kick"
	"underkick/internal/swim"
)

func ownRun(tb testing.TB) Run {
	k := swim.Reference().Pointed(-5 * rad)
	return filmRun(freeSwim(tb, swim.NewModel(adult, swim.ModelOptions{}), k), camera{point: 0.004}, seeded(3))
}

// freeSwim swims a kick, to be filmed.
func freeSwim(tb testing.TB, m *swim.Model, k swim.Kick) *swim.Orbit {
	tb.Helper()
	o, err := m.Swim(k, swim.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	return o
}

// The answers to single changes are those of Estimate, and changes together add up to
// about their sum where they act on different things.
func TestAskerAnswersLikeEstimate(t *testing.T) {
	run := ownRun(t)
	a, err := NewAsker(run, adult, 1)
	if err != nil {
		t.Fatal(err)
	}
	changes := []Change{{"foot", 8}, {"tempo", 5}}
	r, err := Estimate(t.Context(), Input{Run: run, Subject: adult, Changes: changes, Draws: none})
	if err != nil {
		t.Fatal(err)
	}
	both, err := a.Ask(changes)
	if err != nil {
		t.Fatal(err)
	}
	if r.Together == nil || r.Together.SpeedChange.Value != both.SpeedChange.Value || r.Together.EqualEffort != both.EqualEffort {
		t.Errorf("together %+v, asked %+v", r.Together, both)
	}
	var alone [2]Answer
	for i, c := range changes {
		if alone[i], err = a.Ask([]Change{c}); err != nil {
			t.Fatal(err)
		}
		if got := r.Changes[i].SpeedChange.Value; got != alone[i].SpeedChange.Value {
			t.Errorf("%v: %g from Estimate, %g asked", c, got, alone[i].SpeedChange.Value)
		}
	}
	// Tempo multiplies speed (exact law but for the shedding ramp): 1.05 (V + foot) - V.
	v := a.Measured()
	if want := 1.05*(v+alone[0].SpeedChange.Value) - v; math.Abs(both.SpeedChange.Value-want) > 2e-3 {
		t.Errorf("both give %+.4f m/s, the tempo law %+.4f", both.SpeedChange.Value, want)
	}
	if none, err := a.Ask(nil); err != nil || none.SpeedChange.Value != 0 || none.EqualEffort != 0 {
		t.Errorf("nothing asked: %+v %v", none, err)
	}
}

// The order in which changes are given does not matter.
func TestAskedOrderDoesNotMatter(t *testing.T) {
	a, err := NewAsker(ownRun(t), adult, 1)
	if err != nil {
		t.Fatal(err)
	}
	x, err1 := a.Ask([]Change{{"sweep", 4}, {"foot", 5}, {"hip_end", 3}})
	y, err2 := a.Ask([]Change{{"hip_end", 3}, {"foot", 5}, {"sweep", 4}})
	if err1 != nil || err2 != nil || x.SpeedChange.Value != y.SpeedChange.Value {
		t.Errorf("%v %v, %v %v", x.SpeedChange.Value, err1, y.SpeedChange.Value, err2)
	}
	// The toes then travel 4 cm further than with the other changes alone (Wider is good
	// to 5 %).
	z, err := a.Ask([]Change{{"hip_end", 3}, {"foot", 5}})
	if err != nil {
		t.Fatal(err)
	}
	_, _, before := z.Swim.Toe()
	_, _, after := x.Swim.Toe()
	if gain := after - before; math.Abs(gain-0.04) > 0.003 {
		t.Errorf("the toes travel %.4f m further, want 0.04", gain)
	}
}

func TestAskedBand(t *testing.T) {
	a, err := NewAsker(ownRun(t), adult, 1)
	if err != nil {
		t.Fatal(err)
	}
	stopped, stop := context.WithCancel(t.Context())
	stop()
	if _, err := a.Band(stopped, []Change{{"tempo", 5}}); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	foot, err := a.Band(t.Context(), []Change{{"foot", 8}})
	if err != nil {
		t.Fatal(err)
	}
	b := foot.SpeedChange
	if !(b.Low <= 0 && b.Low <= b.Value && b.Value < b.High) {
		t.Errorf("band of more pointing %+v, must reach down to 0", b)
	}
	again, err := a.Band(t.Context(), []Change{{"foot", 8}})
	if err != nil || again.SpeedChange != b {
		t.Errorf("asked again: %+v %v", again.SpeedChange, err)
	}
	both, err := a.Band(t.Context(), []Change{{"foot", 8}, {"tempo", 5}})
	if err != nil {
		t.Fatal(err)
	}
	tempo, err := a.Ask([]Change{{"tempo", 5}})
	if err != nil || both.SpeedChange.Low > tempo.SpeedChange.Value {
		t.Errorf("band %+v of pointing and tempo lies above tempo alone, %g (%v)", both.SpeedChange, tempo.SpeedChange.Value, err)
	}
	factors, err := a.Factors(t.Context())
	if err != nil || len(factors) != askDraws {
		t.Errorf("%d factors, %v", len(factors), err)
	}
}

func TestAskerRefuses(t *testing.T) {
	run := ownRun(t)
	a, err := NewAsker(run, adult, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, bad := range [][]Change{{{"wings", 1}}, {{"tempo", 99}}, {{"tempo", 5}, {"tempo", 2}}, {{"foot", -40}}} {
		if _, err := a.Ask(bad); err == nil {
			t.Errorf("%v was answered", bad)
		}
	}
	for name, spoil := range map[string]func(r *Run){
		"surface": func(r *Run) { r.Touched = "surface" },
		"wall":    func(r *Run) { r.Touched = "wall" },
		"waves":   func(r *Run) { r.Depth = 0.4 },
		"whole kicks": func(r *Run) {
			short := *r.Result
			short.Counted, short.Kicks = 2, append([]kick.Kick(nil), short.Kicks[:2]...)
			r.Result = &short
		},
	} {
		poor := run
		spoil(&poor)
		if _, err := NewAsker(poor, adult, 1); !errors.Is(err, ErrRefused) || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
	}
	deep := run
	deep.Depth, deep.Touched = 1.2, "none"
	if _, err := NewAsker(deep, adult, 1); err != nil {
		t.Errorf("deep enough: %v", err)
	}
}

// A quality that gains only by working harder does not choose the practice ahead of one
// that gains at the same effort (issue 4, point 4).
func TestPracticeFollowsTheSameEffort(t *testing.T) {
	part := func(q Part, share, equal float64) PartLine {
		return PartLine{Quality: q, SpeedChange: Band{Value: share, Low: share / 2, High: 2 * share}, Shapley: Band{Value: share, SD: 0.01}, EqualEffort: equal, Evidence: modelOnly}
	}
	for _, c := range []struct {
		name     string
		parts    []PartLine
		practice string
		says     string
	}{
		{"harder, and a free one", []PartLine{part(Facing, 0.06, 0.05), part(Sweep, 0.12, -0.02)}, "facing", "only by working harder"},
		{"harder alone", []PartLine{part(Facing, 0.01, 0.05), part(Sweep, 0.12, -0.02)}, "sweep", "only by working harder"},
		{"free", []PartLine{part(Facing, 0.13, 0.05), part(Sweep, 0.12, 0.02)}, "facing", "at the same effort"},
		{"none", []PartLine{part(Facing, 0.01, 0.05)}, "", ""},
	} {
		r := Result{Speed: 1.4, Against: 1.6, Draws: 100, Parts: c.parts}
		r.name()
		if r.Practice != c.practice || !strings.Contains(r.Sentence, c.says) {
			t.Errorf("%s: practise %q, %s", c.name, r.Practice, r.Sentence)
		}
	}
}

// One move of several sliders, and its band once the draws are prepared.
func BenchmarkAsk(b *testing.B) {
	a, err := NewAsker(ownRun(b), adult, 1)
	if err != nil {
		b.Fatal(err)
	}
	all := []Change{{"foot", 6}, {"knee", 4}, {"hip_end", 3}, {"peak", 4}, {"sweep", 3}, {"tempo", 3}}
	for name, changes := range map[string][]Change{"one": all[:1], "sweep": all[4:5], "all": all} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := a.Ask(changes); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run("band/"+name, func(b *testing.B) {
			for b.Loop() {
				if _, err := a.Band(b.Context(), changes); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
