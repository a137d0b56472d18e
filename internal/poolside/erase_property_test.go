package poolside

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store/exported"
	"underkick/internal/store/storetest"
)

// notTyped are the exported fields whose texts nobody types: ids, hashes, words from a list.
var notTyped = []string{
	"id", "squad", "swimmer", "visit", "clip", "run", "run_a", "run_b", "against", "remark", "pair", "result", "plan", "lesson", "drill", "given", "goal",
	"sha256", "file", "sex", "level", "strokes", "habit", "given_as", "effort", "start", "position", "contact", "scale_kind", "scale", "act", "landmark",
	"engine", "method", "measure", "unit", "kind", "copy_of", "chosen", "amount", "sense",
}

// ofTheSquad are the tables that hold nothing of one swimmer.
var ofTheSquad = []string{"squads", "drills", "drill_versions"}

// TestErasingLeavesNoByte is the property: whatever lives stood in a data folder, and in
// whatever order they were written, after one is erased no file holds anything of it, and
// what is exported of the others is byte for byte as it was.
func TestErasingLeavesNoByte(t *testing.T) {
	rounds := 12
	if testing.Short() {
		rounds = 2
	}
	typed := map[string]bool{}
	for seed := range rounds {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) { erasesOne(t, rand.New(rand.NewPCG(uint64(seed), 7)), typed) })
	}
	if testing.Short() {
		return
	}
	for _, x := range exported.Tables() {
		for _, f := range x.Fields {
			text := f.Type == "string" || f.Type == "object" || f.Type == "array"
			if text && !typed[x.Name+"."+f.Name] && !slices.Contains(notTyped, f.Name) && !slices.Contains(ofTheSquad, x.Name) {
				t.Errorf("%s.%s never held a text of the swimmer who was erased; give it one in storetest.RandomLife", x.Name, f.Name)
			}
		}
	}
}

