package storetest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
)

func roster(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	idle := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Zoe Lind"}))(t)
	guest := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Ada Quist"}))(t)
	old := must(s.AddVisit(ctx, record.Visit{SquadID: e.Squad.ID, On: "2025-09-01"}))(t)
	clip := must(s.ImportClip(ctx, strings.NewReader("autumn"), "o.mp4", record.Clip{VisitID: old.ID, SwimmerID: e.Swimmer.ID}))(t)
	oldRun := must(s.AddRun(ctx, record.Run{ClipID: clip.ID, SwimmerID: e.Swimmer.ID, ToFrame: 9}))(t)
	must(s.AddRun(ctx, record.Run{ClipID: clip.ID, SwimmerID: guest.ID, FromFrame: 20, ToFrame: 30}))(t)

	must(s.AddResult(ctx, result(e.Run.ID, "first", 1.1)))(t)
	newest := must(s.AddResult(ctx, result(e.Run.ID, "second", 1.4)))(t)
	must(s.AddResult(ctx, result(oldRun.ID, "later, of an earlier visit", 1.0)))(t)

	rows := must(s.Roster(ctx, e.Squad.ID, "speed"))(t)
	if len(rows) != 3 {
		t.Fatalf("rows %+v", rows)
	}
	same(t, "by name", []record.Swimmer{rows[0].Swimmer, rows[1].Swimmer, rows[2].Swimmer}, []record.Swimmer{guest, e.Swimmer, idle})
	same(t, "last visits", []record.Date{rows[0].LastVisit, rows[1].LastVisit, rows[2].LastVisit}, []record.Date{"2025-09-01", "2026-03-09", ""})
	if rows[0].Last() != nil || rows[2].Last() != nil || len(rows[1].Measured) != 2 {
		t.Fatalf("measured %+v", rows)
	}
	last := rows[1].Last()
	same(t, "newest of the last run", *last, store.Measured{
		RunID: e.Run.ID, SwimmerID: e.Swimmer.ID, On: "2026-03-09", ResultID: newest.ID, Method: newest.Method, Word: newest.Word, Sentence: newest.Sentence,
		Values: newest.Values[:1],
	})
	if v := rows[1].Measured[0].Values[0].Value; v != 1.0 {
		t.Errorf("oldest speed %v", v)
	}
	if n := len(must(s.Measured(ctx, e.Swimmer.ID))(t)[1].Values); n != 2 {
		t.Errorf("%d values when all are asked for", n)
	}
	if got := must(s.Measured(ctx, e.Swimmer.ID, "none such"))(t); len(got) != 2 || len(got[0].Values) != 0 {
		t.Errorf("unknown measure: %+v", got)
	}
	if got := must(s.Roster(ctx, "nothing"))(t); len(got) != 0 {
		t.Errorf("roster of no squad: %+v", got)
	}
}

func filmed(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	guest := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Ada Quist"}))(t)
	later := must(s.AddVisit(ctx, record.Visit{SquadID: e.Squad.ID, On: "2026-05-01"}))(t)
	bare := must(s.ImportClip(ctx, strings.NewReader("not looked at"), "o.mp4", record.Clip{VisitID: later.ID, SwimmerID: e.Swimmer.ID}))(t)
	guests := must(s.AddRun(ctx, record.Run{ClipID: e.Clip.ID, SwimmerID: guest.ID, FromFrame: 1, ToFrame: 5}))(t)
	must(s.AddStep(ctx, e.Run.ID, record.Set(record.ImportMark, "", Mark(10, body.Toe, 1, 1), Mark(11, body.Toe, 1, 1))))(t)
	must(s.AddResult(ctx, result(e.Run.ID, "a", 1.1)))(t)

	visits := must(s.Filmed(ctx, e.Swimmer.ID))(t)
	if len(visits) != 2 || len(visits[0].Clips) != 1 || len(visits[1].Clips) != 1 {
		t.Fatalf("visits %+v", visits)
	}
	same(t, "newest visit", visits[0].Visit, later)
	same(t, "its clip", visits[0].Clips[0].Clip.ID, bare.ID)
	runs := visits[1].Clips[0].Runs
	if len(runs) != 1 || runs[0].Marks != 2 || runs[0].Measured == nil || len(runs[0].Measured.Values) != 2 {
		t.Fatalf("own runs only, with marks and values: %+v", runs)
	}
	same(t, "run", runs[0].Run, e.Run)

	other := must(s.Filmed(ctx, guest.ID))(t)
	if len(other) != 1 || other[0].Clips[0].Clip.ID != e.Clip.ID || len(other[0].Clips[0].Runs) != 1 {
		t.Fatalf("guest %+v", other)
	}
	same(t, "guest's run", other[0].Clips[0].Runs[0], store.FilmedRun{Run: guests})
}

