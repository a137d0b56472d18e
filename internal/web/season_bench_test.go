package web

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"underkick/internal/demo"
	"underkick/internal/kick"
	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
	"underkick/internal/report"
	"underkick/internal/store"
)

// seasonSize is a generated squad: every clip has one measured run, two or three
// clips to a visit.
type seasonSize struct {
	swimmers, clips, visits int
	consents                bool // everybody's parents allowed filming
}

// largest is the squad of a year in a large club.
var largest = seasonSize{swimmers: 200, clips: 50, visits: 20, consents: true}

// season writes a data folder of a generated squad and opens it.
func season(tb testing.TB, size seasonSize) *poolside.App {
	tb.Helper()
	dir := tb.TempDir()
	s, err := store.Open(tb.Context(), dir, store.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	if err := s.Close(); err != nil {
		tb.Fatal(err)
	}
	fillSeason(tb, filepath.Join(dir, "underkick.db"), size)
	app, err := poolside.Open(tb.Context(), poolside.Options{DataDir: dir})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := app.Close(); err != nil {
			tb.Error(err)
		}
	})
	return app
}

const seasonNow = "2026-03-09T12:00:00.000Z"

func fillSeason(tb testing.TB, path string, size seasonSize) {
	tb.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		tb.Fatal(err)
	}
	defer func() {
		if err := db.Close(); err != nil {
			tb.Error(err)
		}
	}()
	tx, err := db.BeginTx(tb.Context(), nil)
	if err != nil {
		tb.Fatal(err)
	}
	do := func(query string, args ...any) {
		if _, err := tx.ExecContext(tb.Context(), query, args...); err != nil {
			tb.Fatal(err)
		}
	}
	do(`INSERT INTO squad (id, pub, name, created) VALUES (1, 'squad0000000', 'Generated', ?)`, seasonNow)
	first := time.Date(2025, 9, 6, 0, 0, 0, 0, time.UTC)
	for v := range size.visits {
		do(`INSERT INTO visit (id, pub, squad_id, on_date, created) VALUES (?, ?, 1, ?, ?)`, v+1, fmt.Sprintf("visit%07d", v), record.DateOf(first.AddDate(0, 0, 14*v)), seasonNow)
	}
	levels := record.Levels()
	bodies := seasonBodies(tb, 64)
	drills := practice.Library()
	for w := range size.swimmers {
		do(`INSERT INTO swimmer (id, pub, squad_id, name, level, birth_year, height_m, created) VALUES (?, ?, 1, ?, ?, 2010, 1.7, ?)`,
			w+1, fmt.Sprintf("swimmer%05d", w), fmt.Sprintf("%s %s", seasonNames[w%len(seasonNames)], strings.Repeat(string(rune('a'+w%26)), 3+w/26)), levels[w%len(levels)], seasonNow)
		do(`INSERT INTO growth (swimmer_id, on_date, height_m, mass_kg, created) VALUES (?, '2025-09-06', 1.7, 60, ?)`, w+1, seasonNow)
		if size.consents {
			do(`INSERT INTO consent (pub, swimmer_id, given_by, given_as, on_date, filming, squad, outside, created) VALUES (?, ?, 'A parent', 'parent or guardian', '2025-09-01', 1, 1, 0, ?)`,
				fmt.Sprintf("consent%05d", w), w+1, seasonNow)
		}
		for k := range size.clips {
			id := w*size.clips + k + 1
			hash := fmt.Sprintf("%064x", id)
			do(`INSERT INTO clip (id, pub, visit_id, swimmer_id, hash, file, name, size, created) VALUES (?, ?, ?, ?, ?, ?, 'c.mp4', 1, ?)`,
				id, fmt.Sprintf("clip%08d", id), 1+k*size.visits/size.clips, w+1, hash, hash+".mp4", seasonNow)
			do(`INSERT INTO run (id, pub, clip_id, swimmer_id, from_frame, to_frame, effort, start, position, marked_by, created)
				VALUES (?, ?, ?, ?, 0, 99, 'max', 'push-off', 'prone', 'Coach', ?)`, id, fmt.Sprintf("run%09d", id), id, w+1, seasonNow)
			do(`INSERT INTO result (id, pub, run_id, method, input_hash, word, sentence, body, created) VALUES (?, ?, ?, ?, 'h', ?, 'A sentence.', '{}', ?)`,
				id, fmt.Sprintf("result%06d", id), id, kick.Method, []string{"facing", "sweep", "build", "none stands out"}[w%4], seasonNow)
			do(`INSERT INTO result_brief (result_id, body) VALUES (?, ?)`, id, bodies[(id*7)%len(bodies)])
			do(`INSERT INTO result_value (result_id, place, measure, unit, value, sd, low, high, n)
				SELECT result_id, 0, 'speed', 'm/s', body->>'$.summary.speed.value', body->>'$.summary.speed.sd', body->>'$.summary.speed.low', body->>'$.summary.speed.high', body->>'$.summary.speed.n'
				FROM result_brief WHERE result_id = ?`, id)
		}
		for k := range 3 { // practised now, for the finding of an early run
			d := drills[(7*w+k)%len(drills)]
			body, err := json.Marshal(d)
			if err != nil {
				tb.Fatal(err)
			}
			amount, err := json.Marshal(d.Doses[len(d.Doses)-1])
			if err != nil {
				tb.Fatal(err)
			}
			id := 3*w + k + 1
			do(`INSERT INTO given (id, pub, swimmer_id, run_id, drill, body, chosen, why, created) VALUES (?, ?, ?, ?, ?, ?, 'rule', 'serves it', ?)`,
				id, fmt.Sprintf("given%07d", id), w+1, w*size.clips+1, d.ID, string(body), seasonNow)
			do(`INSERT INTO given_version (given_id, seq, amount, from_date, weeks, retest_on, at) VALUES (?, 1, ?, '2026-02-01', 52, '2027-01-31', ?)`, id, string(amount), seasonNow)
		}
	}
	if err := tx.Commit(); err != nil {
		tb.Fatal(err)
	}
}

