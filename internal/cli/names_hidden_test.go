package cli

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/demo/demotest"
	"underkick/internal/poolside"
	"underkick/internal/poolside/poolsidetest"
)

// knowNoNames are the commands that open no data folder, or only to take something in: they
// know no name but what is typed.
var knowNoNames = map[string]string{
	"serve": "prints addresses; TestServeOpensOnce and the crawl of the pages look at it", "passphrase": "reads a passphrase", "probe": "a film file", "measure": "files given",
	"guess": "a film file", "evaluate": "invented swimmers and files given", "worth": "files given", "film-card": "numbers given", "restore": "a backup file, before its records are read",
	"version": "nothing", "demo": "invented people, loaded anew; printed below",
}

// hiddenFolder is the demo's data folder with names written everywhere and hidden.
func hiddenFolder(t *testing.T) (data string, named poolsidetest.Named) {
	t.Helper()
	data = demotest.Copy(t, poolsidetest.LoadDemo)
	ctx := t.Context()
	app, err := poolside.Open(ctx, poolside.Options{DataDir: data})
	if err != nil {
		t.Fatal(err)
	}
	named = poolsidetest.NamesEverywhere(t, app)
	if err := app.FinishWork(ctx); err != nil && ctx.Err() != nil {
		t.Fatal(err)
	}
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
	return data, named
}

// printed runs a command and returns what it prints and writes below dir.
func printed(ctx context.Context, t *testing.T, dir string, args ...string) string {
	t.Helper()
	var out strings.Builder
	code := Run(ctx, args, strings.NewReader("no\n"), &out, &out, noPages)
	if code == exitUsage && strings.Contains(out.String(), "not defined") {
		t.Errorf("%v: %s", args, out.String())
	}
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		path := filepath.Join(dir, f.Name())
		if strings.HasSuffix(path, ".zip") {
			continue // a backup holds everything as it is
		}
		text, err := os.ReadFile(path)
		if err != nil {
			continue // a folder of pictures, whose names were printed
		}
		out.WriteString("\n" + f.Name() + "\n")
		out.Write(text)
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
	}
	return out.String()
}

// TestNoCommandTellsANameWhileHidden runs every command on a folder in which names stand
// wherever a person can write one: with names shown they are printed, with names hidden no
// output, error or written file holds one. What export writes is the one exception.
func TestNoCommandTellsANameWhileHidden(t *testing.T) {
	data, named := hiddenFolder(t)
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	who, run, other := named.Swimmers[0], named.Runs[0], named.Runs[len(named.Runs)-1]
	calls := [][]string{
		{"squad"},
		{"squad", "--json"},
		{"squad", "--name", who.Name},
		{"names"},
		{"retest", who.ID},
		{"retest", who.ID, "--json"},
		{"retest", who.ID, "--csv"},
		{"retest", who.ID, "--trends"},
		{"retest", "nobody"},
		{"consent"},
		{"consent", "--json"},
		{"consent", who.ID},
		{"consent", who.Name, "--json"},
		{"consent", "Zoe"},
		{"consent", who.ID, "--record", "--by", "Ada " + who.Name, "--as", "parent", "--for", "filming"},
		{"growth", who.Name},
		{"growth", "Tallow"},
		{"due"},
		{"due", "--json"},
		{"markers"},
		{"markers", "--json"},
		{"markers", "--csv", file("markers.csv")},
		{"compare", run, other},
		{"compare", run, other, "--json"},
		{"compare", run, other, "--csv"},
		{"compare", run, "nobody"},
		{"practice", "--run", run},
		{"practice", "--swimmer", who.Name},
		{"practice", "--swimmer", who.ID, "--json"},
		{"practice", "--session", "--squad", "Linden Quay Swimmers"},
		{"practice", "--session", "--squad", "Linden Quay Swimmers", "--json"},
		{"practice", "--due", "--squad", "Linden Quay Swimmers"},
		{"practice", "--own-list"},
		{"practice", "--serves", "sweep"},
		{"practice", "--give", "finish-in-front", "--swimmer", "Tallow"},
		{"practice", "--change", named.Given, "--weeks", "3"},
		{"practice", "--again", named.Given, "--version", "1"},
		{"practice", "--retire", named.Drill},
		{"lesson"},
		{"lesson", "--json"},
		{"lesson", named.Lesson},
		{"lesson", named.Lesson, "--json"},
		{"lesson", named.Lesson, "--html", file("lesson.html")},
		{"lesson", named.Lesson, "--html", "-"},
		{"sheet", run},
		{"sheet", run, "--html", file("sheet.html")},
		{"stills", run, "-o", file("stills"), "--html", "--layers", "none", "--moments", "set"},
		{"wall", "--squad"},
		{"wall", "--squad", "--json"},
		{"wall", "--plan", named.Plan},
		{"wall", "--plan", named.Plan, "--turn", "undo"},
		{"wall", "--plan", named.Plan, "--turn", "redo"},
		{"wall", "--swimmer", who.Name},
		{"tempo-ladder", "--ladder", "nobody"},
		{"tempo-ladder", "--swimmer", who.ID, "--run", run, "--run", other},
		{"goal", who.Name},
		{"goal", who.ID, "--json"},
		{"goal", "Tallow"},
		{"put-right", "--run", run, "--aside", "for " + who.Name},
		{"put-right", "--run", run, "--count"},
		{"put-right", "--run", run, "--swimmer", "Tallow"},
		{"put-right", "--clip", "nobody", "--swimmer", who.Name},
		{"goal", who.ID, "--measure", "speed", "--at-least", "9", "--by-day", "2027-03-01"},
		{"export-clip", "nobody", "-o", file("clip.mp4")},
		{"export", "--swimmer", "Tallow", file("x")},
		{"consent", "Swimmer 1"},
		{"demo", "--print"},
		{"backup", file("all.zip")},
		{"erase", "--swimmer", who.ID, "--list"},
		{"erase", "--swimmer", "Tallow"},
		{"erase", "--swimmer", who.Name},
	}
	for _, args := range [][]string{{"squad"}, {"consent"}, {"wall", "--squad"}, {"lesson", named.Lesson}, {"practice", "--own-list"}, {"erase", "--swimmer", who.ID, "--list"}} {
		if len(named.Told(printed(t.Context(), t, dir, append(args, "--data", data)...))) == 0 {
			t.Errorf("%v tells no name while they are shown: the test looks at nothing", args)
		}
	}
	covered := map[string]bool{}
	for _, args := range calls {
		covered[args[0]] = true
	}
	for _, c := range commands() {
		if _, exempt := knowNoNames[c.name]; !covered[c.name] && !exempt {
			t.Errorf("nothing is asked of %s while names are hidden", c.name)
		}
	}
	if code, _, errOut := underkick(t, "names", "hide", "--data", data); code != exitOK {
		t.Fatal(errOut)
	}
	for _, args := range calls {
		if found := named.Told(printed(t.Context(), t, dir, append(args, "--data", data)...)); len(found) > 0 {
			t.Errorf("%v tells %q", args, found)
		}
	}
	code, _, _ := underkick(t, "export", "--squad", file("y"), "--data", data)
	table, err := os.ReadFile(filepath.Join(file("y"), "swimmers.csv"))
	if code != exitOK || err != nil || !strings.Contains(string(table), who.Name) {
		t.Errorf("an export while names are hidden: code %d, %v, %.200s", code, err, table)
	}
}
