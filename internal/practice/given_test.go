package practice

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"underkick/internal/record"
)

func drill(t *testing.T, id string) record.Drill {
	t.Helper()
	i := slices.IndexFunc(Library(), func(d record.Drill) bool { return d.ID == id })
	if i < 0 {
		t.Fatalf("no drill %s", id)
	}
	return Library()[i]
}

// What was given before decides what is proposed next.
func TestChooseKnowsWhatWasGiven(t *testing.T) {
	base := Need{Serves: record.ServesSweep, Age: 15, Level: record.Club, Weak: []string{"end_lead"}}
	for _, c := range []struct {
		name    string
		need    func(n *Need)
		first   string // proposed first
		gone    string // not proposed
		leftOut string
		rule    string // among those of the first
	}{
		{"nothing before", func(*Need) {}, "finish-in-front", "", "", "weak in this run"},
		{"practised now", func(n *Need) { n.Now = []string{"finish-in-front"} }, "hip-open-close", "finish-in-front", "Finish in front is left out: it is practised now.", ""},
		{"no change shown", func(n *Need) { n.NoChange = []string{"finish-in-front"} }, "hip-open-close", "finish-in-front", "the retest showed no change", ""},
		{"given, not retested", func(n *Need) { n.WithGiven = []string{"finish-in-front"} }, "hip-open-close", "", "", ""},
		{"a change shown", func(n *Need) { n.Changed = []string{"finish-in-front"} }, "finish-in-front", "", "", "the retest showed a change"},
		{"no mat", func(n *Need) { n.Now, n.Without = []string{"finish-in-front"}, []string{"mat"} }, "", "hip-open-close", "equipment that is not there", ""},
		{"dry land", func(n *Need) { n.DryLand = true }, "hip-open-close", "finish-in-front", "", ""},
	} {
		n := base
		c.need(&n)
		got, out := Choose(Library(), n)
		ids := make([]string, len(got))
		for i, g := range got {
			ids[i] = g.Drill.ID
		}
		if len(ids) == 0 || c.first != "" && ids[0] != c.first {
			t.Errorf("%s: %v, want %s first", c.name, ids, c.first)
			continue
		}
		if c.gone != "" && slices.Contains(ids, c.gone) {
			t.Errorf("%s: %s is proposed", c.name, c.gone)
		}
		if !strings.Contains(strings.Join(out, " "), c.leftOut) || !strings.Contains(got[0].Text(), c.rule) {
			t.Errorf("%s: left out %q, rules %q", c.name, out, got[0].Text())
		}
	}
}

func TestOwnDrillsAreChosenBesideOurs(t *testing.T) {
	own := drill(t, "finish-in-front")
	own.ID, own.Title = record.OwnPrefix+"x", "Finish, my way"
	got, _ := Choose(append([]record.Drill{own}, Library()...), Need{Serves: record.ServesSweep, Age: 15, Level: record.Club, Weak: []string{"end_lead"}})
	if got[0].Drill.ID != own.ID || !strings.Contains(got[0].Text(), "one of your own") {
		t.Errorf("first %s: %s", got[0].Drill.ID, got[0].Text())
	}
}

// The coach may go against every rule but age.
func TestAgainst(t *testing.T) {
	n := Need{Serves: record.ServesSweep, Age: 12, Level: record.Club, Without: []string{"snorkel"}, NoChange: []string{"both-sides"}, Now: []string{"arms-at-sides"}}
	for _, c := range []struct {
		id    string
		never string
		rules []string
	}{
		{"finish-in-front", "", nil},
		{"point-late", "", []string{"serves facing, not sweep"}},
		{"soles-press", "", []string{"serves upkick, not sweep", "needs equipment that is not there: snorkel"}},
		{"both-sides", "", []string{"was given before and the retest showed no change"}},
		{"arms-at-sides", "is practised now; change that, or end it first", nil},
		{"squat-jump", "is for swimmers from 13 on; this one is 12", nil},
	} {
		never, rules := Against(drill(t, c.id), n)
		if never != c.never || !slices.Equal(rules, c.rules) {
			t.Errorf("%s: %q, %q", c.id, never, rules)
		}
	}
	n.DryLand = true
	if _, rules := Against(drill(t, "finish-in-front"), n); !slices.Equal(rules, []string{"is not done on dry land"}) {
		t.Errorf("in the water: %q", rules)
	}
	if never, _ := Against(drill(t, "squat-jump"), Need{Serves: record.ServesBuild}); !strings.Contains(never, "year of birth is not known") {
		t.Errorf("age not known: %q", never)
	}
	// Against names no rule for anything that Choose proposes.
	for _, age := range []int{0, 9, 12, 15, 20} {
		for _, serves := range append(record.AllServes(), "") {
			n := Need{Serves: serves, Age: age, Level: record.Regional, Without: []string{"mat"}, Now: []string{"point-late"}, NoChange: []string{"both-sides"}}
			got, _ := Choose(Library(), n)
			for _, c := range got {
				if never, rules := Against(c.Drill, n); never != "" || len(rules) > 0 {
					t.Errorf("%s at %d is proposed against %q %q", c.Drill.ID, age, never, rules)
				}
			}
		}
	}
}

