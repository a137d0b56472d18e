package storetest

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

// eraseAll erases a swimmer as the use case does.
func eraseAll(t *testing.T, s *store.Store, swimmerID string, opt store.EraseOptions) {
	t.Helper()
	ok(t, s.EraseSwimmer(t.Context(), swimmerID, opt))
	ok(t, s.Scrub(t.Context()))
	if now := must(s.ErasingNow(t.Context()))(t); now != nil {
		t.Errorf("still under way: %+v", now)
	}
}

// eraseLife: no byte of a life is left in any file, another one is as it was.
func eraseLife(t *testing.T, open OpenAt) {
	s, gone, stays := lived(t, open)
	was := stays.Standing(t, s)
	if n := len(Holding(t, s.Dir(), gone.Words...)); n < 10 {
		t.Fatalf("the search finds only %d places before erasing", n)
	}
	eraseAll(t, s, gone.Swimmer.ID, store.EraseOptions{})
	if found := Holding(t, s.Dir(), gone.Words...); len(found) > 0 {
		t.Errorf("there is still %q", found)
	}
	if now := stays.Standing(t, s); !bytes.Equal(was, now) {
		t.Errorf("the other life changed:\n%s\n%s", was, now)
	}
	for _, err := range []error{
		second(s.Swimmer(t.Context(), gone.Swimmer.ID)), second(s.Visit(t.Context(), gone.Visits[0].ID)),
		second(s.Clip(t.Context(), gone.Clips[0].ID)), second(s.Run(t.Context(), gone.Runs[0].ID)),
	} {
		notFound(t, err)
	}
	ok(t, s.Close())
	if found := Holding(t, s.Dir(), gone.Words...); len(found) > 0 {
		t.Errorf("after closing there is still %q", found)
	}
}

// eraseShared: the film in which another swims stays, as that one's, under a name that says
// nothing; so does the visit.
func eraseShared(t *testing.T, open OpenAt) {
	s, gone, stays := lived(t, open)
	gone.Share(t, s, stays)
	own := func(l Life) any { return must(s.RunWhole(t.Context(), l.Runs[0].ID))(t) }
	was := own(stays)
	eraseAll(t, s, gone.Swimmer.ID, store.EraseOptions{})
	c := must(s.Clip(t.Context(), gone.Clips[0].ID))(t)
	if c.SwimmerID != stays.Swimmer.ID || c.Name != "clip "+c.Hash[:8] {
		t.Errorf("the shared clip is %+v", c)
	}
	if _, err := os.Stat(s.ClipPath(c)); err != nil {
		t.Error(err)
	}
	must(s.Visit(t.Context(), gone.Visits[0].ID))(t)
	same(t, "the other's run", own(stays), was)
	if runs := must(s.RunsOfClip(t.Context(), stays.Clips[0].ID))(t); slices.ContainsFunc(runs, func(r record.Run) bool { return r.SwimmerID != stays.Swimmer.ID }) {
		t.Errorf("the other's clip has still %+v", runs)
	}
	kept := []string{gone.Words[0], gone.Clips[0].ID, gone.Clips[0].Hash, gone.Visits[0].ID} // the film, its clip and its visit are the other's now
	var words []string
	for _, w := range gone.Words {
		if !slices.Contains(kept, w) {
			words = append(words, w)
		}
	}
	if found := Holding(t, s.Dir(), append(words, gone.Swimmer.Name, gone.Swimmer.Pseudonym)...); len(found) > 0 {
		t.Errorf("there is still %q", found)
	}
}

// eraseCutOff: a process that ends between the rows and the files leaves a note of what is
// still to go, and the next start can go on.
func eraseCutOff(t *testing.T, open OpenAt) {
	s, gone, _ := lived(t, open)
	ok(t, s.EraseSwimmer(t.Context(), gone.Swimmer.ID, store.EraseOptions{}))
	ok(t, s.Close())
	s = open(t, s.Dir(), store.Options{Existing: true})
	now := must(s.ErasingNow(t.Context()))(t)
	if now == nil {
		t.Fatal("the note is gone")
	}
	for _, id := range []string{gone.Swimmer.ID, gone.Clips[0].ID, gone.Clips[1].ID, gone.Runs[0].ID, gone.Runs[3].ID} {
		if !slices.Contains(now.IDs, id) {
			t.Errorf("the note lacks %s: %+v", id, now)
		}
	}
	for _, c := range gone.Clips {
		if !slices.Contains(now.Hashes, c.Hash) {
			t.Errorf("the note lacks %s: %+v", c.Hash, now)
		}
	}
	notFound(t, second(s.Swimmer(t.Context(), gone.Swimmer.ID)))
	// Work on everything that was under way has stumbled over what is gone.
	j := must(s.AddJob(t.Context(), record.Job{Kind: "renew", Args: []byte(`{}`)}))(t)
	ok(t, s.EndJob(t.Context(), j.ID, record.Failed, nil, "result of run "+gone.Runs[0].ID+": cannot be read"))
	other := must(s.AddJob(t.Context(), record.Job{Kind: "renew", Args: []byte(`{}`)}))(t)
	ok(t, s.Scrub(t.Context()))
	notFound(t, second(s.Job(t.Context(), j.ID)))
	must(s.Job(t.Context(), other.ID))(t)
	if found := Holding(t, s.Dir(), gone.Words...); len(found) > 0 {
		t.Errorf("there is still %q", found)
	}
}

