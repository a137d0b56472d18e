package storetest

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

// OpenAt opens the store in the folder dir, making it where there is none. It is closed when
// t ends, at the latest.
type OpenAt func(t *testing.T, dir string, opt store.Options) *store.Store

// Keep runs the suite of backup, restore and erasing.
func Keep(t *testing.T, open OpenAt) {
	for _, c := range []struct {
		name string
		test func(t *testing.T, open OpenAt)
	}{
		{"backup comes back", backupComesBack},
		{"backup of one moment", backupOfOneMoment},
		{"backup to a stream", backupToAStream},
		{"backup overwrites nothing", backupOverwritesNothing},
		{"backup names missing films", backupNamesMissing},
		{"backup told and stopped", backupToldAndStopped},
		{"restore overwrites nothing", restoreOverwritesNothing},
		{"restore moves aside", restoreMovesAside},
		{"damaged backup", damagedBackup},
		{"erase", eraseLife},
		{"erase what is shared", eraseShared},
		{"erase cut off", eraseCutOff},
		{"erase two before clearing", eraseTwo},
		{"erase and copies", eraseCopies},
		{"erase nobody", eraseNobody},
		{"work on a swimmer", workOnASwimmer},
		{"mentions", mentions},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(t, open) })
	}
}

// lived opens a store with two lives in one squad; they swim in each other's first clips.
func lived(t *testing.T, open OpenAt) (s *store.Store, gone, stays Life) {
	t.Helper()
	s = open(t, filepath.Join(t.TempDir(), "data"), store.Options{Now: Clock()})
	squad := must(s.AddSquad(t.Context(), record.Squad{Name: "Lake Lane Juniors", Notes: "Tuesdays"}))(t)
	gone, stays = Live(t, s, squad, "Quillgone"), Live(t, s, squad, "Quillstays")
	return s, gone, stays
}

// brought backs a store up and restores it elsewhere.
func brought(t *testing.T, open OpenAt, file string) *store.Store {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "again")
	r := must(store.Restore(t.Context(), file, dir, store.BackupOptions{}))(t)
	if r.Aside != "" {
		t.Errorf("moved aside %q though there was nothing", r.Aside)
	}
	return open(t, dir, store.Options{Existing: true})
}

// backupComesBack: all of every life, and the films, are in it; nothing is left beside the
// file and in the data folder.
func backupComesBack(t *testing.T, open OpenAt) {
	s, a, b := lived(t, open)
	a.Share(t, s, b)
	file := filepath.Join(t.TempDir(), "all.zip")
	m := must(s.Backup(t.Context(), file, store.BackupOptions{}))(t)
	same(t, "checked", must(store.CheckBackup(t.Context(), file))(t), m)
	if len(m.Parts) != 5 || len(m.Missing) != 0 { // the database and four films
		t.Errorf("%+v", m)
	}
	again := brought(t, open, file)
	for _, l := range []Life{a, b} {
		if was, now := l.Standing(t, s), l.Standing(t, again); !bytes.Equal(was, now) {
			t.Errorf("came back changed:\n%s\n%s", was, now)
		}
	}
	for _, dir := range []string{filepath.Dir(file), filepath.Join(s.Dir(), "clips")} {
		left := must(os.ReadDir(dir))(t)
		if want := map[bool]int{true: 1, false: 4}[dir == filepath.Dir(file)]; len(left) != want {
			t.Errorf("in %s: %v", dir, left)
		}
	}
}

// backupOfOneMoment: what is written while it is made is not in it, and is not held up.
func backupOfOneMoment(t *testing.T, open OpenAt) {
	s, a, _ := lived(t, open)
	was, late := a.Standing(t, s), 0
	file := filepath.Join(t.TempDir(), "all.zip")
	must(s.Backup(t.Context(), file, store.BackupOptions{Progress: func(store.BackupProgress) {
		if late++; late > 1 {
			return
		}
		must(s.AddSquad(t.Context(), record.Squad{Name: "Late"}))(t)
		w := a.Swimmer
		w.Name = "Changed"
		ok(t, s.UpdateSwimmer(t.Context(), w))
	}}))(t)
	again := brought(t, open, file)
	if now := a.Standing(t, again); !bytes.Equal(was, now) || late == 0 {
		t.Errorf("told %d times; changed:\n%s\n%s", late, was, now)
	}
	if list := must(again.Squads(t.Context()))(t); len(list) != 1 {
		t.Errorf("squads %v", list)
	}
}

