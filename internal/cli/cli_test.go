package cli

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"math"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"underkick/internal/demo"
	"underkick/internal/demo/demotest"
	"underkick/internal/door"
	"underkick/internal/film"
	"underkick/internal/poolside"
)

func TestMain(m *testing.M) {
	if len(os.Args) > 1 && os.Args[1] == film.WorkerWord {
		os.Exit(film.WorkerMain(os.Args[2:], os.Stdin, os.Stdout, os.Stderr))
	}
	code := m.Run()
	demotest.Clear()
	os.Exit(code)
}

// underkick runs a command line as the shell does.
func underkick(t *testing.T, args ...string) (code int, out, errOut string) {
	t.Helper()
	t.Setenv("UNDERKICK_DATA", filepath.Join(os.TempDir(), "underkick-test-data")) // the embedded engine's compiled form is worth keeping
	var o, e bytes.Buffer
	code = Run(t.Context(), args, strings.NewReader(""), &o, &e, noPages)
	return code, o.String(), e.String()
}

func noPages(*poolside.App, *slog.Logger, *door.Keys, *door.LAN) (http.Handler, error) {
	return http.NotFoundHandler(), nil
}

// demoFiles writes a demo clip with its marks and plane and returns their paths.
func demoFiles(t *testing.T, name string) (clip, marks, plane string, truth demo.Truth) {
	t.Helper()
	squad, err := demo.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range squad.Clips {
		if c.Name != name {
			continue
		}
		filmBytes, err1 := c.Film()
		markBytes, err2 := c.Marks()
		truth, err = c.Truth()
		for _, e := range []error{err, err1, err2} {
			if e != nil {
				t.Fatal(e)
			}
		}
		dir := t.TempDir()
		return write(t, dir, c.File(), filmBytes), write(t, dir, "marks.json", markBytes), write(t, dir, "plane.json", truth.Plane), truth
	}
	t.Fatalf("no demo clip %s", name)
	return "", "", "", truth
}

func write(t *testing.T, dir, name string, text []byte) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestEveryCommandExplainsItself(t *testing.T) {
	for _, c := range commands() {
		for _, ask := range [][]string{{c.name, "--help"}, {c.name, "-h"}, {"help", c.name}} {
			code, out, errOut := underkick(t, ask...)
			if code != 0 || !strings.HasPrefix(out, "underkick "+c.usage) || !strings.Contains(out, "Exit codes") || errOut != "" {
				t.Errorf("%v: exit %d\n%s%s", ask, code, out, errOut)
			}
		}
	}
	if code, out, _ := underkick(t, "help"); code != 0 || !strings.Contains(out, "measure") {
		t.Errorf("help: exit %d\n%s", code, out)
	}
	if code, _, errOut := underkick(t); code != 2 || !strings.Contains(errOut, "Commands") {
		t.Errorf("nothing: exit %d\n%s", code, errOut)
	}
}

