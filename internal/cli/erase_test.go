package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/storetest"
)

func TestErase(t *testing.T) {
	data, _ := squadFolder(t, record.Swimmer{Name: "Wilma Reed"}, record.Swimmer{Name: "Jonas Bay"})
	dir := filepath.Dir(data)
	file := filepath.Join(dir, "all.zip")
	for _, c := range []struct {
		args []string
		code int
	}{
		{[]string{"backup", file, "--data", data}, exitOK},
		{[]string{"erase", "--data", data}, exitUsage},
		{[]string{"erase", "--data", data, "--swimmer", "Nobody", "--yes"}, exitInput},
		{[]string{"erase", "--data", data, "--swimmer", "Wilma Reed"}, exitUsage}, // nothing typed
	} {
		if code, out, errOut := underkick(t, c.args...); code != c.code {
			t.Errorf("%v: code %d, want %d\n%s%s", c.args, code, c.code, out, errOut)
		}
	}
	if len(storetest.Holding(t, data, "Wilma")) == 0 {
		t.Fatal("erased without a word")
	}
	code, out, errOut := underkick(t, "erase", "--data", data, "--swimmer", "Wilma Reed", "--yes")
	if code != exitOK || !strings.Contains(out, file) {
		t.Fatalf("code %d, %s%s", code, out, errOut)
	}
	if found := storetest.Holding(t, data, "Wilma"); len(found) > 0 {
		t.Errorf("there is still %q", found)
	}
	if len(storetest.Holding(t, data, "Jonas Bay")) == 0 {
		t.Error("the other swimmer is gone")
	}
}

// types runs a command line with something typed.
func types(t *testing.T, typed string, args ...string) (code int, out, errOut string) {
	t.Helper()
	var o, e bytes.Buffer
	code = Run(t.Context(), args, strings.NewReader(typed), &o, &e, noPages)
	return code, o.String(), e.String()
}

// withCopy adds a copy of the database to a data folder, as an upgrade leaves it.
func withCopy(t *testing.T, data string) (path string) {
	t.Helper()
	path = filepath.Join(data, "backups", "underkick-schema6-2026-02-01T100000000Z.db")
	s, err := store.Open(t.Context(), data, store.Options{})
	if err == nil {
		err = os.MkdirAll(filepath.Dir(path), 0o700)
	}
	if err == nil {
		err = s.CopyDatabase(t.Context(), path)
	}
	if err == nil {
		err = s.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// TestEraseListsAndTouchesNothing: --list says all that would go and stay, and every file
// stays as it was.
func TestEraseListsAndTouchesNothing(t *testing.T) {
	data, mira, jonas, _ := livesFolder(t)
	held, file := withCopy(t, data), filepath.Join(t.TempDir(), "all.zip")
	if code, _, errOut := underkick(t, "backup", file, "--data", data); code != exitOK {
		t.Fatal(errOut)
	}
	for _, c := range []struct {
		args []string
		fate string
	}{{nil, "goes too"}, {[]string{"--keep-copies"}, "stays"}, {[]string{"--yes"}, "goes too"}} {
		code, out, errOut := underkick(t, append([]string{"erase", "--data", data, "--swimmer", mira.Swimmer.Name, "--list"}, c.args...)...)
		for _, must := range []string{
			"1 clip", "5 runs", "8 results", "1 plan,", "2 consents", "1 practice given",
			filepath.Base(held) + ", made before an upgrade, holds the swimmer and " + c.fate,
			"stays: it also shows " + jonas.Swimmer.Name, "stays as it is: " + file,
		} {
			if code != exitOK || !strings.Contains(out, must) {
				t.Errorf("%v: code %d, %q is not said: %s%s", c.args, code, must, out, errOut)
			}
		}
	}
	s, err := store.Open(t.Context(), data, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if w, err := s.Swimmer(t.Context(), mira.Swimmer.ID); err != nil || w.Name != mira.Swimmer.Name {
		t.Errorf("%+v, %v", w, err)
	}
	if _, err := os.Stat(held); err != nil {
		t.Error(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
}

// TestEraseKeepsCopiesOnDemand: with --keep-copies the copy stays and is named; the next
// erasure without it takes that copy away too.
func TestEraseKeepsCopiesOnDemand(t *testing.T) {
	data, mira, _, ada := livesFolder(t)
	held := withCopy(t, data)
	code, out, errOut := underkick(t, "erase", "--data", data, "--swimmer", ada.Swimmer.ID, "--yes", "--keep-copies")
	if code != exitOK || !strings.Contains(out, "still holds the swimmer: "+held) || !strings.Contains(errOut, "writing the database anew") {
		t.Fatalf("code %d, %s%s", code, out, errOut)
	}
	if found := storetest.Holding(t, data, "Adaquill"); len(found) != 1 || !strings.Contains(found[0], filepath.Base(held)) {
		t.Errorf("the copy alone should hold the swimmer, not %q", found)
	}
	code, out, errOut = types(t, "  "+mira.Swimmer.Name+"\n", "erase", "--data", data, "--swimmer", mira.Swimmer.Name)
	if code != exitOK || strings.Contains(out, "A copy of the database still") || !strings.Contains(out, "Type the name to go on: ") {
		t.Fatalf("code %d, %s%s", code, out, errOut)
	}
	if _, err := os.Stat(held); !os.IsNotExist(err) {
		t.Errorf("the copy that held both: %v", err)
	}
	if found := storetest.Holding(t, data, "Adaquill", "Miraquill Holm"); len(found) > 0 {
		t.Errorf("there is still %q", found)
	}
}

func TestEraseRefuses(t *testing.T) {
	data, mira, jonas, _ := livesFolder(t)
	for _, c := range []struct {
		typed string
		args  []string
		code  int
		says  string
	}{
		{"", nil, exitUsage, "give --swimmer"},
		{"", []string{mira.Swimmer.Name}, exitUsage, "give --swimmer"},
		{"", []string{"--swimmer", mira.Swimmer.Name, "--yes", "more"}, exitUsage, "give --swimmer"},
		{"", []string{"--swimmer", mira.Swimmer.Name, "--lists"}, exitUsage, "-lists"},
		{"", []string{"--swimmer", "Nobody", "--yes"}, exitInput, "Nobody"},
		{"", []string{"--swimmer", "Nobody", "--list"}, exitInput, "Nobody"},
		{"", []string{"--swimmer", "Miraquill", "--yes"}, exitInput, "Miraquill"}, // not the whole name
		{"yes\n", []string{"--swimmer", mira.Swimmer.Name}, exitUsage, "nothing was erased"},
		{jonas.Swimmer.Name + "\n", []string{"--swimmer", mira.Swimmer.Name}, exitUsage, "nothing was erased"},
		{strings.ToUpper(mira.Swimmer.Name) + "\n", []string{"--swimmer", mira.Swimmer.Name, "--keep-copies"}, exitUsage, "nothing was erased"},
	} {
		code, out, errOut := types(t, c.typed, append([]string{"erase", "--data", data}, c.args...)...)
		if code != c.code || !strings.Contains(errOut, c.says) {
			t.Errorf("%v, typed %q: code %d, want %d: %s%s", c.args, c.typed, code, c.code, out, errOut)
		}
	}
	s, err := store.Open(t.Context(), data, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range []storetest.Life{mira, jonas} {
		if w, err := s.Swimmer(t.Context(), l.Swimmer.ID); err != nil || w.Name != l.Swimmer.Name {
			t.Errorf("%+v, %v", w, err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
}