func settings(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{}), t.Context()
	_, there, err := s.Setting(ctx, "pseudonyms")
	if there || err != nil {
		t.Errorf("unset: %v %v", there, err)
	}
	ok(t, s.SetSetting(ctx, "pseudonyms", "on"))
	ok(t, s.SetSetting(ctx, "pseudonyms", ""))
	text, there, err := s.Setting(ctx, "pseudonyms")
	if text != "" || !there || err != nil {
		t.Errorf("set: %q %v %v", text, there, err)
	}
}

func together(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{}), t.Context()
	stop := errors.New("stop")
	var hooks int
	count := func() int { return len(must(s.Squads(t.Context()))(t)) }

	err := s.Together(ctx, func(ctx context.Context) error {
		q := must(s.AddSquad(ctx, record.Squad{Name: "A"}))(t)
		s.AfterCommit(ctx, func() { hooks++ })
		if _, err := s.Squad(ctx, q.ID); err != nil {
			t.Errorf("not seen inside: %v", err)
		}
		if n := count(); n != 0 {
			t.Errorf("%d squads seen from outside before the end", n)
		}
		return stop
	})
	if !errors.Is(err, stop) || count() != 0 || hooks != 0 {
		t.Errorf("undone: %v, %d squads, %d hooks", err, count(), hooks)
	}
	err = s.Together(ctx, func(ctx context.Context) error {
		must(s.AddSquad(ctx, record.Squad{Name: "A"}))(t)
		_, _ = s.AddSquad(ctx, record.Squad{}) // refused, and its error dropped
		return nil
	})
	if err == nil || count() != 0 {
		t.Errorf("a part failed: %v, %d squads", err, count())
	}
	func() {
		defer func() { _ = recover() }()
		_ = s.Together(ctx, func(ctx context.Context) error {
			must(s.AddSquad(ctx, record.Squad{Name: "A"}))(t)
			panic("bug")
		})
	}()
	if count() != 0 {
		t.Errorf("%d squads after a panic", count())
	}
	ok(t, s.Together(ctx, func(ctx context.Context) error {
		return s.Together(ctx, func(ctx context.Context) error {
			s.AfterCommit(ctx, func() { hooks += count() })
			_, err := s.AddSquad(ctx, record.Squad{Name: "A"})
			return err
		})
	}))
	s.AfterCommit(ctx, func() { hooks += 10 })
	if hooks != 11 {
		t.Errorf("hooks ran %d", hooks)
	}
}

