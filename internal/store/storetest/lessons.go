package storetest

import (
	"errors"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

// Lesson is a lesson that shows runs of a squad.
func Lesson(squadID string, runIDs ...string) record.Lesson {
	body := record.LessonBody{
		Title: "Late and fast", Template: record.BuildLesson, Audience: record.InSquad, Paper: record.A4, Names: record.ShowNames, Soften: true,
		Blocks: []record.LessonBlock{{ID: "b1", Kind: record.HeadingBlock, Text: "Look at the foot"}, {ID: "b2", Kind: record.StillsBlock, Part: record.DownkickPart}},
	}
	for _, id := range runIDs {
		body.Blocks[1].Runs = append(body.Blocks[1].Runs, record.LessonRun{RunID: id, Kick: 2, Words: "in May", Captions: map[string]string{"set": "high heels"}})
	}
	return record.Lesson{SquadID: squadID, LessonVersion: record.LessonVersion{LessonBody: body}}
}

// lessons: versions are added, undone and brought back; a deleted swimmer leaves nothing.
func lessons(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	l := must(s.AddLesson(ctx, Lesson(e.Squad.ID, e.Run.ID)))(t)
	same(t, "read back", must(s.Lesson(ctx, l.ID))(t), l)
	changed := l.LessonBody
	changed.Title = "Later"
	m := must(s.AddLessonVersion(ctx, l.ID, record.LessonVersion{Act: record.KeepLesson, LessonBody: changed}))(t)
	if m.Title != "Later" || m.Undos != 1 || m.Seq != 2 {
		t.Errorf("after a change: %+v", m)
	}
	act := func(a record.LessonAct) record.Lesson {
		t.Helper()
		return must(s.AddLessonVersion(ctx, l.ID, record.LessonVersion{Act: a}))(t)
	}
	if m = act(record.UndoLesson); m.Title != "Late and fast" || m.Redos != 1 || m.Seq != 3 {
		t.Errorf("after an undo: %+v", m)
	}
	if m = act(record.RedoLesson); m.Title != "Later" {
		t.Errorf("after a redo: %+v", m)
	}
	if m = act(record.RemoveLesson); !m.Removed || m.Title != "Later" {
		t.Errorf("removed: %+v", m)
	}
	if _, err := s.AddLessonVersion(ctx, l.ID, record.LessonVersion{Act: record.RemoveLesson}); !errors.Is(err, store.ErrNothing) {
		t.Errorf("removed twice: %v", err)
	}
	if m = act(record.UndoLesson); m.Removed {
		t.Errorf("put back: %+v", m)
	}
	lessonFaults(t, s, e, l)

	other := must(s.AddLesson(ctx, Lesson(e.Squad.ID)))(t)
	ok(t, s.DeleteSwimmer(ctx, e.Swimmer.ID))
	left := must(s.Lesson(ctx, l.ID))(t)
	if len(left.Blocks) != 2 || len(left.RunIDs()) != 0 || left.Undos != 0 || left.Title != "Later" {
		t.Errorf("after the swimmer was deleted: %+v", left)
	}
	same(t, "another lesson", must(s.Lesson(ctx, other.ID))(t), other)
	if n := len(must(s.Lessons(ctx, e.Squad.ID))(t)); n != 2 {
		t.Errorf("%d lessons", n)
	}
}

func lessonFaults(t *testing.T, s *store.Store, e Season, l record.Lesson) {
	t.Helper()
	ctx := t.Context()
	twice := Lesson(e.Squad.ID)
	twice.Blocks[1].ID = "b1"
	var faults record.Faults
	for name, err := range map[string]error{
		"no title":    second(s.AddLessonVersion(ctx, l.ID, record.LessonVersion{Act: record.KeepLesson})),
		"nobody's":    second(s.AddLesson(ctx, Lesson(""))),
		"block twice": second(s.AddLesson(ctx, twice)),
	} {
		if !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, err := range []error{
		second(s.Lesson(ctx, "x")), second(s.AddLesson(ctx, Lesson("x"))),
		second(s.AddLessonVersion(ctx, "x", record.LessonVersion{Act: record.KeepLesson, LessonBody: l.LessonBody})),
	} {
		notFound(t, err)
	}
}
