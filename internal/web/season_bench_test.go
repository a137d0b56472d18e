package web

import (
	"bytes"
	"database/sql"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"underkick/internal/kick"
	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report"
	"underkick/internal/store"
)

// seasonSize is a generated squad: every clip has one measured run, two or three
// clips to a visit.
type seasonSize struct{ swimmers, clips, visits int }

// largest is the squad of a year in a large club.
var largest = seasonSize{swimmers: 200, clips: 50, visits: 20}

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
	for w := range size.swimmers {
		do(`INSERT INTO swimmer (id, pub, squad_id, name, level, birth_year, height_m, created) VALUES (?, ?, 1, ?, ?, 2010, 1.7, ?)`,
			w+1, fmt.Sprintf("swimmer%05d", w), fmt.Sprintf("%s %s", seasonNames[w%len(seasonNames)], strings.Repeat(string(rune('a'+w%26)), 3+w/26)), levels[w%len(levels)], seasonNow)
		for k := range size.clips {
			id := w*size.clips + k + 1
			hash := fmt.Sprintf("%064x", id)
			do(`INSERT INTO clip (id, pub, visit_id, swimmer_id, hash, file, name, size, created) VALUES (?, ?, ?, ?, ?, ?, 'c.mp4', 1, ?)`,
				id, fmt.Sprintf("clip%08d", id), 1+k*size.visits/size.clips, w+1, hash, hash+".mp4", seasonNow)
			do(`INSERT INTO run (id, pub, clip_id, swimmer_id, from_frame, to_frame, effort, start, position, marked_by, created)
				VALUES (?, ?, ?, ?, 0, 99, 'max', 'push-off', 'prone', 'Coach', ?)`, id, fmt.Sprintf("run%09d", id), id, w+1, seasonNow)
			do(`INSERT INTO result (id, pub, run_id, method, input_hash, word, sentence, body, created) VALUES (?, ?, ?, ?, 'h', ?, 'A sentence.', '{}', ?)`,
				id, fmt.Sprintf("result%06d", id), id, kick.Method, []string{"facing", "sweep", "build", "none stands out"}[w%4], seasonNow)
			do(`INSERT INTO result_brief (result_id, body) VALUES (?, json_remove(?, '$.kicks'))`, id, bodies[(id*7)%len(bodies)])
			do(`INSERT INTO result_value (result_id, place, measure, unit, value, n) VALUES (?, 0, 'speed', 'm/s', 1.4, 5)`, id)
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
		one.Summary = nil
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

func benchPage(b *testing.B, path string) {
	b.Helper()
	app := season(b, largest)
	h, err := New(Options{App: app})
	if err != nil {
		b.Fatal(err)
	}
	ask := func() *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		r := httptest.NewRequest(http.MethodGet, "http://127.0.0.1"+path, nil)
		h.ServeHTTP(w, r)
		return w
	}
	began := time.Now()
	if w := ask(); w.Code != http.StatusOK || w.Body.Len() < 10_000 {
		b.Fatalf("code %d, %d bytes: %.300s", w.Code, w.Body.Len(), w.Body)
	}
	b.Logf("first: %s", time.Since(began))
	slowest := 0.0
	for b.Loop() {
		began := time.Now()
		w := ask()
		slowest = math.Max(slowest, time.Since(began).Seconds())
		if w.Code != http.StatusOK {
			b.Fatal(w.Code)
		}
	}
	b.ReportMetric(1000*slowest, "ms-slowest")
}

// The squad table of 200 swimmers with 50 clips each, through the whole handler.
func BenchmarkSquadPage(b *testing.B) { benchPage(b, "/") }

// One swimmer of that squad.
func BenchmarkSwimmerPage(b *testing.B) { benchPage(b, "/swimmer/swimmer00007") }
