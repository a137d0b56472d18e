package store_test

import (
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/pressly/goose/v3"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/storetest"
)

// versions are the schemas there ever were: one after each migration.
var versions = func() (list []int) {
	names, err := filepath.Glob(filepath.Join("migrations", "sqlite", "*.sql"))
	if err != nil || len(names) == 0 {
		panic(fmt.Sprint("no migrations: ", err))
	}
	for _, name := range names {
		v, err := goose.NumericComponent(name)
		if err != nil {
			panic(err)
		}
		list = append(list, int(v))
	}
	return list
}()

// latest is the newest of them.
var latest = versions[len(versions)-1]

// raw opens a database file without our rules.
func raw(t *testing.T, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	return db
}

func texts(t *testing.T, db *sql.DB, query string, args ...any) []string {
	t.Helper()
	rows, err := db.QueryContext(t.Context(), query, args...)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = rows.Close() }()
	var list []string
	for rows.Next() {
		var s string
		if err := rows.Scan(&s); err != nil {
			t.Fatal(err)
		}
		list = append(list, s)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return list
}

// schema is the text of all that we made in a database.
func schema(t *testing.T, path string) string {
	t.Helper()
	return strings.Join(texts(t, raw(t, path), `SELECT sql || ';' FROM sqlite_schema
		WHERE sql IS NOT NULL AND name NOT LIKE 'goose%' AND name NOT LIKE 'sqlite_%'
		ORDER BY type = 'table' DESC, tbl_name, type, name`), "\n\n") + "\n"
}

func TestSchemaIsTheGoldenOne(t *testing.T) {
	s := open(t, t.TempDir(), store.Options{})
	golden(t, "schema.golden", schema(t, filepath.Join(s.Dir(), "underkick.db")))
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; run the test with -update and read the diff. Got:\n%s", name, got)
	}
}

func TestEveryTableIsStrict(t *testing.T) {
	s := open(t, t.TempDir(), store.Options{})
	loose := texts(t, raw(t, filepath.Join(s.Dir(), "underkick.db")),
		`SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND NOT strict AND name NOT LIKE 'goose%' AND name NOT LIKE 'sqlite_%'`)
	if len(loose) > 0 {
		t.Errorf("tables that are not STRICT: %v", loose)
	}
}

// dump is a database as SQL text.
func dump(t *testing.T, path string) string {
	t.Helper()
	db := raw(t, path)
	var out strings.Builder
	for _, text := range texts(t, db, `SELECT sql FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY rowid`) {
		fmt.Fprintf(&out, "%s;\n", text)
	}
	for _, table := range texts(t, db, `SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY rowid`) {
		columns := texts(t, db, `SELECT 'quote("' || name || '")' FROM pragma_table_info(?)`, table)
		for _, row := range texts(t, db, `SELECT `+strings.Join(columns, `||','||`)+` FROM "`+table+`"`) {
			fmt.Fprintf(&out, "INSERT INTO \"%s\" VALUES(%s);\n", table, row)
		}
	}
	for _, text := range texts(t, db, `SELECT sql FROM sqlite_schema WHERE type <> 'table' AND sql IS NOT NULL ORDER BY rowid`) {
		fmt.Fprintf(&out, "%s;\n", text)
	}
	return out.String()
}