func erasesOne(t *testing.T, rng *rand.Rand, typed map[string]bool) {
	dir := filepath.Join(t.TempDir(), "data")
	app, err := Open(t.Context(), Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	lives := someLives(t, app, rng)
	gone := rng.IntN(len(lives))
	l := lives[gone]
	lives = slices.Delete(lives, gone, gone+1)
	swimsElsewhere(t, app, rng, &l, lives)
	cached(t, app.store.CacheDir(), l, lives)
	if err := app.Close(); err != nil { // a start writes down what it finds
		t.Fatal(err)
	}
	if app, err = Open(t.Context(), Options{DataDir: dir}); err != nil {
		t.Fatal(err)
	}
	if err := app.noticeMarkers(t.Context()); err != nil { // as every list does
		t.Fatal(err)
	}
	if len(storetest.Holding(t, dir, l.Words...)) == 0 {
		t.Fatal("the search finds nothing before erasing")
	}
	noteTyped(t, app, l, typed)
	was, lessons := exportsOf(t, app, lives), lessonsWithout(t, app, l)
	if _, err := app.EraseSwimmer(t.Context(), EraseRequest{SwimmerID: l.Swimmer.ID}); err != nil {
		t.Fatal(err)
	}
	check := func(when string) {
		t.Helper()
		if found := storetest.Holding(t, dir, l.Words...); len(found) > 0 {
			t.Errorf("%s there is still %s", when, strings.Join(found, "; "))
		}
	}
	check("while it runs")
	now := lessonsWithout(t, app, l)
	for id, was := range lessons {
		if now[id] != was {
			t.Errorf("another's lesson changed:\n%s\n%s", was, now[id])
		}
	}
	for name, now := range exportsOf(t, app, lives) {
		if !bytes.Equal(now, was[name]) {
			t.Errorf("%s changed:\n%s\n%s", name, was[name], now)
		}
		delete(was, name)
	}
	if len(was) > 0 {
		t.Errorf("no more in the export: %d files", len(was))
	}
	for _, again := range []string{"after it ended", "after another start"} {
		if err := app.Close(); err != nil {
			t.Fatal(err)
		}
		check(again)
		if app, err = Open(t.Context(), Options{DataDir: dir}); err != nil {
			t.Fatal(err)
		}
	}
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
}

// someLives writes two to four lives into one or two squads; some move to another squad.
func someLives(t *testing.T, app *App, rng *rand.Rand) []storetest.Life {
	t.Helper()
	var squads []record.Squad
	for i := range 2 {
		q, err := app.store.AddSquad(t.Context(), record.Squad{Name: fmt.Sprint("Squad ", i)})
		if err != nil {
			t.Fatal(err)
		}
		squads = append(squads, q)
	}
	var lives []storetest.Life
	for i := range 2 + rng.IntN(3) {
		tag := fmt.Sprintf("Quill%c%dx", 'a'+i, 1e5+rng.IntN(9e5))
		if i == 0 {
			lives = append(lives, storetest.Live(t, app.store.Store, squads[0], tag))
			continue
		}
		lives = append(lives, storetest.RandomLife(t, app.store.Store, squads[rng.IntN(2)], rng, tag))
	}
	for i := range lives {
		w, err := app.store.Store.Swimmer(t.Context(), lives[i].Swimmer.ID)
		if err != nil {
			t.Fatal(err)
		}
		if rng.IntN(2) == 0 {
			w.SquadID = squads[rng.IntN(2)].ID
		}
		if err := app.store.UpdateSwimmer(t.Context(), w); err != nil {
			t.Fatal(err)
		}
	}
	return lives
}

// swimsElsewhere gives the swimmer of a life runs in clips of others.
func swimsElsewhere(t *testing.T, app *App, rng *rand.Rand, l *storetest.Life, others []storetest.Life) {
	t.Helper()
	for _, o := range others {
		for _, c := range o.Clips {
			if rng.IntN(3) > 0 {
				continue
			}
			r, err := app.store.AddRun(t.Context(), record.Run{ClipID: c.ID, SwimmerID: l.Swimmer.ID, FromFrame: 100, ToFrame: 110, Notes: l.Words[0] + " elsewhere"})
			if err != nil {
				t.Fatal(err)
			}
			l.Runs, l.Words = append(l.Runs, r), append(l.Words, r.ID)
		}
	}
}

// cached writes what the program keeps of a life's films and runs, under the names it gives
// such files, some beside those of others.
func cached(t *testing.T, cache string, l storetest.Life, others []storetest.Life) {
	t.Helper()
	for _, c := range l.Clips {
		writeFileAt(t, filepath.Join(cache, "guess", c.Hash, "seen.json"), l.Words[0]+" guess")
		writeFileAt(t, filepath.Join(cache, "pictures", c.Hash, "1.jpg"), l.Words[0]+" picture")
	}
	for _, r := range l.Runs {
		writeFileAt(t, filepath.Join(cache, "made", r.ID, "slow.mp4"), l.Words[0]+" made")
		for _, o := range others {
			if len(o.Runs) > 0 {
				writeFileAt(t, filepath.Join(cache, "made", o.Runs[0].ID+"_"+r.ID, "both.mp4"), l.Words[0]+" beside another")
			}
		}
	}
}

// noteTyped notes the exported fields in which a text of the life stands.
func noteTyped(t *testing.T, app *App, l storetest.Life, typed map[string]bool) {
	t.Helper()
	scope, err := app.exportScope(t.Context(), ExportRequest{})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range exported.Tables() {
		err := app.store.ExportRows(t.Context(), x, scope, func(cells []any) error {
			for i, f := range x.Fields {
				switch c := cells[i].(type) {
				case string:
					typed[x.Name+"."+f.Name] = typed[x.Name+"."+f.Name] || strings.Contains(c, l.Words[0])
				case json.RawMessage:
					typed[x.Name+"."+f.Name] = typed[x.Name+"."+f.Name] || bytes.Contains(c, []byte(l.Words[0]))
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

// madeAt is the one thing in which two exports of the same differ.
var madeAt = regexp.MustCompile(`"created": "[^"]*",\n  "textGuard"`)

// exportsOf exports every life with its films and returns the files by name.
func exportsOf(t *testing.T, app *App, lives []storetest.Life) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	for i, l := range lives {
		dir := filepath.Join(t.TempDir(), "out")
		if _, err := app.Export(t.Context(), dir, ExportRequest{SwimmerID: l.Swimmer.ID}); err != nil {
			t.Fatal(err)
		}
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			text, err := os.ReadFile(filepath.Join(dir, e.Name()))
			if err != nil {
				t.Fatal(err)
			}
			files[fmt.Sprint(i, " ", e.Name())] = madeAt.ReplaceAll(text, nil)
		}
		for _, c := range l.Clips {
			film, err := os.ReadFile(app.store.ClipPath(c))
			if err != nil {
				t.Fatal(err)
			}
			files[fmt.Sprint(i, " ", c.File)] = film
		}
	}
	return files
}

// lessonsWithout are the lessons in which nothing of a life stands, as JSON, by id.
func lessonsWithout(t *testing.T, app *App, l storetest.Life) map[string]string {
	t.Helper()
	list := map[string]string{}
	squads, err := app.store.Squads(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range squads {
		lessons, err := app.store.Store.Lessons(t.Context(), q.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range lessons {
			text, err := json.Marshal(x)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Contains(text, []byte(l.Words[0])) {
				list[x.ID] = string(text)
			}
		}
	}
	return list
}
