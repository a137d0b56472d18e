package practice

import (
	"slices"
	"strings"
	"testing"

	"underkick/internal/kick"
	"underkick/internal/record"
)

func TestLibraryIsWholeAndSafe(t *testing.T) {
	known := map[string]bool{}
	for _, d := range kick.Definitions() {
		known[d.ID] = true
	}
	seen := map[string]bool{}
	served := map[record.Serves]int{}
	for _, d := range Library() {
		if err := d.Validate(); err != nil {
			t.Errorf("%s: %v", d.ID, err)
		}
		if seen[d.ID] {
			t.Errorf("%s stands there twice", d.ID)
		}
		seen[d.ID] = true
		served[d.Serves]++
		if len(d.Measures) == 0 {
			t.Errorf("%s names no measure to see that it works", d.ID)
		}
		for _, id := range d.Measures {
			if !known[id] {
				t.Errorf("%s names the measure %q, which does not exist", d.ID, id)
			}
		}
		for age := range 30 {
			dose, ok := d.DoseFor(age, record.National)
			if ok && age > 0 && age < d.MinAge {
				t.Errorf("%s is given at %d, below %d", d.ID, age, d.MinAge)
			}
			if ok && d.Place == record.UnderWater && (dose.Kicks == 0 || dose.Kicks > record.MaxKicksUnderWater || !strings.Contains(dose.Rest, "full recovery")) {
				t.Errorf("%s at %d: %v is not a few kicks with full recovery", d.ID, age, dose)
			}
		}
	}
	if len(seen) < 30 {
		t.Errorf("%d drills, want 30 at least", len(seen))
	}
	for _, s := range record.AllServes() {
		if served[s] < 4 {
			t.Errorf("%d drills for %s, want 4 at least", served[s], s)
		}
	}
}

func TestChooseKeepsItsRules(t *testing.T) {
	for _, age := range []int{0, 9, 11, 14, 17, 30} {
		for _, level := range append(record.Levels(), "") {
			for _, serves := range append(record.AllServes(), "") {
				got, _ := Choose(Library(), Need{Serves: serves, Age: age, Level: level, Without: []string{"mat"}})
				if len(got) == 0 {
					t.Errorf("nothing for %q at %d, level %q", serves, age, level)
				}
				for _, c := range got {
					if want := serves; want != "" && c.Drill.Serves != want {
						t.Errorf("%s serves %s, want %s", c.Drill.ID, c.Drill.Serves, want)
					}
					if (age > 0 && age < c.Drill.MinAge) || (age == 0 && c.Drill.MinAge >= 13) || c.Drill.Equipment == "mat" {
						t.Errorf("%s is given at %d with %q", c.Drill.ID, age, c.Drill.Equipment)
					}
					if c.Text() == "." || c.Dose.Repeats == 0 {
						t.Errorf("%s has no reason or no dose", c.Drill.ID)
					}
				}
			}
		}
	}
}

func TestChooseOrdersByWeaknessThenNews(t *testing.T) {
	first := func(n Need) string {
		got, _ := Choose(Library(), n)
		return got[0].Drill.ID
	}
	n := Need{Serves: record.ServesSweep, Age: 15, Level: record.Club, Weak: []string{"end_lead"}}
	if got := first(n); got != "finish-in-front" {
		t.Errorf("a weak finish is given %s first", got)
	}
	n.WithGiven = []string{"finish-in-front"}
	if got := first(n); got != "hip-open-close" {
		t.Errorf("given lately, %s comes first, want the other that works on the finish", got)
	}
	n = Need{Serves: record.ServesBuild, Age: 9}
	if got := first(n); !slices.Contains([]string{"unhurried-start", "soft-three-building-three"}, got) {
		t.Errorf("a beginner is given %s first", got)
	}
	if _, out := Choose(Library(), n); len(out) != 1 || !strings.Contains(out[0], "older than 9") {
		t.Errorf("left out: %q", out)
	}
}

func TestOwnDrillsCannotRewardStayingUnder(t *testing.T) {
	good := Library()[slices.IndexFunc(Library(), func(d record.Drill) bool { return d.Place == record.UnderWater })]
	for name, spoil := range map[string]func(*record.Drill){
		"too many kicks":  func(d *record.Drill) { d.Doses = []record.Dose{{Repeats: 1, Kicks: 11, Rest: "r", PerWeek: 1}} },
		"counted in time": func(d *record.Drill) { d.Doses = []record.Dose{{Repeats: 1, Seconds: 20, Rest: "r", PerWeek: 1}} },
		"no rest":         func(d *record.Drill) { d.Doses = []record.Dose{{Repeats: 1, Kicks: 5, PerWeek: 1}} },
		"a contest":       func(d *record.Drill) { d.How = []string{"Go as far as you can."} },
		"hypoxic":         func(d *record.Drill) { d.Title = "Hypoxic eights" },
		"no steps":        func(d *record.Drill) { d.How = nil },
	} {
		d := good
		spoil(&d)
		if d.Validate() == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func TestRetestOn(t *testing.T) {
	for _, c := range []struct {
		begun record.Date
		weeks int
		want  record.Date
	}{{"2026-11-25", 5, "2026-12-30"}, {"2028-02-01", 4, "2028-02-29"}, {"2026-12-31", 3, "2027-01-21"}} {
		if got, err := RetestOn(c.begun, c.weeks); err != nil || got != c.want {
			t.Errorf("%d weeks after %s is %s (%v), want %s", c.weeks, c.begun, got, err, c.want)
		}
	}
	for _, weeks := range []int{0, 2, 13} {
		if _, err := RetestOn("2026-11-25", weeks); err == nil {
			t.Errorf("%d weeks are accepted", weeks)
		}
	}
	if _, err := RetestOn("soon", 5); err == nil {
		t.Error("a day that is none is accepted")
	}
}
