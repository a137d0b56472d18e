package storetest

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
)

func runs(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	same(t, "run", must(s.Run(ctx, e.Run.ID))(t), e.Run)
	plane := json.RawMessage(`{"points_px":[[0,0],[100,0],[100,50],[0,50]],"points_m":[[0,1],[2,1],[2,0],[0,0]]}`)
	first := must(s.AddRun(ctx, record.Run{ClipID: e.Clip.ID, SwimmerID: e.Swimmer.ID, ToFrame: 9, Scale: record.Scale{Kind: record.Plane, Plane: plane}}))(t)
	same(t, "in order of swimming", must(s.RunsOfClip(ctx, e.Clip.ID))(t), []record.Run{first, e.Run})

	first.ToFrame, first.Effort, first.Start, first.Position, first.Scale.Kind = 119, record.Max, record.Dive, record.Side, record.BodyHeight
	ok(t, s.UpdateRun(ctx, first))
	same(t, "changed run", must(s.Run(ctx, first.ID))(t), first)
	first.ToFrame = 120
	var faults record.Faults
	if err := s.UpdateRun(ctx, first); !errors.As(err, &faults) || !strings.Contains(faults.For("to_frame"), "119") {
		t.Errorf("run beyond the clip's last picture: %v", err)
	}
	whole := must(s.RunWhole(ctx, e.Run.ID))(t)
	same(t, "whole run", whole, store.Whole(e))
	ofClip := store.Whole(e)
	ofClip.Run = record.Run{}
	same(t, "whole clip", must(s.ClipWhole(ctx, e.Clip.ID))(t), ofClip)
	ok(t, s.DeleteRun(ctx, first.ID))
	for _, err := range []error{second(s.Run(ctx, first.ID)), s.DeleteRun(ctx, first.ID), second(s.RunWhole(ctx, first.ID)), second(s.ClipWhole(ctx, "x"))} {
		notFound(t, err)
	}
}

func marks(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	toe, hip := Mark(20, body.Toe, 1.25, 2.5), Mark(20, body.Hip, 3, 4)
	h := must(s.AddStep(ctx, e.Run.ID, record.Set(record.ImportMark, "Ann", toe, hip)))(t)
	same(t, "history", h, record.History{Seq: 1, Marks: []body.Mark{hip, toe}, Undos: 1})
	moved := Mark(20, body.Toe, -7, 2.5)
	must(s.AddStep(ctx, e.Run.ID, record.Set(record.MoveMark, "Bob", moved)))(t)
	h = must(s.AddStep(ctx, e.Run.ID, record.Take("Bob", 20, body.Hip)))(t)
	same(t, "marks", h.Marks, []body.Mark{moved})
	same(t, "read again", must(s.Marks(ctx, e.Run.ID))(t), h)

	steps := must(s.Steps(ctx, e.Run.ID))(t)
	if len(steps) != 3 || steps[0].By != "Ann" || steps[2].By != "Bob" || !steps[1].At.After(steps[0].At) || len(steps[0].Changes) != 2 || !steps[2].Changes[0].Remove {
		t.Errorf("steps %+v", steps)
	}
	same(t, "raw mark", steps[0].Changes[1].Mark, toe)

	var faults record.Faults
	for name, bad := range map[string]record.Step{
		"picture 120 of 120": record.Set(record.PlaceMark, "", Mark(120, body.Toe, 1, 1)),
		"NaN":                record.Set(record.PlaceMark, "", Mark(1, body.Toe, math.NaN(), 1)),
		"no change":          record.Set(record.PlaceMark, ""),
		"no act":             {Changes: []record.Change{{Mark: toe}}},
	} {
		if _, err := s.AddStep(ctx, e.Run.ID, bad); !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
		}
	}
	same(t, "after refusals", must(s.Marks(ctx, e.Run.ID))(t), h)
	_, err := s.AddStep(ctx, "nothing", record.Set(record.PlaceMark, "", toe))
	notFound(t, err)
	_, err = s.Marks(ctx, "nothing")
	notFound(t, err)
}