// fill gives a store what the dumps in testdata hold.
func fill(t *testing.T, s *store.Store) {
	t.Helper()
	e := storetest.Fill(t, s)
	for _, step := range []record.Step{
		record.Set(record.ImportMark, "Ann", storetest.Mark(12, body.Hip, 100, 50), storetest.Mark(12, body.Toe, 300, 60)),
		record.Set(record.MoveMark, "Ann", storetest.Mark(12, body.Toe, 301, 61)),
		{Act: record.Undo, By: "Ann"},
	} {
		if _, err := s.AddStep(t.Context(), e.Run.ID, step); err != nil {
			t.Fatal(err)
		}
	}
	again, err := s.AddRemark(t.Context(), record.Remark{RunID: e.Run.ID, Frame: 12, By: "Ann"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddRemarkStep(t.Context(), again.ID, record.Set(record.PlaceMark, "Ann", body.Mark{Frame: 12, Landmark: body.Toe, X: 302, Y: 60})); err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddRemarkAct(t.Context(), again.ID, record.FinishRemark); err != nil {
		t.Fatal(err)
	}
	_, err = s.AddPlan(t.Context(), record.Plan{SwimmerID: e.Swimmer.ID, Kind: record.WallPlan, PlanVersion: record.PlanVersion{Name: "100 free", Body: []byte(`{"x":1}`)}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddLesson(t.Context(), storetest.Lesson(e.Squad.ID, e.Run.ID)); err != nil {
		t.Fatal(err)
	}
	storetest.Consent(t, s, e.Swimmer.ID)
	storetest.Give(t, s, e.Swimmer.ID, e.Run.ID)
	if _, err := s.AddDrill(t.Context(), record.OwnDrill{Drill: storetest.Drill()}); err != nil {
		t.Fatal(err)
	}
	storetest.Goal(t, s, e.Swimmer.ID)
	if err := s.KeepEstimate(t.Context(), record.Estimate{RunID: e.Run.ID, Method: "worth 1", InputHash: "abc", Body: []byte(`{"x":1}`)}); err != nil {
		t.Fatal(err)
	}
	_, err = s.AddResult(t.Context(), record.Result{
		RunID: e.Run.ID, Method: "kick 1", InputHash: "abc", Word: "sweep", Sentence: "The feet stop short.", Body: []byte(`{"x":1}`),
		Values: []record.Value{{Measure: "speed", Unit: "m/s", Value: 1.25, SD: 0.05, Low: 1.2, High: 1.3, N: 5}},
	})
	if err != nil {
		t.Fatal(err)
	}
}

// Every schema there ever was still opens, with all that was in it.
func TestPastSchemasMigrateForward(t *testing.T) {
	for _, version := range versions {
		t.Run(fmt.Sprint(version), func(t *testing.T) {
			if file := pastSchema(version); *update && version == latest {
				if _, err := os.Stat(file); errors.Is(err, os.ErrNotExist) {
					if err := os.WriteFile(file, []byte(freshDump(t)), 0o600); err != nil {
						t.Fatal(err)
					}
				}
			}
			dir := t.TempDir()
			past := restore(t, version, dir)
			s := open(t, dir, store.Options{})
			if got, want := schema(t, past), schemaOf(t); got != want {
				t.Errorf("schema after the upgrade:\n%s", got)
			}
			checkFilled(t, s)
			checkBackup(t, dir, version)
		})
	}
}

func pastSchema(version int) string {
	return filepath.Join("testdata", fmt.Sprintf("schema-%04d.sql", version))
}

// restore makes the database of a past schema in dir and returns its path.
func restore(t *testing.T, version int, dir string) string {
	t.Helper()
	text, err := os.ReadFile(pastSchema(version))
	if err != nil {
		t.Fatalf("%v (a new schema's dump is written by -update; one that is there is never rewritten)", err)
	}
	path := filepath.Join(dir, "underkick.db")
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.ExecContext(t.Context(), string(text)); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

func freshDump(t *testing.T) string {
	dir := t.TempDir()
	s, err := store.Open(t.Context(), dir, store.Options{Now: storetest.Clock()})
	if err != nil {
		t.Fatal(err)
	}
	fill(t, s)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return dump(t, filepath.Join(dir, "underkick.db"))
}

func schemaOf(t *testing.T) string {
	t.Helper()
	want, err := os.ReadFile(filepath.Join("testdata", "schema.golden"))
	if err != nil {
		t.Fatal(err)
	}
	return string(want)
}

func checkFilled(t *testing.T, s *store.Store) {
	t.Helper()
	ctx := t.Context()
	squads, err := s.Squads(ctx)
	if err != nil || len(squads) != 1 || squads[0].Name != "Lake Lane Juniors" {
		t.Fatalf("squads %+v %v", squads, err)
	}
	rows, err := s.Roster(ctx, squads[0].ID)
	if err != nil || len(rows) != 1 || rows[0].Swimmer.Name != "Mira Holm" || rows[0].Swimmer.HeightM != 1.63 || rows[0].Last().Values[0].Value != 1.25 {
		t.Fatalf("roster %+v %v", rows, err)
	}
	visits, err := s.Filmed(ctx, rows[0].Swimmer.ID)
	if err != nil || visits[0].Visit.Pool != "Lake Hall" {
		t.Fatalf("visits %+v %v", visits, err)
	}
	run := visits[0].Clips[0].Runs[0]
	if run.Run.Scale.LengthM != 5 || run.Marks != 2 {
		t.Errorf("run %+v", run)
	}
	checkConsented(t, s, rows[0].Swimmer)
	checkRemarked(t, s, run.Run.ID)
	checkPlanned(t, s, rows[0].Swimmer.ID)
	checkPractised(t, s, rows[0].Swimmer.ID)
	checkAimed(t, s, rows[0].Swimmer.ID)
	checkTaught(t, s, squads[0].ID, run.Run.ID)
	h, err := s.Redo(ctx, run.Run.ID, "Bob")
	if err != nil || len(h.Marks) != 2 || h.Marks[1].X != 301 {
		t.Errorf("marks after a redo: %+v %v", h, err)
	}
}

// checkRemarked: what was marked again before is there, and marking again works in
// a database that was made before there was such a thing.
func checkRemarked(t *testing.T, s *store.Store, runID string) {
	t.Helper()
	old, err := s.Remarks(t.Context(), runID)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range old {
		if marks := record.Replay(r.Steps).Marks; !r.Counts() || len(marks) != 1 || marks[0].X != 302 {
			t.Errorf("marked again before: %+v", r)
		}
	}
	if _, err := s.AddRemark(t.Context(), record.Remark{RunID: runID, Frame: 12, By: "Bob"}); err != nil {
		t.Error(err)
	}
}

// checkPlanned: plans kept before are there, and plans can be kept in a database that
// was made before there was such a thing.
func checkPlanned(t *testing.T, s *store.Store, swimmerID string) {
	t.Helper()
	old, err := s.Plans(t.Context(), swimmerID)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range old {
		if p.Name != "100 free" || string(p.Body) != `{"x":1}` {
			t.Errorf("plan kept before: %+v", p)
		}
	}
	fresh := record.Plan{SwimmerID: swimmerID, Kind: record.TempoLadder, PlanVersion: record.PlanVersion{Name: "May", Body: []byte(`{}`)}}
	if _, err := s.AddPlan(t.Context(), fresh); err != nil {
		t.Error(err)
	}
}

// checkTaught: lessons kept before are there, and lessons can be kept in a database that
// was made before there was such a thing.
func checkTaught(t *testing.T, s *store.Store, squadID, runID string) {
	t.Helper()
	old, err := s.Lessons(t.Context(), squadID)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range old {
		if l.Title != "Late and fast" || len(l.RunIDs()) != 1 || l.RunIDs()[0] != runID {
			t.Errorf("lesson kept before: %+v", l)
		}
	}
	if _, err := s.AddLesson(t.Context(), storetest.Lesson(squadID, runID)); err != nil {
		t.Error(err)
	}
}

// checkConsented: consents and heights kept before are there; from a database that was
// made before there were such things, height and mass come into the history.
func checkConsented(t *testing.T, s *store.Store, w record.Swimmer) {
	t.Helper()
	old, err := s.Consents(t.Context(), w.ID)
	if err != nil || len(old) > 0 && old[0].GivenBy != "Ada Holm" {
		t.Errorf("consents kept before: %+v %v", old, err)
	}
	history, err := s.Growth(t.Context(), w.ID)
	if err != nil || len(history) < 2 {
		t.Fatalf("heights kept before: %+v %v", history, err)
	}
	at := w.Grown(history, "2026-03-02")
	if at.HeightM != 1.63 || at.HeightOn != "2026-03-01" || at.MassKg != 52.5 || at.MassOn != "2026-03-02" {
		t.Errorf("height and mass kept before: %+v", history)
	}
	storetest.Consent(t, s, w.ID)
}

// checkPractised: practice given and own drills kept before are there, and both can be
// kept in a database that was made before there were such things.
func checkPractised(t *testing.T, s *store.Store, swimmerID string) {
	t.Helper()
	old, err := s.Given(t.Context(), swimmerID)
	if err != nil || len(old) > 0 && (old[0].Drill.Title != "Five to the finish" || old[0].RetestOn != "2026-04-14") {
		t.Errorf("practice kept before: %+v %v", old, err)
	}
	own, err := s.OwnDrills(t.Context())
	if err != nil || len(own) != len(old) {
		t.Errorf("own drills kept before: %+v %v", own, err)
	}
	storetest.Give(t, s, swimmerID, "")
	if _, err := s.AddDrill(t.Context(), record.OwnDrill{Drill: storetest.Drill()}); err != nil {
		t.Error(err)
	}
}

// checkAimed: goals kept before are there, and goals can be kept in a database that was made
// before there were such things.
func checkAimed(t *testing.T, s *store.Store, swimmerID string) {
	t.Helper()
	old, err := s.Goals(t.Context(), swimmerID)
	if err != nil || len(old) > 0 && (old[0].Target != 1.5 || old[0].Notes != "for the spring meet") {
		t.Errorf("goals kept before: %+v %v", old, err)
	}
	storetest.Goal(t, s, swimmerID)
}

// checkBackup: an upgrade leaves a copy of what was before; opening what is up
// to date leaves none.
func checkBackup(t *testing.T, dir string, version int) {
	t.Helper()
	copies, err := filepath.Glob(filepath.Join(dir, "backups", "*"))
	if err != nil {
		t.Fatal(err)
	}
	if version == latest {
		if len(copies) != 0 {
			t.Errorf("copies without an upgrade: %v", copies)
		}
		return
	}
	if len(copies) != 1 || !strings.Contains(copies[0], fmt.Sprintf("underkick-schema%d-", version)) {
		t.Fatalf("copies %v", copies)
	}
	db := raw(t, copies[0])
	if got := texts(t, db, `SELECT max(version_id) FROM goose_db_version`); got[0] != fmt.Sprint(version) {
		t.Errorf("the copy has schema %v", got)
	}
	if got := texts(t, db, `SELECT name FROM swimmer`); len(got) != 1 || got[0] != "Mira Holm" {
		t.Errorf("the copy holds %v", got)
	}
}

func TestNewerSchemaIsRefusedAndUntouched(t *testing.T) {
	dir := t.TempDir()
	s, err := store.Open(t.Context(), dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Exec(t.Context(), `INSERT INTO goose_db_version (version_id, is_applied) VALUES (9999, 1)`); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	before := dump(t, filepath.Join(dir, "underkick.db"))
	_, err = store.Open(t.Context(), dir, store.Options{})
	if !errors.Is(err, store.ErrNewer) || !strings.Contains(err.Error(), "9999") || !strings.Contains(err.Error(), "newer underkick") {
		t.Errorf("newer schema: %v", err)
	}
	if dump(t, filepath.Join(dir, "underkick.db")) != before {
		t.Error("the newer database was changed")
	}
}

// Marks cannot be overwritten, even past our own code.
func TestMarksAreOnlyAdded(t *testing.T) {
	s := open(t, t.TempDir(), store.Options{})
	fill(t, s)
	for _, query := range []string{`UPDATE mark_change SET x_px = 0`, `UPDATE mark_step SET who = 'x'`, `UPDATE remark SET who = 'x'`, `UPDATE remark_step SET x_px = 0`, `UPDATE remark_act SET act = 'discard'`, `UPDATE plan_version SET body = '{}'`, `UPDATE given_version SET weeks = 1`, `UPDATE drill_version SET retired = 1`, `UPDATE consent SET until_date = '2030-01-01'`, `UPDATE consent SET withdrawn = ''`, `UPDATE lesson_version SET act = 'undo'`, `UPDATE goal_version SET target = 9`} {
		if err := s.Exec(t.Context(), query); err == nil || !strings.Contains(err.Error(), "never changed") {
			t.Errorf("%s: %v", query, err)
		}
	}
}

// The tables refuse by themselves what Validate would have refused.
func TestTablesRefuse(t *testing.T) {
	s := open(t, t.TempDir(), store.Options{})
	fill(t, s)
	for _, query := range []string{
		`UPDATE swimmer SET height_m = 163`,
		`UPDATE swimmer SET height_m = 'tall'`,
		`UPDATE swimmer SET sex = 'x'`,
		`UPDATE squad SET created = '2026-03-09 12:00'`,
		`UPDATE squad SET name = ' '`,
		`UPDATE run SET to_frame = from_frame`,
		`UPDATE run SET swimmer_id = 99`,
		`UPDATE clip SET hash = upper(hash)`,
		`UPDATE clip SET warnings = 'none'`,
		`DELETE FROM squad`,
		`INSERT INTO job (pub, kind, args, state, boot, created) VALUES ('123456789012', 'k', '{}', 'running', '', '2026-03-09T12:00:00.000Z')`,
	} {
		if err := s.Exec(t.Context(), query); err == nil {
			t.Errorf("%s was done", query)
		}
	}
}
