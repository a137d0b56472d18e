package web

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/wall"
)

// TestPagesAreAnsweredAtOnce asks for the pages of a real data folder from many places at
// once, while others write, hide names and make a backup. It is for the race detector:
// what browsers do with made-up answers shares nothing.
func TestPagesAreAnsweredAtOnce(t *testing.T) {
	ctx, app := t.Context(), openedApp(t, t.TempDir())
	squad, err := app.AddSquad(ctx, record.Squad{Name: "Quiet Lane"})
	if err != nil {
		t.Fatal(err)
	}
	add := func(name string) string {
		id, _, err := app.AddSwimmer(ctx, record.Swimmer{SquadID: squad, Name: name, HeightM: 1.7, MassKg: 60, BirthYear: 2010, Sex: record.Female})
		if err != nil {
			t.Error(err)
		}
		return id
	}
	id := add("Wilma Reed")
	h, err := New(Options{App: app})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(h)
	t.Cleanup(srv.Close)
	pages := []string{
		"/", "/?sort=retest", "/swimmer/" + id, "/swimmer/" + id + "/consent", "/swimmer/" + id + "/practice",
		"/swimmer/" + id + "/goals", "/swimmer/" + id + "/erase", "/squad/" + squad + "/session", "/squad/" + squad + "/retests", "/bring-in", "/practice", "/practice/own",
		"/lessons", "/keep", "/privacy", "/measures", "/about", "/filming-card",
	}
	var all sync.WaitGroup
	for n := range 4 {
		all.Go(func() {
			for i := range pages {
				at := pages[(i+5*n)%len(pages)]
				resp, err := srv.Client().Get(srv.URL + at)
				if err != nil {
					t.Error(err)
					return
				}
				text, err := io.ReadAll(resp.Body)
				resp.Body.Close()
				if err != nil || resp.StatusCode != http.StatusOK || !bytes.Contains(text, []byte("</html>")) {
					t.Errorf("%s: status %d, %v", at, resp.StatusCode, err)
				}
			}
		})
	}
	all.Go(func() { hidesAndShows(t, srv) })
	all.Go(func() { writesMeanwhile(t, app, id, add) })
	all.Wait()
	backup := app.BackingUp()
	for ; backup.State == "working"; backup = app.BackingUp() {
		time.Sleep(20 * time.Millisecond)
	}
	if backup.State != "done" {
		t.Errorf("the backup: %+v", backup)
	}
	if err := app.FinishWork(ctx); err != nil {
		t.Error(err)
	}
	squads, err := app.Squad(ctx)
	if err != nil || len(squads.Squads) != 1 || len(squads.Squads[0].Rows) != 1+addedMeanwhile {
		t.Errorf("the squad in the end: %+v, %v", squads, err)
	}
}

// addedMeanwhile are the swimmers that come while the pages are read.
const addedMeanwhile = 6

// hidesAndShows presses the button that hides names.
func hidesAndShows(t *testing.T, srv *httptest.Server) {
	for i := range 6 {
		form := url.Values{"hide": {[]string{"yes", "no"}[i%2]}, "back": {"/"}}
		req, err := http.NewRequest(http.MethodPost, srv.URL+"/names", strings.NewReader(form.Encode()))
		if err != nil {
			t.Error(err)
			return
		}
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		req.Header.Set("Sec-Fetch-Site", "same-origin")
		resp, err := srv.Client().Do(req)
		if err != nil {
			t.Error(err)
			return
		}
		resp.Body.Close()
		if resp.StatusCode >= http.StatusBadRequest {
			t.Errorf("hide names: status %d", resp.StatusCode)
		}
	}
}

// writesMeanwhile adds swimmers, keeps plans of walls and begins a backup.
func writesMeanwhile(t *testing.T, app *poolside.App, id string, add func(name string) string) {
	if err := app.StartBackup(t.Context(), t.TempDir()); err != nil {
		t.Error(err)
	}
	for i := range addedMeanwhile {
		add(fmt.Sprintf("Swimmer %c", 'A'+i))
		_, err := app.KeepWalls(t.Context(), id, "", fmt.Sprintf("plan %d", i), poolside.WallInput{
			Event: wall.Event{Pool: wall.Pool25m, Distance: 100, Stroke: wall.Freestyle}, Surface: map[wall.Stroke]float64{wall.Freestyle: 1.6}, Kick: 1.5, Tempo: 2.1,
		})
		if err != nil {
			t.Error(err)
		}
	}
}