func TestBadInputSaysWhatToDo(t *testing.T) {
	clip, marks, plane, _ := demoFiles(t, "joren-october-2")
	dir := t.TempDir()
	text := write(t, dir, "text.mp4", []byte("hello, I am a text file"))
	empty := write(t, dir, "empty.mp4", nil)
	far := write(t, dir, "far.csv", []byte("frame,landmark,x_px,y_px\n3,toe,5000,10\n"))
	nose := write(t, dir, "nose.csv", []byte("frame,landmark,x_px,y_px\n3,nose,50,10\n"))
	beyond := write(t, dir, "beyond.csv", []byte("frame,landmark,x_px,y_px\n99999,toe,50,10\n"))
	untimed := write(t, dir, "untimed.csv", []byte("frame,landmark,x_px,y_px\n1,toe,50,10\n2,toe,50,10\n"))
	line := write(t, dir, "line.json", []byte(`{"points_px":[[0,0],[1,1],[2,2],[3,3]],"points_m":[[0,0],[1,1],[2,2],[3,3]]}`))
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"frobnicate"}, 2, "no command"},
		{[]string{"probe"}, 2, "give one clip"},
		{[]string{"probe", clip, text}, 2, "give one clip"},
		{[]string{"probe", filepath.Join(dir, "nowhere.mp4")}, 3, "no file"},
		{[]string{"probe", text}, 3, "not a film"},
		{[]string{"probe", empty}, 3, "empty"},
		{[]string{"probe", clip, "--film", "magic"}, 2, "native or embedded"},
		{[]string{"probe", clip, "--frob"}, 2, "frob"},
		{[]string{"measure"}, 2, "--marks"},
		{[]string{"measure", clip}, 2, "needs --marks"},
		{[]string{"measure", clip, "--marks", marks, "--traces", marks}, 2, "without"},
		{[]string{"measure", clip, "--marks", marks, "--plane", plane, "--metres-per-px", "0.01"}, 2, "not both"},
		{[]string{"measure", clip, "--marks", marks, "--height", "172"}, 2, "metres"},
		{[]string{"measure", clip, "--marks", marks, "--height", "1.7", "--mass", "-3"}, 2, "--mass"},
		{[]string{"measure", clip, "--marks", marks, "--height", "1.7", "--sex", "x"}, 2, "m or f"},
		{[]string{"measure", "--traces", untimed}, 2, "need a scale"},
		{[]string{"measure", "--traces", untimed, "--height", "1.7"}, 3, "--fps"},
		{[]string{"measure", "--traces", untimed, "--fps", "60", "--metres-per-px", "0.01"}, 3, "mark"},
		{[]string{"measure", clip, "--marks", far, "--height", "1.7"}, 3, "outside the picture"},
		{[]string{"measure", clip, "--marks", nose, "--height", "1.7"}, 3, "line 2"},
		{[]string{"measure", clip, "--marks", beyond, "--height", "1.7"}, 3, "99999"},
		{[]string{"measure", clip, "--marks", filepath.Join(dir, "none.json"), "--height", "1.7"}, 3, "no file"},
		{[]string{"measure", clip, "--marks", clip, "--height", "1.7"}, 3, "read"},
		{[]string{"measure", clip, "--marks", marks, "--plane", line}, 3, "line"},
		{[]string{"measure", clip, "--marks", marks, "--plane", marks}, 3, "plane"},
		{[]string{"serve", "--port", "70000"}, 2, "65535"},
		{[]string{"serve", clip}, 2, "no file names"},
		{[]string{"demo", clip}, 2, "no file names"},
		{[]string{"version", "x"}, 2, "no arguments"},
	} {
		code, _, errOut := underkick(t, c.args...)
		if code != c.code || !strings.Contains(errOut, c.says) {
			t.Errorf("%v: exit %d, want %d and %q in\n%s", c.args, code, c.code, c.says, errOut)
		}
	}
}

// result is what a reader of measure --json relies on.
type result struct {
	Summary map[string]struct {
		Value   any      `json:"value"`
		Unit    string   `json:"unit"`
		SD      *float64 `json:"sd"`
		N       int      `json:"n"`
		Low     *float64 `json:"low"`
		High    *float64 `json:"high"`
		Reasons []any    `json:"reasons"`
	} `json:"summary"`
	Kicks []struct {
		Start, Top, Bottom *float64
	} `json:"kicks"`
	Warnings []string `json:"warnings"`
}

func parseResult(t *testing.T, text string) result {
	t.Helper()
	var r result
	if err := json.Unmarshal([]byte(text), &r); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	return r
}

func TestMeasureWithFilmAndWithoutAgree(t *testing.T) {
	clip, marks, plane, truth := demoFiles(t, "mira-october")
	dir := t.TempDir()
	traces := filepath.Join(dir, "traces.csv")
	code, out, errOut := underkick(t, "measure", "--marks", marks, clip, "--plane", plane, "--height", "1.72", "--mass", "62", "--sex", "f", "--json", "--csv", dir, "--traces-out", traces)
	if code != 0 {
		t.Fatalf("exit %d\n%s", code, errOut)
	}
	with := parseResult(t, out)
	for _, m := range truth.Measures {
		q, ok := with.Summary[m.ID]
		if !ok || q.Unit != m.Unit || q.N < 3 || q.Low == nil || q.High == nil || q.Reasons == nil {
			t.Errorf("summary of %s is %+v", m.ID, q)
		}
	}
	for _, id := range []string{"facing", "toe_above_hip", "toe_below_hip", "sweep", "sweep_arc", "end_lead", "build", "build_late", "build_peak", "facing_upkick", "build_upkick", "build_late_upkick"} {
		if _, ok := with.Summary[id]; !ok {
			t.Errorf("no %s in the summary", id)
		}
	}
	if word := with.Summary["build_peak"].Value; word != "early" && word != "middle" && word != "late" {
		t.Errorf("build_peak is %v", word)
	}
	for i, k := range with.Kicks {
		if k.Start == nil || k.Bottom == nil && i > 0 && i < len(with.Kicks)-1 {
			t.Errorf("kick %d has times %+v", i, k)
		}
	}
	code, out, errOut = underkick(t, "measure", "--traces", traces, "--plane", plane, "--height", "1.72", "--mass", "62", "--sex", "f", "--json")
	if code != 0 {
		t.Fatalf("exit %d\n%s", code, errOut)
	}
	without := parseResult(t, out)
	for _, id := range []string{"speed", "kick_frequency", "toe_amplitude", "knee_flexion_max"} {
		a, b := with.Summary[id].Value.(float64), without.Summary[id].Value.(float64)
		if math.Abs(a/b-1) > 0.01 {
			t.Errorf("%s is %.4f with film, %.4f from its traces", id, a, b)
		}
	}
	for _, name := range []string{"summary.csv", "kicks.csv", "signals.csv", "traces.csv"} {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		if rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll(); err != nil || len(rows) < 4 {
			t.Errorf("%s: %d rows, %v", name, len(rows), err)
		}
	}
}