// undoRedo: random sequences against a stack of whole states.
func undoRedo(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{}), t.Context()
	e := Fill(t, s)
	_, err := s.Undo(ctx, e.Run.ID, "")
	if !errors.Is(err, store.ErrNothing) {
		t.Errorf("undo of nothing: %v", err)
	}
	type state = map[string]float64
	past, future := []state{{}}, []state{}
	rng := rand.New(rand.NewPCG(7, 7))
	for i := range 300 {
		now := past[len(past)-1]
		var h record.History
		var err error
		switch p := rng.IntN(10); {
		case p < 3:
			h, err = s.Undo(ctx, e.Run.ID, "me")
			if len(past) == 1 {
				if !errors.Is(err, store.ErrNothing) {
					t.Fatalf("step %d: undo of nothing: %v", i, err)
				}
				continue
			}
			past, future = past[:len(past)-1], append(future, now)
		case p < 5:
			h, err = s.Redo(ctx, e.Run.ID, "me")
			if len(future) == 0 {
				if !errors.Is(err, store.ErrNothing) {
					t.Fatalf("step %d: redo of nothing: %v", i, err)
				}
				continue
			}
			past, future = append(past, future[len(future)-1]), future[:len(future)-1]
		default:
			next := state{}
			for k, v := range now {
				next[k] = v
			}
			m := Mark(rng.IntN(3), body.Landmark(rng.IntN(3)), float64(i), 0)
			step := record.Set(record.PlaceMark, "me", m)
			next[key(m)] = m.X
			if p == 9 {
				step = record.Take("me", m.Frame, m.Landmark)
				delete(next, key(m))
			}
			h, err = s.AddStep(ctx, e.Run.ID, step)
			past, future = append(past, next), nil
		}
		if err != nil {
			t.Fatal(err)
		}
		got := state{}
		for _, m := range h.Marks {
			got[key(m)] = m.X
		}
		same(t, fmt.Sprintf("step %d: marks", i), got, past[len(past)-1])
		if h.Undos != len(past)-1 || h.Redos != len(future) {
			t.Fatalf("step %d: %d undos and %d redos, want %d and %d", i, h.Undos, h.Redos, len(past)-1, len(future))
		}
	}
	visits := must(s.Filmed(ctx, e.Swimmer.ID))(t)
	if got := visits[0].Clips[0].Runs[0].Marks; got != len(past[len(past)-1]) {
		t.Errorf("%d marks in the list, want %d", got, len(past[len(past)-1]))
	}
}

func key(m body.Mark) string { return fmt.Sprint(m.Frame, " ", m.Landmark) }

func result(runID, hash string, speed float64) record.Result {
	return record.Result{
		RunID: runID, Method: "kick 1", InputHash: hash, Word: "sweep", Sentence: "The feet stop short in front.", Body: json.RawMessage(`{"a": [1, 2]}`),
		Values: []record.Value{
			{Measure: "speed", Unit: "m/s", Value: speed, SD: 0.1, Low: speed - 0.2, High: speed + 0.2, N: 5},
			{Measure: "kick_frequency", Unit: "Hz", Value: 2, SD: 0.5, Low: 1, High: 3, N: 5},
		},
	}
}

func results(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	_, err := s.Result(ctx, e.Run.ID, "kick 1", "a")
	notFound(t, err)
	a := must(s.AddResult(ctx, result(e.Run.ID, "a", 1.2)))(t)
	same(t, "result", must(s.Result(ctx, e.Run.ID, "kick 1", "a"))(t), a)
	b := must(s.AddResult(ctx, result(e.Run.ID, "b", 1.3)))(t)
	same(t, "added again", must(s.AddResult(ctx, result(e.Run.ID, "a", 99)))(t), a)
	same(t, "old ones stay", must(s.Results(ctx, e.Run.ID))(t), []record.Result{b, a})

	// What is not known comes back as such.
	r := result(e.Run.ID, "c", 1)
	r.Values = []record.Value{{Measure: "strouhal", Value: 0.8, SD: math.NaN(), Low: math.NaN(), High: math.NaN(), N: 1}}
	must(s.AddResult(ctx, r))(t)
	v := must(s.Result(ctx, e.Run.ID, "kick 1", "c"))(t).Values[0]
	if v.Value != 0.8 || !math.IsNaN(v.SD) || !math.IsNaN(v.Low) || !math.IsNaN(v.High) {
		t.Errorf("value %+v", v)
	}
	_, err = s.AddResult(ctx, result("nothing", "a", 1))
	notFound(t, err)
	var faults record.Faults
	bad := result(e.Run.ID, "d", math.NaN())
	if _, err := s.AddResult(ctx, bad); !errors.As(err, &faults) || faults.For("values") == "" {
		t.Errorf("result with NaN: %v", err)
	}
}
