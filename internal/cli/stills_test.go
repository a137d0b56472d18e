package cli

import (
	"bytes"
	"encoding/xml"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"underkick/internal/demo"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

func TestStillsRefusesAWrongCommandLine(t *testing.T) {
	for _, c := range []struct{ args, says string }{
		{"stills", "one run"},
		{"stills a b -o x", "one run"},
		{"stills a", "-o DIR"},
		{"stills a -o x --kick worst", "best, average or a number"},
		{"stills a -o x --kick 0", "best, average or a number"},
		{"stills a -o x --moments breath", "set, drive, fastest"},
		{"stills a -o x --layers glow", "toe-path"},
		{"stills a -o x --swims up", "right or left"},
		{"stills a -o x --width 9", "16 to 4096"},
	} {
		if code, _, errOut := underkick(t, strings.Fields(c.args)...); code != exitUsage || !strings.Contains(errOut, c.says) {
			t.Errorf("%s: code %d, %s", c.args, code, errOut)
		}
	}
}

// TestStillsWritesFiles brings in one demo clip and writes its stills in every form.
func TestStillsWritesFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("measures a whole clip; left out under -short")
	}
	data := filepath.Join(t.TempDir(), "data")
	run := markedRun(t, data)
	out := filepath.Join(t.TempDir(), "new", "stills")
	code, list, errOut := underkick(t, "stills", run, "-o", out, "--data", data, "--png", "--svg", "--html", "--layers", "all", "--width", "480", "--moments", "set,finish", "--soften", "--body")
	if code != exitOK {
		t.Fatalf("code %d: %s", code, errOut)
	}
	files := strings.Fields(list)
	if len(files) != 5 {
		t.Fatalf("wrote %q, want two pictures, two drawings and a page", files)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		switch filepath.Ext(name) {
		case ".png":
			if img, err := png.Decode(bytes.NewReader(text)); err != nil || img.Bounds().Dx() != 480 {
				t.Errorf("%s: %v", name, err)
			}
		case ".svg":
			if !strings.Contains(string(text), "data:image/jpeg;base64,") || !strings.Contains(string(text), "kick ") {
				t.Errorf("%s holds no picture or no count", name)
			}
			for dec := xml.NewDecoder(bytes.NewReader(text)); ; {
				if _, err := dec.Token(); err == io.EOF {
					break
				} else if err != nil {
					t.Fatalf("%s is not well formed: %v", name, err)
				}
			}
		case ".html":
			page := string(text)
			if strings.Count(page, "<svg") != 2 || !strings.Contains(page, "knees bent most") || !strings.Contains(page, "best-marked") || strings.Contains(page, "href=\"http") {
				t.Errorf("%s lacks stills, captions or its kick, or leads elsewhere", name)
			}
		}
	}
	if code, _, errOut := underkick(t, "stills", run, "-o", out, "--data", data, "--outside"); code != exitInput || !strings.Contains(errOut, "onsent") {
		t.Errorf("outside without consent: code %d, %s", code, errOut)
	}
	if code, _, errOut := underkick(t, "stills", "nobody", "-o", out, "--data", data); code == exitOK || !strings.Contains(errOut, "no run nobody") {
		t.Errorf("unknown run: code %d, %s", code, errOut)
	}
}

// markedRun keeps one demo clip with its marks in a data folder.
func markedRun(t *testing.T, data string) string {
	t.Helper()
	ctx := t.Context()
	d, err := demo.Load()
	if err != nil {
		t.Fatal(err)
	}
	c := d.Clips[0]
	film, err := c.Film()
	if err != nil {
		t.Fatal(err)
	}
	marks, err := c.Marks()
	if err != nil {
		t.Fatal(err)
	}
	app, err := poolside.Open(ctx, poolside.Options{DataDir: data})
	if err != nil {
		t.Fatal(err)
	}
	squad, err := app.AddSquad(ctx, record.Squad{Name: "Quiet Lane"})
	if err != nil {
		t.Fatal(err)
	}
	w := d.Swimmers[c.Swimmer]
	w.ID, w.SquadID = "", squad
	swimmer, _, err := app.AddSwimmer(ctx, w)
	if err != nil {
		t.Fatal(err)
	}
	in, err := app.BringIn(ctx, poolside.BringIn{SwimmerID: swimmer, On: "2026-10-24", Pool: "Old Baths", FileName: c.File(), Content: bytes.NewReader(film)})
	if err != nil {
		t.Fatal(err)
	}
	job, err := app.Job(ctx, in.JobID)
	for ; err == nil && (job.State == "waiting" || job.State == "running"); job, err = app.Job(ctx, in.JobID) {
		time.Sleep(20 * time.Millisecond)
	}
	if err != nil || job.RunID == "" {
		t.Fatalf("job %+v, %v", job, err)
	}
	if _, err := app.ImportMarks(ctx, job.RunID, "A. Coach", bytes.NewReader(marks), nil); err != nil {
		t.Fatal(err)
	}
	run, err := app.Run(ctx, job.RunID)
	if err != nil {
		t.Fatal(err)
	}
	run.Scale = c.Run.Scale
	if err := app.UpdateRun(ctx, run); err != nil {
		t.Fatal(err)
	}
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
	return job.RunID
}