func TestBodyHeightScaleIsFlagged(t *testing.T) {
	clip, marks, _, _ := demoFiles(t, "joren-october-2")
	marksOnly := withoutScale(t, marks)
	code, out, errOut := underkick(t, "measure", clip, "--marks", marksOnly, "--height", "1.85", "--json")
	if code != 0 {
		t.Fatalf("exit %d\n%s", code, errOut)
	}
	speed := parseResult(t, out).Summary["speed"]
	if len(speed.Reasons) == 0 || !strings.Contains(fmt.Sprint(speed.Reasons), "height") {
		t.Errorf("speed from body height carries %v", speed.Reasons)
	}
}

// withoutScale copies a marks file without what it says of scale.
func withoutScale(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var doc map[string]json.RawMessage
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	delete(doc, "plane")
	delete(doc, "metres_per_px")
	text, err = json.Marshal(doc)
	if err != nil {
		t.Fatal(err)
	}
	return write(t, t.TempDir(), "marks.json", text)
}

func TestSlowMotionAsksForTheTrueRate(t *testing.T) {
	clip, marks, plane, _ := demoFiles(t, "bram-october")
	code, _, errOut := underkick(t, "measure", clip, "--marks", marks, "--plane", plane, "--height", "1.7")
	if code != 3 || !strings.Contains(errOut, "--true-fps 240") {
		t.Errorf("exit %d\n%s", code, errOut)
	}
}

func TestAFailedWriteLeavesTheOldFile(t *testing.T) {
	path := write(t, t.TempDir(), "traces.csv", []byte("old"))
	err := writeFile(path, func(w io.Writer) error {
		if _, err := w.Write([]byte("half")); err != nil {
			return err
		}
		return os.ErrClosed
	})
	if err == nil {
		t.Fatal("no error")
	}
	if text, _ := os.ReadFile(path); string(text) != "old" {
		t.Errorf("the file now holds %q", text)
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), "*")); len(left) != 1 {
		t.Errorf("left behind: %v", left)
	}
}

func TestPortTakenAndFolderLocked(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	dir := t.TempDir()
	port := fmt.Sprint(l.Addr().(*net.TCPAddr).Port)
	if code, _, errOut := underkick(t, "serve", "--data", dir, "--port", port); code != 1 || !strings.Contains(errOut, "--port") {
		t.Errorf("port taken: exit %d\n%s", code, errOut)
	}
	app, err := poolside.Open(t.Context(), poolside.Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	defer app.Close()
	if code, _, errOut := underkick(t, "serve", "--data", dir, "--port", "0"); code != 5 || !strings.Contains(errOut, "in use") {
		t.Errorf("folder locked: exit %d\n%s", code, errOut)
	}
}

func TestServeEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithTimeout(t.Context(), 500*time.Millisecond)
	defer cancel()
	var out, errOut bytes.Buffer
	code := Run(ctx, []string{"serve", "--data", t.TempDir(), "--port", "0"}, strings.NewReader(""), &out, &errOut, noPages)
	if code != 0 || !strings.Contains(out.String(), "http://127.0.0.1:") {
		t.Errorf("exit %d\n%s%s", code, out.String(), errOut.String())
	}
}

func TestDemoPrintsEveryFinding(t *testing.T) {
	code, out, errOut := underkick(t, "demo", "--print")
	if code != 0 {
		t.Fatalf("exit %d\n%s", code, errOut)
	}
	squad, err := demo.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range squad.Clips {
		if !strings.Contains(out, c.File()) {
			t.Errorf("no %s in\n%s", c.File(), out)
		}
	}
	if n := strings.Count(out, "kicks counted"); n != len(squad.Clips) {
		t.Errorf("%d runs measured of %d clips", n, len(squad.Clips))
	}
	for _, never := range []string{" N ", " W ", "newton", "watt"} {
		if strings.Contains(out, never) {
			t.Errorf("%q stands in what a coach reads", never)
		}
	}
}
