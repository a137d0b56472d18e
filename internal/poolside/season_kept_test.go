package poolside

import (
	"fmt"
	"maps"
	"math"
	"sync"
	"testing"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/record"
)

// scatterAnew pools the squad's repeats from the kept results, past every cache.
func scatterAnew(t *testing.T, app *App, squadID string) limit.Scatters {
	t.Helper()
	all := limit.Scatters{}
	swimmers, err := app.store.Swimmers(t.Context(), squadID)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range swimmers {
		fresh := &App{store: app.store}
		_, own, err := fresh.measuredRuns(t.Context(), w.ID)
		if err != nil {
			t.Fatal(err)
		}
		all.Merge(limit.ScatterOf(own))
	}
	return all
}

func sameScatter(a, b limit.Scatters) bool {
	return maps.EqualFunc(a, b, func(x, y limit.Scatter) bool {
		return x.DF == y.DF && math.Abs(x.Squares-y.Squares) <= 1e-12*(1+x.Squares)
	})
}

// Whatever changes, the scatter that is held and the squad's rows follow at once.
func TestTheHeldSeasonIsNeverStale(t *testing.T) {
	app := openApp(t)
	squad, other := newSquad(t, app), newSquad(t, app)
	twice := func(name string, a, b float64) record.Swimmer {
		return swims(t, app, record.Swimmer{SquadID: squad, Name: name}, swimSpec{on: "2026-03-01", speed: a}, swimSpec{on: "2026-03-01", speed: b})
	}
	ada, zoe := twice("Ada Quist", 1.2, 1.3), twice("Zoe Lind", 1.5, 1.4)
	runs := func(w record.Swimmer) []string {
		t.Helper()
		briefs, err := app.store.Briefs(t.Context(), w.ID)
		if err != nil {
			t.Fatal(err)
		}
		var ids []string
		for _, b := range briefs {
			ids = append(ids, b.Run.ID)
		}
		return ids
	}
	for _, c := range []struct {
		what string
		do   func() error
	}{
		{"nothing", func() error { return nil }},
		{"a result", func() error { keepMeasured(t, app, runs(ada)[0], swimSpec{speed: 1.25}); return nil }},
		{"a condition", func() error {
			r, err := app.store.Run(t.Context(), runs(ada)[0])
			r.Effort = record.Easy
			if err != nil {
				return err
			}
			return app.UpdateRun(t.Context(), r)
		}},
		{"a run that went", func() error { return app.store.DeleteRun(t.Context(), runs(zoe)[1]) }},
		{"a swimmer who came", func() error { twice("Wim Adams", 1.1, 1.15); return nil }},
		{"a swimmer who changed the squad", func() error {
			zoe.SquadID = other
			return app.store.UpdateSwimmer(t.Context(), zoe)
		}},
		{"one who went and one who came", func() error {
			if err := app.store.DeleteSwimmer(t.Context(), ada.ID); err != nil {
				return err
			}
			twice("Eva Brandt", 1.7, 1.8)
			return nil
		}},
	} {
		before, err := app.scatter(t.Context(), squad)
		if err != nil {
			t.Fatal(err)
		}
		if again, err := app.scatter(t.Context(), squad); err != nil || fmt.Sprintf("%p", again) != fmt.Sprintf("%p", before) {
			t.Errorf("before %s: read again though nothing changed (%v)", c.what, err)
		}
		if err := c.do(); err != nil {
			t.Fatalf("%s: %v", c.what, err)
		}
		for _, q := range []string{squad, other} {
			got, err := app.scatter(t.Context(), q)
			if err != nil {
				t.Fatal(err)
			}
			if want := scatterAnew(t, app, q); !sameScatter(got, want) {
				t.Errorf("after %s: scatter %v, want %v", c.what, got, want)
			}
		}
	}
	view, err := app.Squad(t.Context())
	if got := names(view); err != nil || len(got) != 3 {
		t.Errorf("%v, %v", got, err)
	}
}

// A result that was kept is in the very next answer, whoever reads meanwhile.
func TestTheHeldSeasonFollowsAmongReaders(t *testing.T) {
	app := openApp(t)
	squad := newSquad(t, app)
	w := swims(t, app, record.Swimmer{SquadID: squad, Name: "Ada Quist"}, swimSpec{on: "2026-03-01", speed: 1.2}, swimSpec{on: "2026-03-01", speed: 1.3})
	briefs, err := app.store.Briefs(t.Context(), w.ID)
	if err != nil {
		t.Fatal(err)
	}
	end := make(chan struct{})
	var readers sync.WaitGroup
	for range 3 {
		readers.Go(func() {
			for {
				select {
				case <-end:
					return
				default:
				}
				if _, err := app.scatter(t.Context(), squad); err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	for i := range 60 {
		speed := 1.4 + 0.01*float64(i)
		keepMeasured(t, app, briefs[0].Run.ID, swimSpec{speed: speed})
		s, err := app.scatter(t.Context(), squad)
		if want := (speed - 1.3) * (speed - 1.3) / 2; err != nil || math.Abs(s["speed"].Squares-want) > 1e-12 {
			t.Errorf("after result %d: %v, want %g (%v)", i, s["speed"], want, err)
		}
	}
	close(end)
	readers.Wait()
}

// What is held of results is bounded, and a swimmer's are exactly those that stand.
func TestHeldResultsAreBounded(t *testing.T) {
	var c resultsCache
	own := func(n int) map[string]*kick.Result {
		m := map[string]*kick.Result{}
		for i := range n {
			m[fmt.Sprint(i)] = &kick.Result{}
		}
		return m
	}
	for i := range 100 {
		c.put(fmt.Sprint("swimmer ", i), own(50))
		c.of("swimmer 0") // looked at all the time
	}
	if c.count > resultsKept || c.count != 50*len(c.bySwimmer) || len(c.order) != len(c.bySwimmer) {
		t.Errorf("%d results of %d swimmers, %d in order", c.count, len(c.bySwimmer), len(c.order))
	}
	if len(c.of("swimmer 0")) != 50 || len(c.of("swimmer 99")) != 50 || c.of("swimmer 1") != nil {
		t.Error("the longest unused did not go first")
	}
	c.put("swimmer 99", own(3))
	if len(c.of("swimmer 99")) != 3 || c.count != 50*(len(c.bySwimmer)-1)+3 {
		t.Errorf("%d results", c.count)
	}
}