var seasonNames = []string{"Mira", "Joren", "Edda", "Bram", "Tessa", "Nilo", "Ada", "Zoe", "Wim", "Rika"}

// seasonBodies are results as they are kept, scattered around the fixture's.
func seasonBodies(tb testing.TB, n int) []string {
	tb.Helper()
	r, err := fixtureMeasured()
	if err != nil {
		tb.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	bodies := make([]string, n)
	for i := range bodies {
		one := *r
		one.Summary, one.Kicks = nil, nil
		for _, m := range r.Summary {
			by := 1 + 0.03*rng.NormFloat64()
			m.Value, m.Low, m.High = m.Value*by, m.Low*by, m.High*by
			if m.Low > m.High {
				m.Low, m.High = m.High, m.Low
			}
			one.Summary = append(one.Summary, m)
		}
		var text bytes.Buffer
		if err := report.WriteJSON(&text, &one); err != nil {
			tb.Fatal(err)
		}
		bodies[i] = text.String()
	}
	return bodies
}

// largestPages are the pages whose work grows with the squad or the season, at the
// largest squad.
var largestPages = []struct{ name, path string }{
	{"squad", "/"},
	{"squad-found", "/?name=mira&limiter=facing&level=club&due=visit&sort=speed"},
	{"squad-one-name", "/?name=tessa+eee"},
	{"swimmer", "/swimmer/swimmer00007"},
	{"swimmer-one-trend", "/swimmer/swimmer00007?trend=knee_flexion_max"},
	{"retest", "/swimmer/swimmer00007/retest"},
	{"trends.csv", "/swimmer/swimmer00007/trends.csv"},
	{"practising", "/swimmer/swimmer00007/practice"},
	{"practice-library", "/practice"},
	{"session", "/squad/squad0000000/session"},
	{"retests-due", "/squad/squad0000000/retests"},
	{"bring-in", "/bring-in"},
	{"keep", "/keep"},
	{"privacy", "/privacy"},
	{"compare-choose", "/compare"},
	{"lesson-choose", "/lesson/new"},
	{"lessons", "/lessons"},
	{"walls", "/walls"},
	{"swimmer-walls", "/swimmer/swimmer00007/walls"},
	{"alike", "/swimmer/swimmer00007/alike"},
	{"consent", "/swimmer/swimmer00007/consent"},
	{"edit", "/swimmer/swimmer00007/edit"},
	{"erase", "/swimmer/swimmer00007/erase"},
	{"clip", "/clip/clip00000351"},
	{"markers", "/markers"},
}

// BenchmarkPages asks every page of the largest squad, through the whole handler. Beside
// the usual numbers it reports the processor's time, which another process does not
// lengthen, and the slowest answer.
func BenchmarkPages(b *testing.B) {
	app := season(b, largest)
	h, err := New(Options{App: app})
	if err != nil {
		b.Fatal(err)
	}
	began := time.Now()
	if code, text := answered(h, "/"); code != http.StatusOK {
		b.Fatalf("code %d: %.300s", code, text)
	}
	b.Logf("the first page, with the lines of all swimmers to make: %s", time.Since(began))
	if err := app.FinishWork(b.Context()); err != nil { // the start makes them too
		b.Fatal(err)
	}
	for _, page := range largestPages {
		b.Run(page.name, func(b *testing.B) { benchPage(b, h, page.path) })
	}
}

func answered(h http.Handler, path string) (code int, text string) {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "http://127.0.0.1"+path, nil))
	return w.Code, w.Body.String()
}