// eraseTwo: a second erasure before the files are clear takes the rest of the first along.
func eraseTwo(t *testing.T, open OpenAt) {
	s, a, b := lived(t, open)
	ok(t, s.EraseSwimmer(t.Context(), a.Swimmer.ID, store.EraseOptions{}))
	ok(t, s.EraseSwimmer(t.Context(), b.Swimmer.ID, store.EraseOptions{}))
	now := must(s.ErasingNow(t.Context()))(t)
	for _, l := range []Life{a, b} {
		if !slices.Contains(now.IDs, l.Swimmer.ID) || !slices.Contains(now.Hashes, l.Clips[1].Hash) {
			t.Errorf("the note lacks one: %+v", now)
		}
	}
	ok(t, s.Scrub(t.Context()))
	if found := Holding(t, s.Dir(), append(a.Words, b.Words...)...); len(found) > 0 {
		t.Errorf("there is still %q", found)
	}
}

// eraseCopies: of the copies made before upgrades those that hold the swimmer go, unless they
// are kept; what cannot be read counts as one that does.
func eraseCopies(t *testing.T, open OpenAt) {
	for _, keep := range []bool{false, true} {
		s := open(t, filepath.Join(t.TempDir(), "data"), store.Options{Now: Clock()})
		squad := must(s.AddSquad(t.Context(), record.Squad{Name: "Lake Lane"}))(t)
		folder := filepath.Join(s.Dir(), "backups")
		ok(t, os.MkdirAll(folder, 0o700))
		ok(t, s.CopyDatabase(t.Context(), filepath.Join(folder, "underkick-schema5-a.db")))
		l := Live(t, s, squad, "Quillgone")
		ok(t, s.CopyDatabase(t.Context(), filepath.Join(folder, "underkick-schema6-b.db")))
		ok(t, os.WriteFile(filepath.Join(folder, "underkick-schema7-c.db"), []byte("Quillgone"), 0o600))
		ok(t, os.WriteFile(filepath.Join(folder, "mine.txt"), []byte("mine"), 0o600))
		holds := map[string]bool{}
		for _, c := range must(s.Copies(t.Context(), l.Swimmer.ID))(t) {
			holds[c.Name] = c.Holds
		}
		same(t, "which hold the swimmer", holds, map[string]bool{"underkick-schema5-a.db": false, "underkick-schema6-b.db": true, "underkick-schema7-c.db": true})
		eraseAll(t, s, l.Swimmer.ID, store.EraseOptions{KeepCopies: keep})
		var left []string
		for _, e := range must(os.ReadDir(folder))(t) {
			left = append(left, e.Name())
		}
		want := []string{"mine.txt", "underkick-schema5-a.db"}
		if keep {
			want = append(want, "underkick-schema6-b.db", "underkick-schema7-c.db")
		}
		same(t, "what is left", left, want)
	}
}

func eraseNobody(t *testing.T, open OpenAt) {
	s, _, stays := lived(t, open)
	was := stays.Standing(t, s)
	notFound(t, s.EraseSwimmer(t.Context(), "nothing", store.EraseOptions{}))
	if now := must(s.ErasingNow(t.Context()))(t); now != nil {
		t.Errorf("under way: %+v", now)
	}
	ok(t, s.Scrub(t.Context())) // nothing to clear
	if now := stays.Standing(t, s); !bytes.Equal(was, now) {
		t.Errorf("changed:\n%s\n%s", was, now)
	}
}

// workOnASwimmer: only work that waits or runs and names the swimmer, a clip or a run.
func workOnASwimmer(t *testing.T, open OpenAt) {
	s, gone, stays := lived(t, open)
	ctx := t.Context()
	waits := must(s.AddJob(ctx, record.Job{Kind: "worth", Subject: gone.Runs[1].ID, Args: []byte(`{}`)}))(t)
	inside := must(s.AddJob(ctx, record.Job{Kind: "compare", Args: []byte(`{"clips":["` + gone.Clips[1].ID + `"]}`)}))(t)
	must(s.AddJob(ctx, record.Job{Kind: "worth", Subject: stays.Runs[1].ID, Args: []byte(`{}`)}))(t)
	var ids []string
	for _, j := range must(s.JobsNaming(ctx, gone.Swimmer.ID))(t) {
		ids = append(ids, j.ID)
	}
	same(t, "work on the swimmer", ids, []string{waits.ID, inside.ID})
	if list := must(s.JobsNaming(ctx, stays.Swimmer.ID))(t); len(list) != 1 {
		t.Errorf("work on the other: %+v", list)
	}
	_, err := s.JobsNaming(ctx, "nothing")
	if !errors.Is(err, store.ErrNotFound) {
		t.Errorf("of nobody: %v", err)
	}
}

// mentions: where the name stands in words about others; the swimmer's own do not count.
func mentions(t *testing.T, open OpenAt) {
	s, gone, stays := lived(t, open)
	ctx := t.Context()
	if list := must(s.Mentions(ctx, gone.Swimmer.ID))(t); len(list) != 0 {
		t.Errorf("before anything was said: %+v", list)
	}
	w := must(s.Swimmer(ctx, stays.Swimmer.ID))(t)
	w.Notes = "swims beside QUILLGONE holm"
	ok(t, s.UpdateSwimmer(ctx, w))
	squad := gone.Squad
	squad.Notes = "Quillgone Holm on Tuesdays"
	ok(t, s.UpdateSquad(ctx, squad))
	run := must(s.Run(ctx, stays.Runs[0].ID))(t)
	run.Notes = "after Quillgone Holm"
	ok(t, s.UpdateRun(ctx, run))
	same(t, "mentions", must(s.Mentions(ctx, gone.Swimmer.ID))(t), []store.Mention{
		{Of: store.RunNotes, ID: run.ID}, {Of: store.SquadNotes, ID: squad.ID}, {Of: store.SwimmerNotes, ID: w.ID},
	})
}
