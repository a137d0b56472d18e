package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"underkick/internal/record"
)

func TestLessonsFromTheCommandLine(t *testing.T) {
	data, _ := squadFolder(t)
	does := func(want int, args ...string) (out, errOut string) {
		t.Helper()
		code, out, errOut := underkick(t, append(args, "--data", data)...)
		if code != want {
			t.Fatalf("%v: code %d, want %d: %s%s", args, code, want, out, errOut)
		}
		return out, errOut
	}
	out, _ := does(exitOK, "lesson", "--new", "facing", "--title", "Look at the foot", "--paper", "letter")
	id := strings.TrimSpace(out)
	if out, _ = does(exitOK, "lesson"); !strings.Contains(out, id) || !strings.Contains(out, "Look at the foot") {
		t.Errorf("the list: %s", out)
	}
	if out, _ = does(exitOK, "lesson", id); !strings.Contains(out, "Look at the foot") || !strings.Contains(out, "BEFORE ANY KICKING UNDER WATER.") || !strings.Contains(out, "blackout") {
		t.Errorf("what stands on it: %s", out)
	}
	out, _ = does(exitOK, "lesson", id, "--json")
	var body record.LessonBody
	if err := json.Unmarshal([]byte(out), &body); err != nil || body.Paper != record.Letter || body.Audience != record.InSquad {
		t.Errorf("%v: %s", err, out)
	}
	copied, _ := does(exitOK, "lesson", id, "--duplicate")
	if out, _ = does(exitOK, "lesson", strings.TrimSpace(copied)); !strings.Contains(out, "Look at the foot, copy") {
		t.Errorf("the copy: %s", out)
	}
	does(exitOK, "lesson", id, "--remove")
	if out, _ = does(exitOK, "lesson"); !strings.Contains(out, "(removed)") {
		t.Errorf("the list after removing: %s", out)
	}
	does(exitOK, "lesson", id, "--put-back")
	does(exitUsage, "lesson", id, "--put-back")
	file := filepath.Join(t.TempDir(), "l.html")
	does(exitOK, "lesson", id, "--html", file)
	text, err := os.ReadFile(file)
	if err != nil || !strings.Contains(string(text), "size: letter") || regexp.MustCompile(`(src|href)=.?(https?:)?//`).Match(text) {
		t.Errorf("%v; the file holds: %.300s", err, text)
	}
	t.Setenv("UNDERKICK_BROWSER", "/nowhere/browser")
	if _, errOut := does(exitExternal, "lesson", id, "--pdf", file+".pdf"); !strings.Contains(errOut, "/nowhere/browser") {
		t.Errorf("no browser: %s", errOut)
	}
	if _, err := os.Stat(file + ".pdf"); err == nil {
		t.Error("a PDF without a browser")
	}
}

func TestLessonAndSheetRefuse(t *testing.T) {
	data, _ := squadFolder(t)
	for _, c := range []struct {
		want int
		args []string
		says string
	}{
		{exitUsage, []string{"lesson", "a", "b"}, "one lesson's ID"},
		{exitUsage, []string{"lesson", "--duplicate"}, "needs the lesson's ID"},
		{exitUsage, []string{"lesson", "a", "--run", "r"}, "--run goes with --new"},
		{exitUsage, []string{"lesson", "a", "--duplicate", "--remove"}, "one thing at a time"},
		{exitUsage, []string{"lesson", "a", "--pdf", "-"}, "--pdf needs a file"},
		{exitUsage, []string{"lesson", "--new", "nothing"}, "choose one of facing, sweep"},
		{exitUsage, []string{"lesson", "--new", "before-and-after"}, "2 or more"},
		{exitInput, []string{"lesson", "--new", "facing", "--run", "zz"}, "There is no run"},
		{exitInput, []string{"lesson", "zz"}, "there is no lesson zz"},
		{exitInput, []string{"lesson", "zz", "--remove"}, "there is no lesson zz"},
		{exitUsage, []string{"sheet"}, "needs the id of one run"},
		{exitUsage, []string{"sheet", "a", "--paper", "A5"}, "A4 or letter"},
		{exitInput, []string{"sheet", "zz"}, "there is no run zz"},
	} {
		code, out, errOut := underkick(t, append(c.args, "--data", data)...)
		if code != c.want || !strings.Contains(errOut, c.says) {
			t.Errorf("%v: code %d, want %d: %s%s", c.args, code, c.want, out, errOut)
		}
	}
}
