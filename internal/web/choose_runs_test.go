package web

import (
	"net/http"
	"strings"
	"testing"
)

// In a large squad the lists to choose from hold the newest runs of every swimmer, and all
// runs of a swimmer one of whose is chosen.
func TestLargeSquadsListTheNewestRuns(t *testing.T) {
	const swimmers, clips = 13, 48 // 624 runs, two on each visit
	app := season(t, seasonSize{swimmers: swimmers, clips: clips, visits: 24})
	h, err := New(Options{App: app})
	if err != nil {
		t.Fatal(err)
	}
	page := func(path string) string {
		t.Helper()
		code, text := answered(h, path)
		if code != http.StatusOK {
			t.Fatalf("%s: %d %.300s", path, code, text)
		}
		return text
	}
	const newest = 4                 // two days: one holds only two runs
	const old = "run000000097"       // the first of swimmer 2
	const newestRun = "run000000144" // the last of swimmer 2
	plain := page("/compare")
	if n := strings.Count(plain, `<option value="run`); n != 2*swimmers*newest {
		t.Errorf("%d runs are listed in two fields, want %d in each", n, swimmers*newest)
	}
	if strings.Contains(plain, old) || !strings.Contains(plain, newestRun) || !strings.Contains(plain, "only the newest runs are listed") {
		t.Error("the runs listed are not the newest, or nothing says so")
	}
	chosen := page("/compare?run=" + old)
	if n := strings.Count(chosen, `<option value="run`); n != 2*((swimmers-1)*newest+clips) {
		t.Errorf("%d runs are listed with one chosen", n)
	}
	if !strings.Contains(chosen, `value="`+old+`" selected`) {
		t.Error("the old run is not chosen")
	}
	option := func(text, id string) string {
		_, rest, _ := strings.Cut(text, `<option value="`+id+`"`)
		words, _, _ := strings.Cut(rest, "</option>")
		return strings.TrimPrefix(words, " selected")
	}
	if a, b := option(plain, newestRun), option(chosen, newestRun); a == "" || a != b {
		t.Errorf("a run is called %q in the short list and %q in the whole", a, b)
	}
	if code, _ := answered(h, "/compare?swimmer=swimmer00002"); code != http.StatusSeeOther {
		t.Errorf("test and retest of a swimmer: %d", code)
	}
	lesson := page("/lesson/new")
	if n := strings.Count(lesson, `name="run" value="run`); n != swimmers*newest || !strings.Contains(lesson, "only the newest runs are listed") {
		t.Errorf("a lesson lists %d runs", n)
	}
	if text := page("/lesson/new?run=" + old); !strings.Contains(text, `value="`+old+`" checked`) || strings.Count(text, `name="run" value="run`) != (swimmers-1)*newest+clips {
		t.Error("the lesson's run is not chosen, or not all of its swimmer are listed")
	}
}
