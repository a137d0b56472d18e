package storetest

import (
	"errors"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
)

// remarks: one frame marked again, beside the run's own marks.
func remarks(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	again := record.Remark{RunID: e.Run.ID, Frame: 20, By: "Ann"}
	if _, err := s.AddRemark(ctx, again); !errors.Is(err, store.ErrNothing) {
		t.Errorf("a frame without marks: %v", err)
	}
	must(s.AddStep(ctx, e.Run.ID, record.Set(record.ImportMark, "Ann", Mark(20, body.Toe, 1, 2), Mark(20, body.Ankle, 3, 4))))(t)
	r := must(s.AddRemark(ctx, again))(t)
	if r.RunSeq != 1 || r.Counts() || r.Finished() {
		t.Errorf("new remark %+v", r)
	}
	run := must(s.Marks(ctx, e.Run.ID))(t)
	before := must(s.MarkersVersion(ctx))(t)

	toe := body.Mark{Frame: 20, Landmark: body.Toe, X: 1.5, Y: 2.5}
	must(s.AddRemarkStep(ctx, r.ID, record.Set(record.PlaceMark, "", toe)))(t)
	must(s.AddRemarkStep(ctx, r.ID, record.Set(record.PlaceMark, "", body.Mark{Frame: 20, Landmark: body.Ankle, X: 9, Y: 9})))(t)
	must(s.AddRemarkStep(ctx, r.ID, record.Take("", 20, body.Ankle)))(t)
	must(s.AddRemarkStep(ctx, r.ID, record.Step{Act: record.Undo}))(t)
	r = must(s.AddRemarkStep(ctx, r.ID, record.Step{Act: record.Undo}))(t)
	same(t, "marks made again", record.Replay(r.Steps).Marks, []body.Mark{toe})
	same(t, "the run's marks stay", must(s.Marks(ctx, e.Run.ID))(t), run)
	same(t, "read back", must(s.Remark(ctx, r.ID))(t), r)

	var faults record.Faults
	for name, bad := range map[string]record.Step{
		"another frame": record.Set(record.PlaceMark, "", body.Mark{Frame: 21, Landmark: body.Toe}),
		"two at once":   record.Set(record.PlaceMark, "", toe, body.Mark{Frame: 20, Landmark: body.Hip}),
	} {
		if _, err := s.AddRemarkStep(ctx, r.ID, bad); !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
		}
	}
	r = must(s.AddRemarkAct(ctx, r.ID, record.FinishRemark))(t)
	if !r.Counts() || must(s.MarkersVersion(ctx))(t) == before {
		t.Errorf("finished: %+v", r)
	}
	if _, err := s.AddRemarkStep(ctx, r.ID, record.Step{Act: record.Redo}); !errors.Is(err, store.ErrInUse) {
		t.Errorf("a mark after the first ones were shown: %v", err)
	}
	if r = must(s.AddRemarkAct(ctx, r.ID, record.DiscardRemark))(t); r.Counts() || !r.Discarded() {
		t.Errorf("discarded: %+v", r)
	}
	if r = must(s.AddRemarkAct(ctx, r.ID, record.RestoreRemark))(t); !r.Counts() {
		t.Errorf("restored: %+v", r)
	}
	same(t, "all of the run", must(s.Remarks(ctx, e.Run.ID))(t), []record.Remark{r})
	same(t, "all", must(s.Remarks(ctx, ""))(t), []record.Remark{r})
	for _, err := range []error{second(s.Remark(ctx, "x")), second(s.AddRemarkStep(ctx, "x", record.Step{Act: record.Undo})), second(s.AddRemarkAct(ctx, "x", record.FinishRemark))} {
		notFound(t, err)
	}
	ok(t, s.DeleteRun(ctx, e.Run.ID))
	notFound(t, second(s.Remark(ctx, r.ID)))
}

// pairs: two runs marked together.
func pairs(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	other := must(s.AddRun(ctx, record.Run{ClipID: e.Clip.ID, SwimmerID: e.Swimmer.ID, ToFrame: 9}))(t)
	ids := [2]string{e.Run.ID, other.ID}
	p := must(s.AddPair(ctx, record.Pair{RunIDs: ids, By: "Ann"}))(t)
	must(s.AddStep(ctx, other.ID, record.Set(record.PlaceMark, "Bob", Mark(5, body.Toe, 1, 1))))(t)
	h := must(s.AddPairStep(ctx, p.ID, 1, record.Set(record.PlaceMark, "Ann", Mark(5, body.Toe, 2, 2))))(t)
	must(s.AddPairStep(ctx, p.ID, 0, record.Set(record.PlaceMark, "Ann", Mark(20, body.Toe, 3, 3))))(t)
	if h.Seq != 2 || len(h.Marks) != 1 || h.Marks[0].X != 2 {
		t.Errorf("history %+v", h)
	}
	p.Steps = [2][]int64{{1}, {2}}
	same(t, "pair", must(s.Pair(ctx, p.ID))(t), p)
	for _, id := range ids {
		same(t, "pairs of a run", must(s.Pairs(ctx, id))(t), []record.Pair{p})
	}
	same(t, "pairs", must(s.Pairs(ctx, ""))(t), []record.Pair{p})
	placed := record.Standing(must(s.Steps(ctx, other.ID))(t))
	if len(placed) != 1 || placed[0].Seq != 2 || placed[0].By != "Ann" || placed[0].At.IsZero() {
		t.Errorf("standing %+v", placed)
	}

	stranger := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Ida Berg"}))(t)
	strange := must(s.AddRun(ctx, record.Run{ClipID: e.Clip.ID, SwimmerID: stranger.ID, FromFrame: 100, ToFrame: 110}))(t)
	var faults record.Faults
	for name, bad := range map[string][2]string{"another swimmer": {e.Run.ID, strange.ID}, "one run twice": {e.Run.ID, e.Run.ID}} {
		if _, err := s.AddPair(ctx, record.Pair{RunIDs: bad, By: "Ann"}); !errors.As(err, &faults) || !strings.Contains(err.Error(), "run_b") {
			t.Errorf("%s: %v", name, err)
		}
	}
	notFound(t, second(s.AddPair(ctx, record.Pair{RunIDs: [2]string{e.Run.ID, "nothing"}, By: "Ann"})))
	notFound(t, second(s.Pair(ctx, "x")))
	notFound(t, second(s.AddPairStep(ctx, "x", 0, record.Take("", 1, body.Toe))))
	ok(t, s.DeleteRun(ctx, other.ID))
	notFound(t, second(s.Pair(ctx, p.ID)))
}