func TestAmountsStayWithinTheDrill(t *testing.T) {
	d := drill(t, "finish-in-front") // at most: 5 x 5 twice a week; from 13 6 x 5 three times; from 16 8 x 5 four times
	for _, c := range []struct {
		age, repeats, kicks, perWeek int
		ok                           bool
	}{{10, 4, 5, 2, true}, {10, 2, 3, 1, true}, {10, 6, 5, 2, false}, {10, 4, 6, 2, false}, {10, 4, 5, 3, false}, {0, 6, 5, 2, false}, {14, 6, 5, 3, true}, {14, 8, 5, 3, false}, {17, 8, 5, 3, true}, {17, 8, 5, 5, false}, {17, 9, 5, 3, false}} {
		err := CheckAmount(d, record.Dose{Repeats: c.repeats, Kicks: c.kicks, PerWeek: c.perWeek, Rest: record.RestUnderWater}, c.age)
		var faults record.Faults
		if (err == nil) != c.ok || err != nil && (!errors.As(err, &faults) || faults.For("dose") == "") {
			t.Errorf("%+v: %v", c, err)
		}
	}
	if CheckAmount(d, record.Dose{Repeats: 1, Seconds: 5, PerWeek: 1}, 30) == nil {
		t.Error("seconds of a drill counted in kicks are taken")
	}
	for _, d := range Library() { // what the drill gives itself always passes
		for age := range 40 {
			for _, level := range record.Levels() {
				if dose, ok := d.DoseFor(age, level); ok && CheckAmount(d, dose, age) != nil {
					t.Errorf("%s at %d, %s: its own dose is refused", d.ID, age, level)
				}
			}
		}
	}
}

func TestCopiesStaySafe(t *testing.T) {
	for _, original := range Library() {
		if err := CheckCopy(original, original); err != nil {
			t.Errorf("%s: %v", original.ID, err)
		}
	}
	kneel := drill(t, "kneel-and-lean")
	for field, spoil := range map[string]func(d *record.Drill){
		"min_age": func(d *record.Drill) { d.MinAge = 12 },
		"caution": func(d *record.Drill) { d.Caution = "Nobody pushes." },
		"joint":   func(d *record.Drill) { d.Joint = false },
	} {
		d := kneel
		spoil(&d)
		var faults record.Faults
		if err := CheckCopy(d, kneel); !errors.As(err, &faults) || faults.For(field) == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
	kneel.Caution = "Warm up first. " + kneel.Caution
	if err := CheckCopy(kneel, drill(t, "kneel-and-lean")); err != nil {
		t.Error(err)
	}
}

func TestStations(t *testing.T) {
	give := func(who, id, from, ended string) record.Given {
		d := drill(t, id)
		return record.Given{SwimmerID: who, DrillID: id, Drill: d, Amount: d.Doses[0], From: record.Date(from), Ended: record.Date(ended)}
	}
	changed := give("d", "wave-with-snorkel", "2026-03-01", "")
	changed.Drill.Cue = "Another cue"
	given := []record.Given{
		give("a", "wave-with-snorkel", "2026-03-01", ""), give("b", "finish-in-front", "2026-03-01", ""), give("c", "wave-with-snorkel", "2026-03-01", ""), changed,
		give("a", "hip-open-close", "2026-03-01", ""), give("e", "finish-in-front", "2026-03-11", ""), give("f", "finish-in-front", "2026-03-01", "2026-03-10"),
	}
	got := Stations(given, "2026-03-10")
	var words []string
	for _, s := range got {
		who := ""
		for _, g := range s.Given {
			who += g.SwimmerID
		}
		words = append(words, s.Drill.ID+":"+who)
	}
	if want := []string{"hip-open-close:a", "finish-in-front:b", "wave-with-snorkel:ac", "wave-with-snorkel:d"}; !slices.Equal(words, want) {
		t.Errorf("stations %q, want %q", words, want)
	}
	if kit := Equipment(got); !slices.Equal(kit, []Kit{{"mat", 1}, {"snorkel", 3}}) {
		t.Errorf("equipment %v", kit)
	}
	if len(Stations(nil, "2026-03-10")) != 0 || len(Equipment(nil)) != 0 {
		t.Error("something from nothing")
	}
}
