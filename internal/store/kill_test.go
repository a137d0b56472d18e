package store_test

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
)

// child is what the other process does until it is killed: it says on standard
// output what has been acknowledged, one line each, after the fact.
func child(what, dir string) error {
	ctx := context.Background()
	s, err := store.Open(ctx, dir, store.Options{})
	if err != nil {
		return err
	}
	fmt.Println("open")
	if what == "hold" {
		_, err := io.Copy(io.Discard, os.Stdin)
		return err
	}
	visit, swimmer, run, err := workplace(ctx, s)
	if err != nil {
		return err
	}
	rng := rand.New(rand.NewPCG(uint64(os.Getpid()), 1))
	for i := 0; ; i++ {
		h, err := s.AddStep(ctx, run, record.Set(record.PlaceMark, "", body.Mark{Frame: i, Landmark: body.Toe, X: float64(i)}, body.Mark{Frame: i, Landmark: body.Hip, X: float64(i)}))
		if err != nil {
			return err
		}
		fmt.Println("marks", h.Seq)
		if err := s.Together(ctx, func(ctx context.Context) error { // both or neither
			if err := s.SetSetting(ctx, "saved", fmt.Sprint(i)); err != nil {
				return err
			}
			return s.SetSetting(ctx, "saved too", fmt.Sprint(i))
		}); err != nil {
			return err
		}
		fmt.Println("saved", i)
		if i%3 != 0 {
			continue
		}
		film := filmOf(rng.Uint64())
		c, err := s.ImportClip(ctx, bytes.NewReader(film), "a.mp4", record.Clip{VisitID: visit, SwimmerID: swimmer})
		if err != nil {
			return err
		}
		fmt.Println("clip", c.ID)
		if i%2 == 0 {
			fmt.Println("deleting", c.ID)
			if err := s.DeleteClip(ctx, c.ID); err != nil {
				return err
			}
			fmt.Println("deleted", c.ID, c.File)
		}
	}
}

// workplace finds or makes what the child works on.
func workplace(ctx context.Context, s *store.Store) (visit, swimmer, run string, err error) {
	if run, ok, err := s.Setting(ctx, "run"); ok || err != nil {
		w, err2 := s.RunWhole(ctx, run)
		return w.Visit.ID, w.Swimmer.ID, run, firstOf(err, err2)
	}
	q, err := s.AddSquad(ctx, record.Squad{Name: "Q"})
	if err != nil {
		return "", "", "", err
	}
	w, err := s.AddSwimmer(ctx, record.Swimmer{SquadID: q.ID, Name: "W"})
	if err != nil {
		return "", "", "", err
	}
	v, err := s.AddVisit(ctx, record.Visit{SquadID: q.ID, On: "2026-01-01"})
	if err != nil {
		return "", "", "", err
	}
	c, err := s.ImportClip(ctx, strings.NewReader("first"), "a.mp4", record.Clip{VisitID: v.ID, SwimmerID: w.ID})
	if err != nil {
		return "", "", "", err
	}
	r, err := s.AddRun(ctx, record.Run{ClipID: c.ID, SwimmerID: w.ID, ToFrame: 9})
	if err != nil {
		return "", "", "", err
	}
	return v.ID, w.ID, r.ID, s.SetSetting(ctx, "run", r.ID)
}

func firstOf(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// filmOf is some hundred kilobytes that follow from n.
func filmOf(n uint64) []byte {
	rng := rand.NewChaCha8([32]byte{byte(n), byte(n >> 8), byte(n >> 16), byte(n >> 24), byte(n >> 32)})
	film := make([]byte, 100_000+n%400_000)
	_, _ = rng.Read(film) // never fails
	return film
}

// startChild runs this test binary as child on dir and returns its output once
// it has said "open".
func startChild(t *testing.T, what, dir string) (*exec.Cmd, io.WriteCloser, *bufio.Reader) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"="+what, childEnv+"_DIR="+dir)
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return cmd, in, bufio.NewReader(out)
}

// acknowledged is what the children said, over all of them.
type acknowledged struct {
	seq      int64
	saved    int             // last number saved by the last child; -1 = none
	clips    map[string]bool // ids; false = may be gone or not
	deleted  map[string]bool // ids
	goneFile map[string]bool // files of deleted clips
}

