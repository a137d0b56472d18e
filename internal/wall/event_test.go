package wall

import (
	"slices"
	"strings"
	"testing"
)

// Lengths of races: 100 m is four lengths of a short pool and two of a long one; in yards the
// same number of lengths is 25 yd = 22.86 m each (yard exact: 0.9144 m).
func TestEvents(t *testing.T) {
	for _, c := range []struct {
		e     Event
		walls int
	}{
		{Event{Pool25m, 100, Freestyle}, 4},
		{Event{Pool50m, 100, Butterfly}, 2},
		{Event{Pool25yd, 500, Freestyle}, 20},
		{Event{Pool50m, 50, Backstroke}, 1},
		{Event{Pool50m, 200, Medley}, 4},
		{Event{Pool25m, 100, Medley}, 4},
		{Event{Pool25yd, 1650, Freestyle}, 66},
		{Event{Pool50m, 100, Medley}, 0},
		{Event{Pool50m, 25, Freestyle}, 0},
		{Event{Pool25m, 110, Freestyle}, 0},
		{Event{"33 m", 100, Freestyle}, 0},
		{Event{Pool25m, 100, "sidestroke"}, 0},
	} {
		walls, err := c.e.Walls()
		if len(walls) != c.walls || (err == nil) != (c.walls > 0) {
			t.Errorf("%v: %d walls, %v", c.e, len(walls), err)
		}
	}
	near(t, "yard pool", Pool25yd.Length(), 22.86, 1e-12)
	walls, _ := Event{Pool25m, 200, Medley}.Walls()
	if want := []Stroke{Butterfly, Butterfly, Backstroke, Backstroke, Breaststroke, Breaststroke, Freestyle, Freestyle}; !slices.Equal(walls, want) {
		t.Errorf("medley: %v", walls)
	}
}

func race(e Event) Race {
	q := typical()
	return Race{
		Event: e, Swimmer: q.Swimmer, Turn: q.Entry, Height: q.Height, Seed: 1,
		Start:   Entry{At: Given{Value: 5.5}, Speed: Given{Value: 2.6, SD: 0.1}, Time: Given{Value: 1.7, SD: 0.05}},
		Surface: map[Stroke]Given{Freestyle: {Value: 1.65, SD: 0.02}, Butterfly: {Value: 1.55, SD: 0.02}, Backstroke: {Value: 1.45, SD: 0.02}},
	}
}

func planned(t *testing.T, r Race) *Sheet {
	t.Helper()
	s, err := PlanRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestPlanOfARace(t *testing.T) {
	s := planned(t, race(Event{Pool25m, 100, Freestyle}))
	if len(s.Walls) != 4 || !s.Walls[0].Dive || s.Walls[1].Dive || s.Walls[1].Plan != s.Walls[3].Plan {
		t.Fatalf("walls %+v", s.Walls)
	}
	kicks, way := 0, 0.0
	for _, w := range s.Walls {
		kicks, way = kicks+w.Kicks, way+w.Breakout.Value
	}
	if s.Total.Kicks != kicks || s.Total.Planned != 4 {
		t.Errorf("totals %+v, kicks %d", s.Total, kicks)
	}
	near(t, "way under water", s.Total.Distance.Value, way, 1e-9)
	if s.Gain.Known() {
		t.Error("a worth was made up")
	}
	m := planned(t, race(Event{Pool25m, 100, Medley}))
	if !m.Walls[2].Refused || m.Total.Planned != 3 || m.Walls[1].Stroke != Backstroke {
		t.Errorf("medley %+v", m)
	}
}

// A faster kick saves time at every wall, more with more walls and more worth; the band of an
// uncertain worth is wider.
func TestWorthOverAllWalls(t *testing.T) {
	gain := func(distance int, worth Given) Band {
		r := race(Event{Pool25m, distance, Freestyle})
		r.Swimmer.Kick.Value = 1.6
		r.Worth = worth
		return planned(t, r).Gain
	}
	one, more := gain(50, Given{Value: 0.05}), gain(200, Given{Value: 0.05})
	if !(one.Value > 0 && more.Value > 3*one.Value) {
		t.Errorf("worth over 2 walls %+v, over 8 %+v", one, more)
	}
	if big := gain(50, Given{Value: 0.1}); big.Value <= one.Value {
		t.Errorf("twice the worth brings %+v, once %+v", big, one)
	}
	if unsure := gain(50, Given{Value: 0.05, SD: 0.03}); unsure.High-unsure.Low <= one.High-one.Low {
		t.Errorf("unsure %+v, sure %+v", unsure, one)
	}
}

func TestCompareWithAMeet(t *testing.T) {
	s := planned(t, race(Event{Pool25m, 100, Freestyle}))
	p := s.Walls[1].Plan
	got := s.Compare([]Done{
		{Wall: 2, Kicks: p.Kicks, To15: p.To15.Value},
		{Wall: 3, Kicks: p.Kicks + 2, Breakout: 15.4, To15: p.To15.High + 0.5},
		{Wall: 1, Kicks: -1, Breakout: s.Walls[0].Breakout.Low - 0.5},
		{Wall: 9, Kicks: 3},
	})
	for i, words := range []string{"As many kicks as are fast.", "beyond 15 m", "shorter", "no such wall"} {
		if !strings.Contains(got[i].Words, words) {
			t.Errorf("%d: %q", i, got[i].Words)
		}
	}
	if got[1].MoreKicks != 2 || got[1].Slower == nil || *got[1].Slower < 0.5 {
		t.Errorf("%+v", got[1])
	}
	near(t, "cost of the planned", got[0].Cost.Value, 0, 0)
}

// Split times made by the model give its kicking speed back, with the push-off's speed taken out; the
// plain mean is too high.
func TestFromSplits(t *testing.T) {
	q := typical()
	in := completed(q)
	s := in.central()
	at := func(x float64) Split { return Split{x, s.kickedTo(x, 2.5)} }
	speed, rate, err := FromSplits(t.Context(), q, 2.5, []Split{at(4), at(12)}, SplitOptions{TimeSD: 0.03, Kicks: 10})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "kicking speed", speed.Value, 1.55, 1e-6)
	mean := 8 / (at(12).T - at(4).T)
	if mean < speed.Value+0.01 {
		t.Errorf("mean %.3f", mean)
	}
	if speed.SD < 0.005 || speed.SD > 0.1 {
		t.Errorf("SD %.4f", speed.SD)
	}
	near(t, "tempo", rate.Value, 10/(at(12).T-at(4).T), 1e-9)
	for name, splits := range map[string][]Split{
		"one": {{5, 2}}, "backwards": {{5, 2}, {4, 3}}, "no time": {{5, 2}, {9, 2}}, "before the kick": {{2, 1}, {9, 5}}, "too fast": {{5, 2}, {14, 2.5}},
	} {
		if v, _, err := FromSplits(t.Context(), q, 2.5, splits, SplitOptions{}); err == nil {
			t.Errorf("%s: %+v", name, v)
		}
	}
}