// readersDuringWrite: reads neither wait for a write nor see half of it.
func readersDuringWrite(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{}), t.Context()
	e := Fill(t, s)
	writing, read := make(chan struct{}), make(chan struct{})
	var readers sync.WaitGroup
	go func() {
		<-writing
		for range 8 {
			readers.Go(func() {
				for range 20 {
					if h, err := s.Marks(ctx, e.Run.ID); err != nil || len(h.Marks) != 0 {
						t.Errorf("read during a write: %v %v", h.Marks, err)
					}
					if rows, err := s.Roster(ctx, e.Squad.ID); err != nil || len(rows) != 1 {
						t.Errorf("roster during a write: %v %v", rows, err)
					}
				}
			})
		}
		readers.Wait()
		close(read)
	}()
	ok(t, s.Together(ctx, func(ctx context.Context) error {
		must(s.AddStep(ctx, e.Run.ID, record.Set(record.PlaceMark, "", Mark(1, body.Toe, 1, 1))))(t)
		close(writing)
		<-read // would never come if reads waited for the writer
		return nil
	}))
	if h := must(s.Marks(ctx, e.Run.ID))(t); len(h.Marks) != 1 {
		t.Errorf("after the write: %v", h.Marks)
	}

	// Many writers at once each get their turn.
	var writers sync.WaitGroup
	for i := range 8 {
		writers.Go(func() {
			for j := range 10 {
				m := Mark(i*10+j, body.Hip, 1, 1)
				if _, err := s.AddStep(ctx, e.Run.ID, record.Set(record.PlaceMark, fmt.Sprint(i), m)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	writers.Wait()
	if h := must(s.Marks(ctx, e.Run.ID))(t); h.Seq != 81 || len(h.Marks) != 81 {
		t.Errorf("after 8 x 10 writes: seq %d, %d marks", h.Seq, len(h.Marks))
	}
}

func jobs(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	add := func(kind string) record.Job {
		return must(s.AddJob(ctx, record.Job{Kind: kind, Subject: "clip", Args: json.RawMessage(`{"n":1}`)}))(t)
	}
	a, b, other := add("read"), add("read"), add("guess")
	same(t, "job", must(s.Job(ctx, a.ID))(t), a)
	same(t, "newest first", must(s.JobsOn(ctx, "clip"))(t), []record.Job{other, b, a})

	got := must(s.ClaimJob(ctx, "boot 1", []string{"read", "x"}))(t)
	if got.ID != a.ID || got.State != record.Running || got.Attempts != 1 {
		t.Errorf("claimed %+v", got)
	}
	ok(t, s.ProgressJob(ctx, a.ID, 0.5, "reading"))
	if j := must(s.Job(ctx, a.ID))(t); j.Fraction != 0.5 || j.Doing != "reading" {
		t.Errorf("progress %+v", j)
	}
	ok(t, s.EndJob(ctx, a.ID, record.Done, json.RawMessage(`{"run":"r"}`), ""))
	if j := must(s.Job(ctx, a.ID))(t); j.State != record.Done || j.Fraction != 1 || string(j.Outcome) != `{"run":"r"}` || j.Ended.IsZero() {
		t.Errorf("done %+v", j)
	}
	notFound(t, s.EndJob(ctx, a.ID, record.Failed, nil, "again"))

	must(s.ClaimJob(ctx, "boot 1", []string{"read"}))(t)
	if _, err := s.ClaimJob(ctx, "boot 1", []string{"read"}); !errors.Is(err, store.ErrNothing) {
		t.Errorf("claim of nothing: %v", err)
	}
	if n := len(must(s.OpenJobs(ctx))(t)); n != 2 {
		t.Errorf("%d open jobs", n)
	}
	// b was cut off; it is taken up again until the attempts are used up.
	waiting, failed, err := s.RecoverJobs(ctx, "boot 2", 2, "cut off")
	if waiting != 1 || failed != 0 || err != nil {
		t.Errorf("recovered %d, failed %d: %v", waiting, failed, err)
	}
	must(s.ClaimJob(ctx, "boot 2", []string{"read"}))(t)
	if waiting, failed, err = s.RecoverJobs(ctx, "boot 2", 2, "cut off"); waiting+failed != 0 || err != nil {
		t.Errorf("own jobs were taken for others': %d %d %v", waiting, failed, err)
	}
	if _, failed, err = s.RecoverJobs(ctx, "boot 3", 2, "cut off"); failed != 1 || err != nil {
		t.Errorf("failed %d: %v", failed, err)
	}
	if j := must(s.Job(ctx, b.ID))(t); j.State != record.Failed || j.Problem != "cut off" {
		t.Errorf("given up %+v", j)
	}

	must(s.ClaimJob(ctx, "boot 3", []string{"guess"}))(t)
	ok(t, s.YieldJob(ctx, other.ID))
	if j := must(s.Job(ctx, other.ID))(t); j.State != record.Waiting || j.Attempts != 0 {
		t.Errorf("put back %+v", j)
	}
	if did := must(s.CancelWaiting(ctx, other.ID))(t); !did || must(s.CancelWaiting(ctx, other.ID))(t) {
		t.Error("cancelling a waiting job works once")
	}
}

// refusals: what a form can send comes back with its field.
func refusals(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{}), t.Context()
	e := Fill(t, s)
	bad := e.Swimmer
	bad.HeightM, bad.Name = 163, "  "
	visit, run := e.Visit, e.Run
	visit.On, run.Effort = "9.3.2026", "hard"
	for field, err := range map[string]error{
		"name":     second(s.AddSquad(ctx, record.Squad{})),
		"height_m": s.UpdateSwimmer(ctx, bad),
		"on":       second(s.AddVisit(ctx, visit)),
		"effort":   s.UpdateRun(ctx, run),
		"kind":     second(s.AddJob(ctx, record.Job{})),
		"frames":   s.SetFacts(ctx, e.Clip.ID, record.Facts{Frames: -1}),
	} {
		var faults record.Faults
		if !errors.As(err, &faults) || faults.For(field) == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
	same(t, "swimmer untouched", must(s.Swimmer(ctx, e.Swimmer.ID))(t), e.Swimmer)
}
