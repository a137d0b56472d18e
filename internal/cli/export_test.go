package cli

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/exported/exportedtest"
	"underkick/internal/store/storetest"
)

// livesFolder makes a data folder with two swimmers of one squad who swim in each other's
// clips, and one of another squad.
func livesFolder(t *testing.T) (dir string, mira, jonas, ada storetest.Life) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "data")
	s, err := store.Open(t.Context(), dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var squads []record.Squad
	for _, name := range []string{"Lake Lane", "Bay Club"} {
		q, err := s.AddSquad(t.Context(), record.Squad{Name: name})
		if err != nil {
			t.Fatal(err)
		}
		squads = append(squads, q)
	}
	mira = storetest.Live(t, s, squads[0], "Miraquill")
	jonas = storetest.Live(t, s, squads[0], "Jonasquill")
	ada = storetest.Live(t, s, squads[1], "Adaquill")
	mira.Share(t, s, jonas)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return dir, mira, jonas, ada
}

func TestExport(t *testing.T) {
	data, mira, jonas, ada := livesFolder(t)
	out := t.TempDir()
	for _, c := range []struct {
		name  string
		args  []string
		says  []string // on standard output
		notes int      // films left out, on standard error
		who   []storetest.Life
		films int
	}{
		{"everybody", []string{"--squad"}, []string{"3 swimmers."}, 0, []storetest.Life{mira, jonas, ada}, 0},
		{"everybody-films", []string{"--squad", "--films"}, []string{"3 swimmers and 6 films."}, 0, []storetest.Life{mira, jonas, ada}, 6},
		{"squad-name", []string{"--squad=Bay Club"}, []string{"1 swimmer."}, 0, []storetest.Life{ada}, 0},
		{"squad-id-films", []string{"--squad=" + mira.Squad.ID, "--films"}, []string{"2 swimmers and 4 films."}, 0, []storetest.Life{mira, jonas}, 4},
		{"swimmer-films", []string{"--swimmer", mira.Swimmer.Name, "--films"}, []string{"1 swimmer and 1 film."}, 2, []storetest.Life{mira}, 1},
		{"swimmer-id", []string{"--swimmer", ada.Swimmer.ID}, []string{"1 swimmer."}, 0, []storetest.Life{ada}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(out, c.name)
			code, said, errOut := underkick(t, append([]string{"export", dir, "--data", data}, c.args...)...)
			if code != exitOK || strings.Count(errOut, "was left out: it also shows a swimmer who is not in this export") != c.notes {
				t.Fatalf("code %d, %s%s", code, said, errOut)
			}
			for _, must := range append(c.says, dir, "as safe as the films") {
				if !strings.Contains(said, must) {
					t.Errorf("%q is not said: %s", must, said)
				}
			}
			p := exportedtest.Check(t, dir)
			var got, want []string
			for _, row := range p.Rows["swimmers"] {
				got = append(got, row["id"])
			}
			for _, l := range c.who {
				want = append(want, l.Swimmer.ID)
			}
			slices.Sort(got)
			slices.Sort(want)
			films, err := filepath.Glob(filepath.Join(dir, "films", "*"))
			if err != nil || !slices.Equal(got, want) || len(films) != c.films {
				t.Errorf("swimmers %v, want %v; films %v, %v", got, want, films, err)
			}
		})
	}
}

func TestExportRefuses(t *testing.T) {
	data, mira, _, _ := livesFolder(t)
	home := t.TempDir()
	fresh, full := filepath.Join(home, "fresh"), filepath.Join(home, "full")
	if err := os.Mkdir(full, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(full, "mine.txt"), []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"--squad"}, exitUsage, "give one folder DIR"},
		{[]string{fresh}, exitUsage, "either --swimmer or --squad"},
		{[]string{fresh, "--squad", "--swimmer", mira.Swimmer.Name}, exitUsage, "either --swimmer or --squad"},
		{[]string{fresh, "--swimmer", ""}, exitUsage, "either --swimmer or --squad"},
		{[]string{fresh, "--squad="}, exitUsage, "name a squad after ="},
		{[]string{"--squad", "Lake Lane", fresh}, exitUsage, "give one folder DIR"}, // = is missing
		{[]string{fresh, "--squad", "--film"}, exitUsage, "-film"},
		{[]string{fresh, "--squad=Sea Club"}, exitInput, `there is no squad "Sea Club"`},
		{[]string{fresh, "--squad=lake lane"}, exitInput, "write the whole name or the id"},
		{[]string{fresh, "--swimmer", "Nobody"}, exitInput, "Nobody"},
		{[]string{full, "--squad"}, exitInput, "holds something already and was left as it is"},
		{[]string{filepath.Join(full, "mine.txt"), "--squad"}, exitInput, "is no folder"},
		{[]string{filepath.Join(data, "out"), "--squad"}, exitInput, "inside the data folder"},
	} {
		code, out, errOut := underkick(t, append([]string{"export", "--data", data}, c.args...)...)
		if code != c.code || out != "" || !strings.Contains(errOut, c.says) {
			t.Errorf("%v: code %d, want %d: %s%s", c.args, code, c.code, out, errOut)
		}
	}
	left, err := filepath.Glob(filepath.Join(home, "*"))
	mine, err2 := os.ReadFile(filepath.Join(full, "mine.txt"))
	if err := errors.Join(err, err2); err != nil || len(left) != 1 || string(mine) != "mine" {
		t.Errorf("left %v, %q, %v", left, mine, err)
	}
}

// TestKeepingWhileThePagesRun: the folder is locked, and the page that can do it is named.
func TestKeepingWhileThePagesRun(t *testing.T) {
	data, mira, _, _ := livesFolder(t)
	s, err := store.Open(t.Context(), data, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"export", "--squad", filepath.Join(t.TempDir(), "out")}, {"backup", filepath.Join(t.TempDir(), "all.zip")}, {"erase", "--swimmer", mira.Swimmer.Name, "--yes"}} {
		code, out, errOut := underkick(t, append(args, "--data", data)...)
		if code != exitLocked || out != "" || !strings.Contains(errOut, "The page Keep of the running program does this") || strings.Count(errOut, data) != 1 {
			t.Errorf("%v: code %d, %s%s", args, code, out, errOut)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
}
