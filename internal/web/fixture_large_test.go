package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
	"time"

	"underkick/internal/demo"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

func serveHandler(t *testing.T, h http.Handler) *httptest.Server {
	t.Helper()
	srv := httptest.NewServer(h)
	t.Cleanup(srv.Close)
	return srv
}

// largeClips are demo clips that are made larger, with how long they may last in the
// file: two kicks or a little more.
var largeClips = map[string]string{"mira-october": "1.6", "joren-august": "1.7", "joren-october-1": "1.6", "bram-october": "8"}

// largeRuns brings in four demo clips at 1920 by 1080, marked, and returns their runs.
func largeRuns(t *testing.T) (*poolside.App, []string) {
	t.Helper()
	if testing.Short() {
		t.Skip("making large clips takes some seconds")
	}
	for _, tool := range []string{"ffmpeg", "ffprobe"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip("no native ffmpeg on this machine; `make needs` installs it")
		}
	}
	app, err := poolside.Open(t.Context(), poolside.Options{DataDir: t.TempDir(), NoGuess: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := app.Close(); err != nil {
			t.Error(err)
		}
	})
	squad, err := app.AddSquad(t.Context(), record.Squad{Name: "Large Pictures"})
	if err != nil {
		t.Fatal(err)
	}
	d, err := demo.Load()
	if err != nil {
		t.Fatal(err)
	}
	var runs []string
	for _, c := range d.Clips {
		if seconds, ok := largeClips[c.Name]; ok {
			runs = append(runs, largeRun(t, app, squad, c, d.Swimmers[c.Swimmer], seconds))
		}
	}
	return app, runs
}

func largeRun(t *testing.T, app *poolside.App, squad string, c demo.Clip, w record.Swimmer, seconds string) string {
	t.Helper()
	w.SquadID, w.Name = squad, w.Name+" "+c.Name
	id, _, err := app.AddSwimmer(t.Context(), w)
	if err != nil {
		t.Fatal(err)
	}
	in, err := app.BringIn(t.Context(), poolside.BringIn{SwimmerID: id, On: "2026-10-24", FileName: c.File(), TrueFPS: c.TrueFPS, Content: bytes.NewReader(largeFilm(t, c, seconds))})
	if err != nil {
		t.Fatal(err)
	}
	job := poolside.JobView{}
	for end := time.Now().Add(2 * time.Minute); job.State != "done"; time.Sleep(50 * time.Millisecond) {
		if job, err = app.Job(t.Context(), in.JobID); err != nil || job.Problem != "" || time.Now().After(end) {
			t.Fatalf("%s was not read: %+v, %v", c.Name, job, err)
		}
	}
	marks, err := c.Marks()
	if err != nil {
		t.Fatal(err)
	}
	run, err := app.Run(t.Context(), job.RunID)
	if err != nil {
		t.Fatal(err)
	}
	factor := 1920 / float64(smallWidth(t, c))
	run.FromFrame, run.Scale, run.Effort, run.Start, run.Position = c.Run.FromFrame, c.Run.Scale, record.Race, record.PushOff, record.Prone
	for i := range run.Scale.PointsPx {
		for j := range run.Scale.PointsPx[i] {
			run.Scale.PointsPx[i][j] *= factor
		}
	}
	if err := app.UpdateRun(t.Context(), run); err != nil {
		t.Fatal(err)
	}
	if _, err := app.ImportMarks(t.Context(), run.ID, "A. Coach", bytes.NewReader(largeMarks(marks, factor, run.ToFrame)), nil); err != nil {
		t.Fatal(err)
	}
	return run.ID
}

func smallWidth(t *testing.T, c demo.Clip) int {
	t.Helper()
	if c.Name == "bram-october" {
		return 960
	}
	return 1280
}

// largeFilm makes a clip's beginning 1920 by 1080.
func largeFilm(t *testing.T, c demo.Clip, seconds string) []byte {
	t.Helper()
	small, err := c.Film()
	if err != nil {
		t.Fatal(err)
	}
	from, to := filepath.Join(t.TempDir(), "small.mp4"), filepath.Join(t.TempDir(), "large.mp4")
	if err := os.WriteFile(from, small, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), "ffmpeg", "-v", "error", "-i", from, "-t", seconds, "-vf", "scale=1920:1080", "-c:v", "libx264", "-preset", "ultrafast", "-crf", "24", to).CombinedOutput()
	if err != nil {
		t.Fatalf("make %s larger: %v: %s", c.Name, err, out)
	}
	large, err := os.ReadFile(to)
	if err != nil {
		t.Fatal(err)
	}
	return large
}

var markLine = regexp.MustCompile(`\{"frame":(\d+),[^}]*\},?\n`)

var markPlace = regexp.MustCompile(`"([xy])_px":(-?[\d.]+)`)

// largeMarks scales the places of marks and leaves out those past the last frame.
func largeMarks(marks []byte, factor float64, last int) []byte {
	kept := markLine.ReplaceAllFunc(marks, func(line []byte) []byte {
		if n, err := strconv.Atoi(string(markLine.FindSubmatch(line)[1])); err != nil || n > last {
			return nil
		}
		return markPlace.ReplaceAllFunc(line, func(place []byte) []byte {
			m := markPlace.FindSubmatch(place)
			v, err := strconv.ParseFloat(string(m[2]), 64)
			if err != nil {
				return place
			}
			return fmt.Appendf(nil, `"%s_px":%.2f`, m[1], v*factor)
		})
	})
	kept = regexp.MustCompile(`"last_frame": \d+`).ReplaceAll(kept, fmt.Appendf(nil, `"last_frame": %d`, last))
	return regexp.MustCompile(`,\s*\]`).ReplaceAll(kept, []byte("]"))
}
