package poolside

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"underkick/internal/record"
)

// minor adds a swimmer who is eleven this year.
func minor(t *testing.T, a *App) string {
	t.Helper()
	squad, err := a.AddSquad(t.Context(), record.Squad{Name: "Bay"})
	if err != nil {
		t.Fatal(err)
	}
	id, _, err := a.AddSwimmer(t.Context(), record.Swimmer{SquadID: squad, Name: "Mira Tallow", BirthYear: time.Now().Year() - 11})
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func TestMayShowAsksForTheRightConsent(t *testing.T) {
	a, ctx := openApp(t), t.Context()
	id := minor(t, a)
	refused := func(p record.Purpose, words ...string) {
		t.Helper()
		err := a.MayShow(ctx, id, p)
		if !errors.Is(err, ErrConsent) || !errors.Is(err, ErrInput) {
			t.Errorf("%s: %v", p, err)
			return
		}
		for _, w := range append(words, "Mira Tallow", p.Words(), "/swimmer/"+id+"/consent", "underkick consent") {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q does not say %q", p, err, w)
			}
		}
	}
	add := func(c record.Consent) string {
		t.Helper()
		c.SwimmerID = id
		warning, err := a.AddConsent(ctx, c)
		if err != nil {
			t.Fatal(err)
		}
		return warning
	}
	both := []record.Purpose{record.ForFilming, record.ForSquad}
	refused(record.ForFilming, "A parent's or guardian's is needed")
	if warning := add(record.Consent{GivenBy: "Mira Tallow", As: record.BySwimmer, For: both}); !strings.Contains(warning, "under age") {
		t.Errorf("a minor's own: %q", warning)
	}
	refused(record.ForFilming, "given by the swimmer")
	if warning := add(record.Consent{GivenBy: "Ada Tallow", As: record.ByParent, For: both}); warning != "" {
		t.Errorf("a parent's: %q", warning)
	}
	for _, p := range both {
		if err := a.MayShow(ctx, id, p); err != nil {
			t.Errorf("%s with a parent's: %v", p, err)
		}
	}
	refused(record.ForOutside)
	if err := a.MayOn(ctx, id, record.ForFilming, "2000-01-01"); !errors.Is(err, ErrConsent) {
		t.Errorf("before it was given: %v", err)
	}

	view, err := a.Consent(ctx, id)
	if err != nil || len(view.Rows) != 2 || !view.Rows[0].Counts || view.Rows[1].Counts || !view.Minor {
		t.Fatalf("the page: %+v, %v", view, err)
	}
	last := fmt.Sprintf("31 December %d", time.Now().Year()+7) // of the year of the 18th birthday
	if words := view.State.Words(); words != "filming until "+last+"; showing in the squad until "+last || longDate(view.State.Ending()) != last {
		t.Errorf("state %q", words)
	}
	state, err := a.WithdrawConsent(ctx, id, view.Rows[0].ID, "")
	if err != nil || state.Allowed[record.ForSquad] {
		t.Errorf("withdrawn: %+v, %v", state, err)
	}
	refused(record.ForSquad, "withdrawn on")
	if _, err := a.WithdrawConsent(ctx, "other", view.Rows[1].ID, ""); !errors.Is(err, ErrNotFound) {
		t.Errorf("through another swimmer's page: %v", err)
	}
	states, err := a.ConsentStates(ctx)
	if err != nil || states[id].Words() != "none now" || states[id].Giver != record.ByParent {
		t.Errorf("states %+v, %v", states, err)
	}
	if err := a.MayShow(ctx, "nobody", record.ForSquad); !errors.Is(err, ErrNotFound) {
		t.Errorf("nobody: %v", err)
	}
}
