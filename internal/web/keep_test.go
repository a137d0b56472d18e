package web

import (
	"errors"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"underkick/internal/door"
	"underkick/internal/poolside"
)

// withKeys serves pages that ask for a session, and returns a browser that has one.
func withKeys(t *testing.T, f *fixture) (base string, owner *http.Client) {
	t.Helper()
	keys := door.NewKeys(time.Hour, time.Hour)
	srv := serve(t, f, Options{Keys: keys})
	owner = visitor(t, "127.0.0.1")
	if resp, _ := get(t, owner, srv.URL+"/?session="+keys.Token()); resp.StatusCode != 303 {
		t.Fatalf("no session: %d", resp.StatusCode)
	}
	return srv.URL, owner
}

func TestKeepPageSaysWhatIsKept(t *testing.T) {
	f := newFixture(t)
	base, owner := withKeys(t, f)
	resp, page := get(t, owner, base+"/keep")
	for _, must := range []string{
		"/home/coach/underkick", "20 days ago", "1 May 2026", "/media/stick/underkick-backup-2026-04-01.zip", "3.5\u00a0GB", "not there now", "saved by the browser",
		"underkick-schema6", "underkick restore FILE --replace", "moved aside, never deleted", "The passphrase for the phone is not in it",
		`value="squad:q1"`, `value="swimmer:w1"`, `href="/swimmer/w1/erase"`, `href="/privacy#film"`,
	} {
		if resp.StatusCode != 200 || !strings.Contains(page, must) {
			t.Errorf("the page (%d) lacks %q", resp.StatusCode, must)
		}
	}
	if strings.Contains(page, "http-equiv") {
		t.Error("the page loads itself again though nothing is under way")
	}
	if resp, page := post(t, owner, base+"/keep/backup", url.Values{"folder": {"here"}}); resp.StatusCode != 422 || !strings.Contains(page, "put the disk in") || !strings.Contains(page, `value="here"`) {
		t.Errorf("a folder that is not there: %d", resp.StatusCode)
	}
	if resp, _ := post(t, owner, base+"/keep/backup", url.Values{"folder": {" /media/stick "}}); resp.StatusCode != 303 || f.folder != "/media/stick" {
		t.Errorf("a backup: %d to %q", resp.StatusCode, f.folder)
	}
	if _, page := get(t, owner, base+"/keep"); !strings.Contains(page, "writing part 3 of 40") || !strings.Contains(page, "http-equiv") {
		t.Error("the page does not follow the backup")
	}
	if resp, page := post(t, owner, base+"/keep/backup", url.Values{"folder": {"/media/stick"}}); resp.StatusCode != 409 || !strings.Contains(page, "Wait for it") {
		t.Errorf("a second backup: %d", resp.StatusCode)
	}
	if resp, _ := post(t, owner, base+"/keep/forget", url.Values{"path": {"/media/stick/a.zip"}}); resp.StatusCode != 303 || f.forgot != "/media/stick/a.zip" {
		t.Errorf("forgetting: %d", resp.StatusCode)
	}
}

// TestFilesAreWrittenOnlyWithASession: without one anybody on this computer could have files
// put anywhere.
func TestFilesAreWrittenOnlyWithASession(t *testing.T) {
	f := newFixture(t)
	srv := serve(t, f, Options{})
	if resp, _ := post(t, srv.Client(), srv.URL+"/keep/backup", url.Values{"folder": {"/media/stick"}}); resp.StatusCode != 403 || f.folder != "" {
		t.Errorf("answered %d", resp.StatusCode)
	}
	if _, page := get(t, srv.Client(), srv.URL+"/keep"); strings.Contains(page, `name="folder"`) || !strings.Contains(page, "Save a backup with the browser") {
		t.Error("the demo offers to write files")
	}
}

