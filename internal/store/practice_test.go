package store_test

import (
	"errors"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/storetest"
)

// What was kept by older rules can be ended, taken back and retired, but not go on
// changed: a later underkick may refuse more than this one.
func TestWhatOlderRulesKeptCanAlwaysBeEnded(t *testing.T) {
	ctx := t.Context()
	s := open(t, t.TempDir(), store.Options{Now: storetest.Clock()})
	e := storetest.Fill(t, s)
	g := storetest.Give(t, s, e.Swimmer.ID, "")
	o, err := s.AddDrill(ctx, record.OwnDrill{Drill: storetest.Drill()})
	if err != nil {
		t.Fatal(err)
	}
	for _, query := range []string{
		`UPDATE given SET body = json_set(body, '$.cue', 'as far as you can')`,
		`INSERT INTO drill_version (drill_id, seq, body, at) SELECT drill_id, 2, json_set(body, '$.cue', 'as far as you can'), at FROM drill_version`,
	} {
		if err := s.Exec(ctx, query); err != nil {
			t.Fatal(err)
		}
	}
	var faults record.Faults
	g.Weeks = 6
	if _, err := s.ChangeGiven(ctx, g); !errors.As(err, &faults) {
		t.Errorf("it goes on changed: %v", err)
	}
	g.Ended = "2026-04-20"
	if got, err := s.ChangeGiven(ctx, g); err != nil || got.Ended != g.Ended {
		t.Errorf("it cannot be ended: %v", err)
	}
	if o, err = s.OwnDrill(ctx, o.ID); err != nil || o.Cue != "as far as you can" {
		t.Fatal(o.Cue, err)
	}
	if _, err := s.ChangeDrill(ctx, o); !errors.As(err, &faults) {
		t.Errorf("the drill stays on the lists: %v", err)
	}
	o.Retired = true
	if _, err := s.ChangeDrill(ctx, o); err != nil {
		t.Errorf("it cannot be retired: %v", err)
	}
	o.Retired = false
	if _, err := s.ChangeDrill(ctx, o); !errors.As(err, &faults) {
		t.Errorf("it comes back: %v", err)
	}
}