// listen takes in whole lines until the child is dead, and calls kill after
// some of them.
func (a *acknowledged) listen(out *bufio.Reader, after int, kill func()) {
	a.saved = -1
	for n := 0; ; n++ {
		if n == after {
			kill()
		}
		line, err := out.ReadString('\n')
		if err != nil {
			return // a half line was not said
		}
		f := strings.Fields(line)
		switch f[0] {
		case "open":
		case "marks":
			_, _ = fmt.Sscan(f[1], &a.seq) // it printed a number
		case "saved":
			_, _ = fmt.Sscan(f[1], &a.saved) // it printed a number
		case "clip":
			a.clips[f[1]] = true
		case "deleting":
			a.clips[f[1]] = false
		case "deleted":
			a.deleted[f[1]] = true
			a.goneFile[f[2]] = true
		}
	}
}

// Killed at any instant, the program loses nothing it had acknowledged, shows
// no half clip, and the next start clears what is left.
func TestKilledInTheMiddle(t *testing.T) {
	rounds := 60
	if testing.Short() {
		rounds = 8
	}
	dir := t.TempDir()
	rng := rand.New(rand.NewPCG(3, 9))
	said := acknowledged{clips: map[string]bool{}, deleted: map[string]bool{}, goneFile: map[string]bool{}}
	swept := 0
	for range rounds {
		cmd, _, out := startChild(t, "work", dir)
		// Counted in what it has done, so that a slow machine gets as far; then
		// at any instant of what follows. After 0 it may still be opening.
		delay := time.Duration(rng.IntN(20_000)) * time.Microsecond
		said.listen(out, rng.IntN(16), func() {
			time.AfterFunc(delay, func() { _ = cmd.Process.Kill() })
		})
		if err := cmd.Wait(); err == nil || !strings.Contains(err.Error(), "kill") && cmd.ProcessState.ExitCode() != 1 {
			t.Fatalf("the child ended by itself: %v", err)
		}
		swept += leftovers(t, dir)
		check(t, dir, &said)
		if t.Failed() {
			return
		}
	}
	kept := 0
	for _, is := range said.clips {
		if is {
			kept++
		}
	}
	t.Logf("%d kills: %d steps, %d clips and %d deletions acknowledged, %d files left over and cleared", rounds, said.seq, kept, len(said.deleted), swept)
	if said.seq < int64(rounds) || kept < rounds/4 || len(said.deleted) < rounds/4 {
		t.Error("the children got too little done for this to prove anything")
	}
}

