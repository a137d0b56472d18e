package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/poolside"
)

func TestGuessSaysWhatIsMissing(t *testing.T) {
	clip, _, _, _ := demoFiles(t, "joren-october-2")
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"guess"}, 2, "give one clip"},
		{[]string{"guess", clip}, 2, "--fingertip"},
		{[]string{"guess", clip, "--fingertip", "900,300"}, 2, "--toe"},
		{[]string{"guess", clip, "--fingertip", "900", "--toe", "300,300"}, 2, "X,Y"},
		{[]string{"guess", clip, "--fingertip", "900,300", "--toe", "300,300", "--from", "20", "--to", "10"}, 2, "--from"},
		{[]string{"guess", clip, "--fingertip", "900,300", "--toe", "300,300", "--from", "9000"}, 3, "has the frames"},
		{[]string{"guess", clip, "--fingertip", "900,300", "--toe", "300,300", "--to", "50", "--at", "60"}, 3, "not among"},
		{[]string{"guess", clip, "--fingertip", "900,300", "--toe", "905,300"}, 3, "px apart"},
	} {
		code, _, errOut := underkick(t, c.args...)
		if code != c.code || !strings.Contains(errOut, c.says) {
			t.Errorf("%v: exit %d, want %d and %q in\n%s", c.args, code, c.code, c.says, errOut)
		}
	}
}

// TestGuessWritesTraces runs the command on a few frames as a person would.
func TestGuessWritesTraces(t *testing.T) {
	if testing.Short() {
		t.Skip("takes 10 s of computing")
	}
	clip, marks, _, truth := demoFiles(t, "joren-october-2")
	const from, to, at = 60, 73, 66
	tip, toe := truth.Landmarks["fingertip"][at], truth.Landmarks["toe"][at]
	table := filepath.Join(t.TempDir(), "guess.csv")
	// What an earlier run of the tests saw would be taken for this one's.
	if err := os.RemoveAll(filepath.Join(os.TempDir(), "underkick-test-data", "cache", "guess")); err != nil {
		t.Fatal(err)
	}
	args := []string{
		"guess", clip, "--from", fmt.Sprint(from), "--to", fmt.Sprint(to), "--at", fmt.Sprint(at),
		"--fingertip", fmt.Sprintf("%.0f,%.0f", tip[0], tip[1]), "--toe", fmt.Sprintf("%.0f,%.0f", toe[0], toe[1]), "--traces-out", table,
	}
	code, out, errOut := underkick(t, args...)
	if code != 0 || !strings.Contains(out, "standard error") || !strings.Contains(errOut, "100 %") {
		t.Fatalf("exit %d\n%s%s", code, out, errOut)
	}
	text, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	const landmarks = 10
	if lines := strings.Count(string(text), "\n"); lines != 1+landmarks*(to-from+1) || !strings.HasPrefix(string(text), "frame,time_s,landmark,x_px,y_px,sd_px\n60,") {
		t.Errorf("%d lines, beginning %.80q", lines, text)
	}
	code, out, errOut = underkick(t, append(args, "--marks", marks, "--json")...)
	var facts guessFacts
	if err := json.Unmarshal([]byte(out), &facts); code != 0 || err != nil {
		t.Fatalf("exit %d, %v\n%s%s", code, err, out, errOut)
	}
	if facts.FromFrame != from || facts.ToFrame != to || facts.LookedAt < 10 || facts.MarkedFrames == 0 || len(facts.SDPx) != landmarks {
		t.Errorf("told %+v", facts)
	}
	if strings.Contains(errOut, "looking") {
		t.Errorf("the second call looked again:\n%s", errOut)
	}
	measuresAboutAGuess(t, append([]string{"measure"}, args[1:len(args)-2]...), marks)
}

// measuresAboutAGuess measures the frames of a guess: fewer than a kick, so that nothing
// is counted; unmarked, and put right by marks.
func measuresAboutAGuess(t *testing.T, args []string, marks string) {
	t.Helper()
	args = append(args, "--guess", "--metres-per-px", "0.0047", "--height", "1.80")
	code, out, errOut := underkick(t, args...)
	t.Logf("exit %d\n%s%s", code, out, errOut)
	if code != 0 || !strings.Contains(out, poolside.Unmarked) || strings.Contains(errOut, "looking") {
		t.Errorf("unmarked: exit %d\n%s%s", code, out, errOut)
	}
	code, out, errOut = underkick(t, append(args, "--marks", marks)...)
	if code != 0 || strings.Contains(out, poolside.Unmarked) {
		t.Errorf("marked: exit %d\n%s%s", code, out, errOut)
	}
}

func TestMeasureSaysWhatAGuessNeeds(t *testing.T) {
	clip, _, _, _ := demoFiles(t, "joren-october-2")
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{clip, "--guess"}, 2, "--fingertip"},
		{[]string{clip, "--fingertip", "900,300"}, 2, "go with --guess"},
		{[]string{"--guess", "--traces", "t.csv", "--fingertip", "900,300", "--toe", "300,300"}, 2, "needs the film"},
		{[]string{clip, "--guess", "--fingertip", "900,300", "--toe", "300,300", "--from", "9000"}, 3, "has the frames"},
		{[]string{clip, "--guess", "--fingertip", "900,300", "--toe", "905,300"}, 3, "px apart"},
		{[]string{clip, "--guess", "--fingertip", "900,300", "--toe", "300,300", "--marks", "/nomarks.json"}, 3, "there is no file"},
	} {
		code, _, errOut := underkick(t, append(append([]string{"measure"}, c.args...), "--height", "1.80")...)
		if code != c.code || !strings.Contains(errOut, c.says) {
			t.Errorf("%v: exit %d, want %d and %q in\n%s", c.args, code, c.code, c.says, errOut)
		}
	}
}