// backupToAStream: the same archive, for a browser to save.
func backupToAStream(t *testing.T, open OpenAt) {
	s, a, _ := lived(t, open)
	var text bytes.Buffer
	must(s.WriteBackup(t.Context(), &text, nil))(t)
	file := filepath.Join(t.TempDir(), "all.zip")
	ok(t, os.WriteFile(file, text.Bytes(), 0o600))
	if was, now := a.Standing(t, s), a.Standing(t, brought(t, open, file)); !bytes.Equal(was, now) {
		t.Errorf("came back changed:\n%s\n%s", was, now)
	}
	full := errors.New("the stick is full")
	if _, err := s.WriteBackup(t.Context(), brokenPipe{full}, nil); !errors.Is(err, full) {
		t.Errorf("error %v", err)
	}
}

type brokenPipe struct{ err error }

// Write implements io.Writer.
func (f brokenPipe) Write([]byte) (int, error) { return 0, f.err }

func backupOverwritesNothing(t *testing.T, open OpenAt) {
	s, _, _ := lived(t, open)
	ctx, dir := t.Context(), t.TempDir()
	file := filepath.Join(dir, "all.zip")
	ok(t, os.WriteFile(file, []byte("mine"), 0o600))
	for _, path := range []string{file, dir, filepath.Join(s.Dir(), "all.zip"), filepath.Join(s.Dir(), "clips", "all.zip")} {
		if _, err := s.Backup(ctx, path, store.BackupOptions{Replace: path != file}); !errors.Is(err, store.ErrExists) {
			t.Errorf("to %s: %v", path, err)
		}
	}
	if text := must(os.ReadFile(file))(t); string(text) != "mine" {
		t.Errorf("the file that was there holds %q", text)
	}
	must(s.Backup(ctx, file, store.BackupOptions{Replace: true}))(t)
	must(store.CheckBackup(ctx, file))(t)
	if left := must(os.ReadDir(dir))(t); len(left) != 1 {
		t.Errorf("left beside the backup: %v", left)
	}
}

// backupNamesMissing: a film that is gone or changed is named, one that was erased on purpose
// is not; the records come back in any case.
func backupNamesMissing(t *testing.T, open OpenAt) {
	s, a, b := lived(t, open)
	ctx, file := t.Context(), filepath.Join(t.TempDir(), "all.zip")
	must(s.EraseFilm(ctx, a.Clips[1].ID))(t)
	ok(t, os.Remove(s.ClipPath(a.Clips[0])))
	ok(t, os.WriteFile(s.ClipPath(b.Clips[0]), []byte("another film"), 0o600))
	m := must(s.Backup(ctx, file, store.BackupOptions{}))(t)
	want := []string{a.Clips[0].File, b.Clips[0].File}
	if len(m.Missing) != 2 || !strings.Contains(strings.Join(m.Missing, " "), want[0]) || !strings.Contains(strings.Join(m.Missing, " "), want[1]) {
		t.Errorf("missing %v, want %v", m.Missing, want)
	}
	again := brought(t, open, file)
	if w := must(again.Swimmer(ctx, a.Swimmer.ID))(t); w.Name != a.Swimmer.Name {
		t.Errorf("%+v", w)
	}
}

// backupToldAndStopped: progress goes on to the end; one that is stopped leaves nothing.
func backupToldAndStopped(t *testing.T, open OpenAt) {
	s, _, _ := lived(t, open)
	dir := t.TempDir()
	doing, done := map[string]bool{}, int64(0)
	must(s.Backup(t.Context(), filepath.Join(dir, "all.zip"), store.BackupOptions{Progress: func(p store.BackupProgress) {
		if !doing[p.Doing] {
			done = 0
		}
		doing[p.Doing] = true
		if p.Done < done || p.Done > p.Total || p.Number < 1 || p.Number > p.Parts || p.Part == "" {
			t.Errorf("told %+v after %d bytes", p, done)
		}
		done = p.Done
	}}))(t)
	if !doing["writing"] || !doing["reading back"] {
		t.Errorf("told %v", doing)
	}
	stopped, stop := context.WithCancel(t.Context())
	_, err := s.Backup(stopped, filepath.Join(dir, "stopped.zip"), store.BackupOptions{Progress: func(store.BackupProgress) { stop() }})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	if left := must(os.ReadDir(dir))(t); len(left) != 1 {
		t.Errorf("left %v", left)
	}
}