// Killed while it makes a new folder or upgrades one of any schema there ever was, it does
// so at the next start with all that was there.
func TestKilledWhileOpening(t *testing.T) {
	rounds := 4 * len(versions)
	if testing.Short() {
		rounds = len(versions)
	}
	rng := rand.New(rand.NewPCG(5, 5))
	unopened, whole := 0, openingTakes(t)
	for i := range rounds {
		dir, fresh := t.TempDir(), i%len(versions) == len(versions)-1 // in place of the newest schema, nothing at all
		if !fresh {
			restore(t, versions[i%len(versions)], dir)
		}
		cmd, _, out := startChild(t, "hold", dir)
		time.AfterFunc(time.Duration(rng.Int64N(int64(whole)*12/10)), func() { _ = cmd.Process.Kill() })
		if _, err := out.ReadString('\n'); err != nil {
			unopened++
		}
		_ = cmd.Wait() // killed
		s, err := store.Open(t.Context(), dir, store.Options{})
		if err != nil {
			t.Fatalf("kill %d: %v", i, err)
		}
		if !fresh {
			checkFilled(t, s)
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
		if got := schema(t, filepath.Join(dir, "underkick.db")); got != schemaOf(t) {
			t.Errorf("kill %d: schema:\n%s", i, got)
		}
		if sound := texts(t, raw(t, filepath.Join(dir, "underkick.db")), `PRAGMA integrity_check`); sound[0] != "ok" {
			t.Errorf("kill %d: %v", i, sound)
		}
		if parts, err := filepath.Glob(filepath.Join(dir, "backups", "unfinished*")); err != nil || len(parts) > 0 {
			t.Errorf("kill %d: left over %v, %v", i, parts, err)
		}
	}
	t.Logf("opening takes %v; %d kills, %d of them before the folder was open", whole.Round(time.Millisecond), rounds, unopened)
}

// openingTakes is how long a child takes from its start until a folder of the oldest schema
// is open.
func openingTakes(t *testing.T) time.Duration {
	t.Helper()
	dir := t.TempDir()
	restore(t, 1, dir)
	begun := time.Now()
	cmd, in, out := startChild(t, "hold", dir)
	if line, err := out.ReadString('\n'); err != nil || line != "open\n" {
		t.Fatalf("%q, %v", line, err)
	}
	took := time.Since(begun)
	if err := in.Close(); err != nil { // the child ends
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Fatal(err)
	}
	return took
}

// leftovers counts unfinished copies before the folder is opened again.
func leftovers(t *testing.T, dir string) int {
	t.Helper()
	parts, err := filepath.Glob(filepath.Join(dir, "clips", "incoming-*"))
	if err != nil {
		t.Fatal(err)
	}
	return len(parts)
}

func check(t *testing.T, dir string, said *acknowledged) {
	t.Helper()
	ctx := t.Context()
	s, err := store.Open(ctx, dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}()
	run, ok, err := s.Setting(ctx, "run")
	if err != nil {
		t.Fatal(err)
	}
	if !ok {
		if said.seq > 0 {
			t.Fatal("everything is gone")
		}
		return // killed before there was anything
	}
	h, err := s.Marks(ctx, run)
	if err != nil {
		t.Fatal(err)
	}
	if h.Seq < said.seq {
		t.Errorf("marks up to step %d were acknowledged, the last is %d", said.seq, h.Seq)
	}
	said.seq = h.Seq
	steps, err := s.Steps(ctx, run)
	if err != nil {
		t.Fatal(err)
	}
	for i, st := range steps {
		if st.Seq != int64(i+1) || len(st.Changes) != 2 {
			t.Errorf("half a step: %+v", st)
		}
	}
	checkFilms(t, s, run, said)
	checkSaved(t, s, said)
}

// checkSaved: what was saved last is there, and what was saved in one step is there together.
func checkSaved(t *testing.T, s *store.Store, said *acknowledged) {
	t.Helper()
	one, _, err := s.Setting(t.Context(), "saved")
	two, _, err2 := s.Setting(t.Context(), "saved too")
	if one != two || firstOf(err, err2) != nil {
		t.Errorf("saved %q and %q, %v, %v", one, two, err, err2)
	}
	n := -1
	if _, err := fmt.Sscan(one, &n); said.saved >= 0 && (err != nil || n < said.saved) {
		t.Errorf("%d was saved, %q is there", said.saved, one)
	}
}

func checkFilms(t *testing.T, s *store.Store, run string, said *acknowledged) {
	t.Helper()
	w, err := s.RunWhole(t.Context(), run)
	if err != nil {
		t.Fatal(err)
	}
	visits, err := s.Filmed(t.Context(), w.Swimmer.ID)
	if err != nil {
		t.Fatal(err)
	}
	there, claimed := map[string]bool{}, map[string]bool{}
	for _, c := range visits[0].Clips {
		there[c.Clip.ID], claimed[c.Clip.File] = true, true
		film, err := os.ReadFile(s.ClipPath(c.Clip))
		if sum := sha256.Sum256(film); err != nil || hex.EncodeToString(sum[:]) != c.Clip.Hash || int64(len(film)) != c.Clip.Size {
			t.Errorf("clip %s has no whole film: %v", c.Clip.ID, err)
		}
	}
	for id, is := range said.clips {
		if is && !there[id] {
			t.Errorf("clip %s was acknowledged and is gone", id)
		}
	}
	for id := range said.deleted {
		if there[id] {
			t.Errorf("clip %s was deleted and is back", id)
		}
	}
	files, err := os.ReadDir(filepath.Join(s.Dir(), "clips"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if !claimed[f.Name()] {
			t.Errorf("file %s belongs to no clip", f.Name())
		}
	}
	for f := range said.goneFile {
		if claimed[f] {
			t.Errorf("film %s was deleted and is back", f)
		}
	}
}