func benchPage(b *testing.B, h http.Handler, path string) {
	b.Helper()
	code, text := answered(h, path)
	if code != http.StatusOK || len(text) < 1_000 {
		b.Fatalf("code %d, %d bytes: %.300s", code, len(text), text)
	}
	slowest, busy, n := 0.0, processorSeconds(), 0
	for b.Loop() {
		began := time.Now()
		code, _ := answered(h, path)
		slowest = math.Max(slowest, time.Since(began).Seconds())
		if n++; code != http.StatusOK {
			b.Fatal(code)
		}
	}
	b.ReportMetric(1000*slowest, "ms-slowest")
	b.ReportMetric(float64(len(text))/1000, "kB-page")
	if busy >= 0 {
		b.ReportMetric(1000*(processorSeconds()-busy)/float64(n), "ms-processor/op")
	}
}

// BenchmarkKickPage asks for the kick page of a swimmer with 50 measured clips in the
// largest squad. The run itself is a real one: the demo's film and marks.
func BenchmarkKickPage(b *testing.B) {
	app := season(b, largest)
	run := broughtIn(b, app, "swimmer00007", "mira-october")
	h, err := New(Options{App: app})
	if err != nil {
		b.Fatal(err)
	}
	answered(h, "/run/"+run) // begins the estimate of worth
	if err := app.FinishWork(b.Context()); err != nil {
		b.Fatal(err)
	}
	benchPage(b, h, "/run/"+run)
}

// broughtIn brings a clip of the demo in for a swimmer, with its marks, and returns the run.
func broughtIn(tb testing.TB, app *poolside.App, swimmer, clip string) string {
	tb.Helper()
	squad, err := demo.Load()
	if err != nil {
		tb.Fatal(err)
	}
	at := slices.IndexFunc(squad.Clips, func(c demo.Clip) bool { return c.Name == clip })
	if at < 0 {
		tb.Fatalf("no demo clip %s", clip)
	}
	film, err := squad.Clips[at].Film()
	if err != nil {
		tb.Fatal(err)
	}
	marks, err := squad.Clips[at].Marks()
	if err != nil {
		tb.Fatal(err)
	}
	in, err := app.BringIn(tb.Context(), poolside.BringIn{SwimmerID: swimmer, On: "2026-10-24", FileName: squad.Clips[at].File(), Content: bytes.NewReader(film)})
	if err != nil {
		tb.Fatal(err)
	}
	if err := app.FinishWork(tb.Context()); err != nil {
		tb.Fatal(err)
	}
	job, err := app.Job(tb.Context(), in.JobID)
	if err != nil || job.RunID == "" {
		tb.Fatalf("%+v, %v", job, err)
	}
	if _, err := app.ImportMarks(tb.Context(), job.RunID, "Coach", bytes.NewReader(marks), nil); err != nil {
		tb.Fatal(err)
	}
	return job.RunID
}
