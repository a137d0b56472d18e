package cli

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/demo/demotest"
	"underkick/internal/poolside"
	"underkick/internal/poolside/poolsidetest"
	"underkick/internal/record"
)

// markedAgain is a data folder with the demo, in which one frame was marked again.
func markedAgain(t *testing.T) (dir, id string) {
	t.Helper()
	ctx := t.Context()
	dir = demotest.Copy(t, poolsidetest.LoadDemo)
	app, err := poolside.Open(ctx, poolside.Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := app.Close(); err != nil {
			t.Error(err)
		}
	}()
	if err := app.SetMarkerName(ctx, "R. Alder"); err != nil { // who marked the demo
		t.Fatal(err)
	}
	return dir, markAgain(ctx, t, app)
}

func markAgain(ctx context.Context, t *testing.T, app *poolside.App) string {
	t.Helper()
	squad, err := app.Squad(ctx)
	if err != nil {
		t.Fatal(err)
	}
	id, err := app.StartRemark(ctx, squad.Squads[0].Rows[0].LastRunID, -1)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range []string{"toe", "ankle"} {
		if _, err := app.RemarkMark(ctx, id, poolside.BlindAction{Do: "place", Landmark: l, XPx: 100, YPx: 100}); err != nil {
			t.Fatal(err)
		}
	}
	if err := app.JudgeRemark(ctx, id, record.FinishRemark); err != nil {
		t.Fatal(err)
	}
	return id
}

func TestMarkersAreListedAndExported(t *testing.T) {
	dir, id := markedAgain(t)
	csvFile := filepath.Join(t.TempDir(), "markers.csv")
	code, out, errOut := underkick(t, "markers", "--data", dir, "--csv", csvFile)
	if code != exitOK || !strings.Contains(out, "R. Alder") || !strings.Contains(out, id) {
		t.Fatalf("%d %s\n%s", code, errOut, out)
	}
	text, err := os.ReadFile(csvFile)
	if err != nil || strings.Count(string(text), "\n") != 3 || !strings.HasPrefix(string(text), "marker,at,run,frame,landmark,") {
		t.Errorf("%v\n%s", err, text)
	}
	read := func(args ...string) poolside.MarkersView {
		t.Helper()
		code, out, errOut := underkick(t, append([]string{"markers", "--data", dir, "--json"}, args...)...)
		var v poolside.MarkersView
		if err := json.Unmarshal([]byte(out), &v); code != exitOK || err != nil {
			t.Fatalf("%d %s %v\n%s", code, errOut, err, out)
		}
		return v
	}
	if v := read(); len(v.Markers) != 1 || v.Markers[0].Frames != 1 || v.Markers[0].Marks != 2 {
		t.Errorf("%+v", v)
	}
	if v := read("--discard", id); len(v.Markers) != 0 || !v.Sittings[0].Discarded {
		t.Errorf("discarded: %+v", v)
	}
	if v := read("--restore", id, "--name", "Ann  Other"); len(v.Markers) != 1 || v.Name != "Ann Other" {
		t.Errorf("restored: %+v", v)
	}
	for want, args := range map[int][]string{
		exitUsage: {"markers", "--data", dir, "file.csv"},
		exitInput: {"markers", "--data", dir, "--discard", "nothing"},
	} {
		if code, _, errOut := underkick(t, args...); code != want || errOut == "" {
			t.Errorf("%v: %d %q", args, code, errOut)
		}
	}
}
