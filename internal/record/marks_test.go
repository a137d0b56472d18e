package record

import (
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"underkick/internal/body"
)

func mark(frame int, l body.Landmark, x float64) body.Mark {
	return body.Mark{Frame: frame, Landmark: l, X: x}
}

func numbered(steps ...Step) []Step {
	for i := range steps {
		steps[i].Seq = int64(i + 1)
	}
	return steps
}

func TestReplayByHand(t *testing.T) {
	a, b, c := mark(2, body.Toe, 1), mark(1, body.Toe, 2), mark(1, body.Hip, 3)
	moved := mark(2, body.Toe, 9)
	steps := numbered(
		Set(ImportMark, "", a, b, c), // 1
		Set(MoveMark, "", moved),     // 2
		Take("", 1, body.Hip),        // 3
		Step{Act: Undo},              // 4: the hip is back
		Step{Act: Undo},              // 5: and the toe where it was
		Step{Act: Redo},              // 6: the toe moved again
		Set(PlaceMark, "", c),        // 7: 3 can no longer be redone
		Step{Act: Redo},              // 8: nothing
	)
	for n, want := range map[int]History{
		0: {},
		1: {Marks: []body.Mark{c, b, a}, Undos: 1},
		2: {Marks: []body.Mark{c, b, moved}, Undos: 2},
		3: {Marks: []body.Mark{b, moved}, Undos: 3},
		4: {Marks: []body.Mark{c, b, moved}, Undos: 2, Redos: 1},
		5: {Marks: []body.Mark{c, b, a}, Undos: 1, Redos: 2},
		6: {Marks: []body.Mark{c, b, moved}, Undos: 2, Redos: 1},
		7: {Marks: []body.Mark{c, b, moved}, Undos: 3},
		8: {Marks: []body.Mark{c, b, moved}, Undos: 3},
	} {
		got := Replay(steps[:n])
		if got.Seq != int64(n) || got.Undos != want.Undos || got.Redos != want.Redos || !slices.Equal(got.Marks, want.Marks) {
			t.Errorf("after %d steps: %+v, want %+v", n, got, want)
		}
	}
	if got := Replay(numbered(Step{Act: Undo}, Step{Act: Redo})); got.Undos != 0 || got.Redos != 0 || len(got.Marks) != 0 {
		t.Errorf("undo and redo of nothing: %+v", got)
	}
}

// Undoing everything leaves nothing, redoing everything leaves what was there,
// for any history.
func TestUndoAllRedoAll(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		var steps []Step
		for range rng.IntN(40) {
			switch rng.IntN(4) {
			case 0:
				steps = append(steps, Step{Act: Undo})
			case 1:
				steps = append(steps, Take("", rng.IntN(3), body.Landmark(rng.IntN(2))))
			default:
				steps = append(steps, Set(PlaceMark, "", mark(rng.IntN(3), body.Landmark(rng.IntN(2)), rng.Float64())))
			}
		}
		before := Replay(numbered(steps...))
		undone := append(slices.Clone(steps), slices.Repeat([]Step{{Act: Undo}}, before.Undos)...)
		if h := Replay(numbered(undone...)); len(h.Marks) != 0 || h.Undos != 0 || h.Redos != before.Undos+before.Redos {
			t.Fatalf("all undone: %+v", h)
		}
		redone := append(undone, slices.Repeat([]Step{{Act: Redo}}, before.Undos)...)
		h := Replay(numbered(redone...))
		if !slices.Equal(h.Marks, before.Marks) || h.Undos != before.Undos || h.Redos != before.Redos {
			t.Fatalf("all redone: %+v, want %+v", h, before)
		}
	}
}

// Marks stand in order, one per landmark and picture, with the last word.
func TestMarksStandInOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	last := map[place]body.Mark{}
	var steps []Step
	for i := range 500 {
		m := mark(rng.IntN(20), body.Landmark(rng.IntN(body.NumLandmarks)), float64(i))
		last[placeOf(m)] = m
		steps = append(steps, Set(PlaceMark, "", m))
	}
	got := Replay(steps).Marks
	if len(got) != len(last) {
		t.Errorf("%d marks, want %d", len(got), len(last))
	}
	for i, m := range got {
		if last[placeOf(m)] != m {
			t.Errorf("%+v is not the last word", m)
		}
		if i > 0 && !(got[i-1].Frame < m.Frame || got[i-1].Frame == m.Frame && got[i-1].Landmark < m.Landmark) {
			t.Errorf("%+v stands after %+v", m, got[i-1])
		}
	}
	if len(slices.Collect(maps.Keys(last))) < 100 {
		t.Error("too few places for this to prove anything")
	}
}