func TestDownloadsComeWholeOrBreak(t *testing.T) {
	f := newFixture(t)
	base, owner := withKeys(t, f)
	resp, text := post(t, owner, base+"/keep/backup.zip", nil)
	name := resp.Header.Get("Content-Disposition")
	if resp.StatusCode != 200 || resp.Header.Get("Content-Type") != "application/zip" || !strings.HasPrefix(name, `attachment; filename="underkick-backup-`) || !strings.HasPrefix(text, "backup underkick-backup-") {
		t.Errorf("%d, %s: %q", resp.StatusCode, name, text)
	}
	for what, want := range map[string]poolside.ExportRequest{
		"all": {}, "squad:q1": {SquadID: "q1"}, "swimmer:w1": {SwimmerID: "w1", Films: true},
	} {
		form := url.Values{"what": {what}}
		if want.Films {
			form.Set("films", "yes")
		}
		if resp, text := post(t, owner, base+"/keep/export.zip", form); resp.StatusCode != 200 || text != "export" || f.asked.SquadID != want.SquadID || f.asked.SwimmerID != want.SwimmerID || f.asked.Films != want.Films {
			t.Errorf("%s: %d, asked %+v", what, resp.StatusCode, f.asked)
		}
	}
	for _, what := range []string{"", "all:x", "squad:", "somebody:w1"} {
		if resp, _ := post(t, owner, base+"/keep/export.zip", url.Values{"what": {what}}); resp.StatusCode != 422 {
			t.Errorf("%q is answered %d", what, resp.StatusCode)
		}
	}
	f.hopeless = poolside.ErrNotFound
	if resp, _ := post(t, owner, base+"/keep/export.zip", url.Values{"what": {"swimmer:w7"}}); resp.StatusCode != 404 || resp.Header.Get("Content-Disposition") != "" {
		t.Errorf("nobody's export: %d", resp.StatusCode)
	}
	f.hopeless, f.broken = nil, errors.New("the disk fell off")
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, base+"/keep/backup.zip", nil)
	if err != nil {
		t.Fatal(err)
	}
	resp, err = owner.Do(req)
	if err == nil {
		_, err = io.ReadAll(resp.Body)
		resp.Body.Close()
	}
	if err == nil {
		t.Error("a backup that broke off looks whole to the browser")
	}
}

func TestEraseAsksAndTells(t *testing.T) {
	f := newFixture(t)
	srv := serve(t, f, Options{})
	client := srv.Client()
	_, page := get(t, client, srv.URL+"/swimmer/w1/erase")
	for _, must := range []string{
		"Erase Mira Okonjo", "3 runs", "240 marks", "120\u00a0MB", "lane 4.mp4", "Bram Vos", `href="/swimmer/w2/edit"`, "notes of a visit",
		"/media/stick/underkick-backup-2026-04-01.zip", "1 February 2026", `value="keep"`, "Type Mira Okonjo to go on", "special tools",
	} {
		if !strings.Contains(page, must) {
			t.Errorf("the page lacks %q", must)
		}
	}
	if resp, _ := get(t, client, srv.URL+"/swimmer/w9/erase"); resp.StatusCode != 404 {
		t.Errorf("erasing nobody: %d", resp.StatusCode)
	}
	if resp, _ := get(t, client, srv.URL+"/erasing"); resp.StatusCode != 404 {
		t.Errorf("nothing is being erased: %d", resp.StatusCode)
	}
	if resp, page := post(t, client, srv.URL+"/swimmer/w1/erase", url.Values{"name": {"Mira"}}); resp.StatusCode != 422 || !strings.Contains(page, "That is not the name") || f.erased.State != "" {
		t.Errorf("another name: %d", resp.StatusCode)
	}
	owner := visitor(t, "127.0.0.1")
	resp, _ := post(t, owner, srv.URL+"/swimmer/w1/erase", url.Values{"name": {"Mira Okonjo"}, "copies": {"keep"}})
	if resp.StatusCode != 303 || resp.Header.Get("Location") != "/erasing" || f.erase.SwimmerID != "w1" || !f.erase.KeepCopies {
		t.Errorf("the name: %d, %+v", resp.StatusCode, f.erase)
	}
	if _, page := get(t, client, srv.URL+"/erasing"); !strings.Contains(page, "deleting records and films") || !strings.Contains(page, "the next start goes on with it") {
		t.Error("the page does not tell how far it is")
	}
	if resp, _ := post(t, client, srv.URL+"/swimmer/w1/erase", url.Values{"name": {"Mira Okonjo"}}); resp.StatusCode != 409 {
		t.Errorf("a second one: %d", resp.StatusCode)
	}
	f.erased = poolside.BesideView[poolside.Erased]{State: "done", Made: poolside.Erased{
		Backups: keptBackups(), Copies: keptCopies(), Shared: []poolside.SharedClip{{ClipID: "c9", Name: "lane 4.mp4", With: []string{"Bram Vos"}}},
	}}
	_, page = get(t, client, srv.URL+"/erasing")
	for _, must := range []string{"The swimmer is erased", "lane 4.mp4", "/media/stick/", "underkick-schema6", "Make a new backup"} {
		if !strings.Contains(page, must) {
			t.Errorf("afterwards the page lacks %q", must)
		}
	}
	if strings.Contains(page, "Okonjo") {
		t.Error("the page still names the swimmer")
	}
	f.erased = poolside.BesideView[poolside.Erased]{State: "failed", Problem: "the disk is full"}
	if _, page := get(t, client, srv.URL+"/erasing"); !strings.Contains(page, "The disk is full.") {
		t.Error("the page does not say why it failed")
	}
}
