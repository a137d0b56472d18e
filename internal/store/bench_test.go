package store_test

import (
	"testing"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/storetest"
)

// season is a squad of 200 swimmers with 50 clips each, one run and one result
// of 20 values in every clip, 20 visits.
func season(b *testing.B) (s *store.Store, squad, swimmer string) {
	b.Helper()
	s, err := store.Open(b.Context(), b.TempDir(), store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		if err := s.Close(); err != nil {
			b.Error(err)
		}
	})
	const pub, now = `substr(lower(hex(randomblob(6))), 1, 12)`, `'2026-03-09T12:00:00.000Z'`
	const count = `WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i + 1 < `
	for _, query := range []string{
		`INSERT INTO squad (pub, name, created) VALUES ('squad0000000', 'Q', ` + now + `)`,
		count + `200) INSERT INTO swimmer (pub, squad_id, name, created) SELECT printf('swimmer%05d', i), 1, 'Swimmer ' || i, ` + now + ` FROM n`,
		count + `20) INSERT INTO visit (pub, squad_id, on_date, created) SELECT ` + pub + `, 1, printf('2026-%02d-%02d', 1 + i / 2, 1 + i), ` + now + ` FROM n`,
		count + `10000) INSERT INTO clip (pub, visit_id, swimmer_id, hash, file, name, size, created)
			SELECT ` + pub + `, 1 + i % 20, 1 + i % 200, h, h || '.mp4', 'c.mp4', 1, ` + now + ` FROM (SELECT i, printf('%064x', i) AS h FROM n)`,
		`INSERT INTO run (pub, clip_id, swimmer_id, from_frame, to_frame, created) SELECT ` + pub + `, id, swimmer_id, 0, 99, ` + now + ` FROM clip`,
		`INSERT INTO result (pub, run_id, method, input_hash, word, sentence, body, created) SELECT ` + pub + `, id, 'kick 1', 'h', 'sweep', 'A sentence.', '{}', ` + now + ` FROM run`,
		count + `20) INSERT INTO result_value (result_id, place, measure, unit, value, n) SELECT r.id, i, 'measure' || i, 'm/s', 1, 5 FROM n, result r`,
	} {
		if err := s.Exec(b.Context(), query); err != nil {
			b.Fatal(err)
		}
	}
	return s, "squad0000000", "swimmer00007"
}

func BenchmarkRoster(b *testing.B) {
	s, squad, _ := season(b)
	for b.Loop() {
		if rows, err := s.Roster(b.Context(), squad, "measure3"); err != nil || len(rows) != 200 || len(rows[0].Measured) != 50 {
			b.Fatal(len(rows), err)
		}
	}
}

func BenchmarkFilmed(b *testing.B) {
	s, _, swimmer := season(b)
	for b.Loop() {
		if visits, err := s.Filmed(b.Context(), swimmer); err != nil || len(visits) == 0 {
			b.Fatal(len(visits), err)
		}
	}
}

// One mark more on a run with a history of a thousand steps.
func BenchmarkAddStep(b *testing.B) {
	s, err := store.Open(b.Context(), b.TempDir(), store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			b.Error(err)
		}
	}()
	_, _, run, err := workplace(b.Context(), s)
	if err != nil {
		b.Fatal(err)
	}
	add := func(i int) {
		if _, err := s.AddStep(b.Context(), run, record.Set(record.PlaceMark, "", storetest.Mark(i%300, body.Toe, 1, 1))); err != nil {
			b.Fatal(err)
		}
	}
	for i := range 1000 {
		add(i)
	}
	for b.Loop() {
		add(0)
	}
}
