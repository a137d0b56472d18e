package cli

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/film"
)

func TestExportClipRefusesAWrongCommandLine(t *testing.T) {
	for _, c := range []struct{ args, says string }{
		{"export-clip", "one run"},
		{"export-clip a b c -o x", "one run"},
		{"export-clip a", "-o FILE"},
		{"export-clip a:first -o x", "number of a kick"},
		{"export-clip a:0 -o x", "number of a kick"},
		{"export-clip a -o x --frames 12", "FIRST-LAST"},
		{"export-clip a:2 -o x --frames 12-20", "without kicks"},
		{"export-clip a -o x --layers glow", "toe-path"},
		{"export-clip a -o x --for all", "me, squad or outside"},
	} {
		if code, _, errOut := underkick(t, strings.Fields(c.args)...); code != exitUsage || !strings.Contains(errOut, c.says) {
			t.Errorf("%s: code %d, %s", c.args, code, errOut)
		}
	}
}

// TestExportClipWritesAFilm makes a short film of a demo clip and reads it back; what is
// refused, and what is stopped, leaves nothing.
func TestExportClipWritesAFilm(t *testing.T) {
	if testing.Short() {
		t.Skip("measures a whole clip; left out under -short")
	}
	data, dir := filepath.Join(t.TempDir(), "data"), t.TempDir()
	run := markedRun(t, data)
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{run, "--slow", "3"}, exitInput, "1/3"},
		{[]string{run + ":90"}, exitInput, "no whole kick 90"},
		{[]string{"nobody"}, exitInput, "no such run"},
		{[]string{run, "--for", "outside"}, exitInput, "no consent"},
	} {
		code, _, errOut := underkick(t, append([]string{"export-clip", "--data", data, "-o", filepath.Join(dir, "no.mp4")}, c.args...)...)
		if code != c.code || !strings.Contains(errOut, c.says) {
			t.Errorf("%v: code %d, %s", c.args, code, errOut)
		}
	}
	code, out, errOut := underkick(t, "export-clip", run+":2", "--kicks", "1", "--width", "320", "--layers", "body,clock", "--soften", "--data", data, "-o", filepath.Join(dir, "kick"))
	if code != exitOK || !strings.Contains(out, "320 by 180 px") || !strings.Contains(errOut, "100 %") {
		t.Fatalf("code %d, %s%s", code, out, errOut)
	}
	path, _, _ := strings.Cut(out, ":")
	e, err := film.Open(t.Context(), film.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if info, err := e.Probe(t.Context(), path); err != nil || info.Frames < 20 || info.Width != 320 {
		t.Errorf("%+v, %v", info, err)
	}

	ctx, cancel := context.WithCancel(t.Context())
	code = Run(ctx, []string{"export-clip", run, "--slow", "8", "--data", data, "-o", filepath.Join(dir, "stopped.mp4")}, nil, io.Discard, stopper{cancel}, nil)
	left, err := os.ReadDir(dir)
	if code != exitFailed || err != nil || len(left) != 1 {
		t.Errorf("stopped: code %d, left %v, %v", code, left, err)
	}
}

// stopper ends the command, as Ctrl-C does, once it says that it writes.
type stopper struct{ stop func() }

func (s stopper) Write(p []byte) (int, error) {
	if strings.Contains(string(p), "writing") {
		s.stop()
	}
	return len(p), nil
}