func restoreOverwritesNothing(t *testing.T, open OpenAt) {
	s, a, _ := lived(t, open)
	ctx, file := t.Context(), filepath.Join(t.TempDir(), "all.zip")
	must(s.Backup(ctx, file, store.BackupOptions{}))(t)
	was := a.Standing(t, s)
	if _, err := store.Restore(ctx, file, s.Dir(), store.BackupOptions{}); !errors.Is(err, store.ErrExists) {
		t.Errorf("over a data folder: %v", err)
	}
	if _, err := store.Restore(ctx, file, s.Dir(), store.BackupOptions{Replace: true}); !errors.Is(err, store.ErrLocked) {
		t.Errorf("over a data folder in use: %v", err)
	}
	if _, err := store.Restore(ctx, file+".no", filepath.Join(t.TempDir(), "data"), store.BackupOptions{}); !errors.Is(err, store.ErrBadBackup) {
		t.Errorf("of no file: %v", err)
	}
	if now := a.Standing(t, s); !bytes.Equal(was, now) {
		t.Errorf("changed:\n%s\n%s", was, now)
	}
}

// restoreMovesAside: a folder that is replaced keeps all it held, under another name.
func restoreMovesAside(t *testing.T, open OpenAt) {
	s, a, _ := lived(t, open)
	ctx, file := t.Context(), filepath.Join(t.TempDir(), "all.zip")
	must(s.Backup(ctx, file, store.BackupOptions{}))(t)
	was := a.Standing(t, s)
	after := must(s.AddSquad(ctx, record.Squad{Name: "After the backup"}))(t)
	ok(t, s.Close())
	r := must(store.Restore(ctx, file, s.Dir(), store.BackupOptions{Replace: true}))(t)
	if now := a.Standing(t, open(t, s.Dir(), store.Options{Existing: true})); !bytes.Equal(was, now) {
		t.Errorf("restored changed:\n%s\n%s", was, now)
	}
	aside := open(t, r.Aside, store.Options{Existing: true})
	if now := a.Standing(t, aside); !bytes.Equal(was, now) {
		t.Errorf("set aside changed:\n%s\n%s", was, now)
	}
	same(t, "what came after the backup", must(aside.Squad(ctx, after.ID))(t), after)
}

// damagedBackup turns single bytes of a backup over, all along the file, and cuts it at many
// lengths. Turned bytes that no part and no list depends on (dates in the archive's headers)
// may pass; then what comes back must be whole.
func damagedBackup(t *testing.T, open OpenAt) {
	s := open(t, filepath.Join(t.TempDir(), "data"), store.Options{Now: Clock()})
	e, ctx := Fill(t, s), t.Context()
	file, bad := filepath.Join(t.TempDir(), "all.zip"), filepath.Join(t.TempDir(), "bad.zip")
	must(s.Backup(ctx, file, store.BackupOptions{}))(t)
	good, refused := must(os.ReadFile(file))(t), 0
	try := func(text []byte) {
		t.Helper()
		ok(t, os.WriteFile(bad, text, 0o600))
		parent := t.TempDir()
		_, err := store.Restore(ctx, bad, filepath.Join(parent, "data"), store.BackupOptions{})
		if err == nil {
			again := open(t, filepath.Join(parent, "data"), store.Options{})
			same(t, "run", must(again.RunWhole(ctx, e.Run.ID))(t), must(s.RunWhole(ctx, e.Run.ID))(t))
			var film bytes.Buffer
			if ok(t, again.CopyFilm(ctx, e.Clip, &film)); film.String() != "film of Mira" {
				t.Fatalf("film %q", film.String())
			}
			return
		}
		refused++
		if !errors.Is(err, store.ErrBadBackup) || !strings.Contains(err.Error(), "nothing was changed") {
			t.Errorf("error %v", err)
		}
		if left := must(os.ReadDir(parent))(t); len(left) != 0 {
			t.Fatalf("left behind: %v", left)
		}
	}
	const tries = 40
	for i := range tries {
		text := bytes.Clone(good)
		text[i*(len(text)-1)/(tries-1)] ^= 0x5a
		try(text)
		try(good[:i*(len(good)-1)/(tries-1)])
	}
	if refused < 2*tries-8 {
		t.Errorf("only %d of %d damaged backups refused", refused, 2*tries)
	}
}
