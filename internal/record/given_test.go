package record

import (
	"slices"
	"strings"
	"testing"
	"unicode"
)

func fiveKicks() Drill {
	return Drill{
		ID: "five", Title: "Five", Serves: ServesSweep, Phase: "its finish", Place: UnderWater, Step: 2,
		Why: "The finish is where the foot is fast.", Source: "Common practice, no source.", How: []string{"Push off.", "Five kicks."},
		Doses: []Dose{{Repeats: 4, Kicks: 5, Rest: RestUnderWater, PerWeek: 2}}, Cue: "Finish", Error: "Feet stop early.", Sign: "Toes end ahead.",
	}
}

// airlessTexts are what a coach must not be able to keep, however it is put.
var airlessTexts = []string{
	"Go as far as you can.", "Kick as many metres as possible without air", "Stay down as long as possible", "Hypoxic eights", "HYPOXIC", "hy\u00adpoxic set",
	"Hold your breath for 20 s", "hold  the  breath", "Breath-hold kicks", "breathhold", "No breath until the wall", "Swim it with no breathing", "Do not breathe until the flags",
	"Don't breathe", "don\u2019t breathe", "Never breathe before the wall", "25 m underwater", "25m under water", "twenty five metres underwater", "Whole length of the pool, two lengths underwater",
	"Underwater for 30 seconds", "under water for at least 15 m", "Beat your own distance", "Who stays down last?", "Win a prize: the winner comes up last", "One length on one breath",
	"in a single breath", "Breathe every 9 strokes", "Resist breathing", "until you need to breathe", "Static apnoea, 1 min", "Lung buster", "Hyperventilate first",
	"Swim to the far end, underwater to the wall", "Maximum distance", "Stay longer under each time", "Go farther than last week", "ＨＯＬＤ ＹＯＵＲ ＢＲＥＡＴＨ", "hоld your breath", "h\u00f3ld your breath",
	"Never mind: as far as you can", "Do not come up: as long as you can", "hold your\nbreath", "without\ncoming up for air", "longest glide",
}

// harmlessTexts are what coaches write and must be able to.
var harmlessTexts = []string{
	"Breathe throughout.", "Push off on the back, half a metre under, arms long.", "Never hold your breath.", "No hyperventilation.", "Do not hold your breath: breathe out slowly.",
	"Six kicks, then come up and breathe.", "As slow as it takes to feel each part.", "A straight line; how far it goes is not counted.", "Rest until breathing is calm.",
	"Hold the point from the middle of each downkick.", "Five kicks, come up, rest.", "Long arms, longer hips.", "Twelve kicks, stand, rest.", "",
}

func TestAirlessIsFoundHoweverItIsPut(t *testing.T) {
	for _, text := range airlessTexts {
		if Airless(text) == "" {
			t.Errorf("%q passes", text)
		}
	}
	for _, text := range harmlessTexts {
		if found := Airless(text); found != "" {
			t.Errorf("%q is refused for %q", text, found)
		}
	}
}

// Every text of a drill and of what is given is behind the fence.
func TestNoFieldOfADrillLetsItThrough(t *testing.T) {
	fields := map[string]func(d *Drill, s string){
		"title": func(d *Drill, s string) { d.Title = s }, "phase": func(d *Drill, s string) { d.Phase = s }, "why": func(d *Drill, s string) { d.Why = s },
		"source": func(d *Drill, s string) { d.Source = s }, "how": func(d *Drill, s string) { d.How = append(d.How, s) }, "cue": func(d *Drill, s string) { d.Cue = s },
		"common_error": func(d *Drill, s string) { d.Error = s }, "equipment": func(d *Drill, s string) { d.Equipment = s }, "caution": func(d *Drill, s string) { d.Caution = s },
		"works_when": func(d *Drill, s string) { d.Sign = s }, "doses": func(d *Drill, s string) { d.Doses[0].Rest = s },
		"stages": func(d *Drill, s string) { d.Stages = []Stage{{1, 50, s}} },
	}
	for _, place := range []Place{UnderWater, AtSurface, DryLand} {
		for field, set := range fields {
			for _, text := range airlessTexts {
				d := fiveKicks()
				d.Place = place
				set(&d, text)
				faults, _ := d.Validate().(Faults)
				if faults.For(field) == "" {
					t.Errorf("%s, %s: %q is kept", place, field, text)
				}
			}
		}
	}
	g := Given{SwimmerID: "w", DrillID: "five", Drill: fiveKicks(), Amount: fiveKicks().Doses[0], From: "2026-03-10", Weeks: 5, RetestOn: "2026-04-14", Chosen: ByCoach, Why: "to try"}
	if err := g.Validate(); err != nil {
		t.Fatal(err)
	}
	for field, set := range map[string]func(g *Given, s string){"why": func(g *Given, s string) { g.Why = s }, "notes": func(g *Given, s string) { g.Notes = s }} {
		for _, text := range airlessTexts {
			bad := g
			set(&bad, text)
			if faults, _ := bad.Validate().(Faults); faults.For(field) == "" {
				t.Errorf("given, %s: %q is kept", field, text)
			}
		}
	}
}

func TestWhatIsSplitOverFieldsIsReadTogether(t *testing.T) {
	d := fiveKicks()
	d.How = []string{"Kick without", "any breath to the wall"}
	if faults, _ := d.Validate().(Faults); faults.For("how") == "" {
		t.Error("a sentence over two steps is kept")
	}
}

func TestUnderWaterIsCountedInKicks(t *testing.T) {
	for name, spoil := range map[string]func(d *Drill){
		"eleven kicks":     func(d *Drill) { d.Doses[0].Kicks = 11 },
		"thirteen repeats": func(d *Drill) { d.Doses[0].Repeats = 13 },
		"seconds":          func(d *Drill) { d.Doses[0].Kicks, d.Doses[0].Seconds = 0, 5 },
		"both":             func(d *Drill) { d.Doses[0].Seconds = 5 },
		"short rest":       func(d *Drill) { d.Doses[0].Rest = "10 s between" },
		"no full recovery": func(d *Drill) { d.Doses[0].Rest = "no " + RestUnderWater },
		"said to be dry":   func(d *Drill) { d.Place, d.How = DryLand, []string{"Push off under water and kick."} },
		"a distance":       func(d *Drill) { d.How = []string{"Push off and kick to 15 m."} },
		"to the flags":     func(d *Drill) { d.Cue = "Past the flags" },
		"seen by distance": func(d *Drill) { d.Sign = "She reaches the far wall." },
		"said to be above": func(d *Drill) { d.Place, d.Title = AtSurface, "Underwater five" },
	} {
		d := fiveKicks()
		spoil(&d)
		if d.Validate() == nil {
			t.Errorf("%s: kept", name)
		}
	}
	if err := fiveKicks().Validate(); err != nil {
		t.Error(err)
	}
}

// Hiding a phrase among other words, in other case, with marks and invisible letters
// between, does not get it past Validate; and Validate never fails on any text.
func FuzzEditedTexts(f *testing.F) {
	for i, s := range airlessTexts {
		f.Add(s, "warm up\n", i)
	}
	f.Fuzz(func(t *testing.T, text, before string, n int) {
		d := fiveKicks()
		d.How = []string{before, text}
		_ = d.Validate()
		phrase := airlessTexts[max(n, -n)%len(airlessTexts)]
		d.How = []string{before + ". " + disguised(phrase, n) + ". " + text}
		if d.Validate() == nil {
			t.Errorf("%q is kept", d.How)
		}
	})
}

// disguised writes a phrase in other case, with marks between words and invisible
// characters within.
func disguised(phrase string, n int) string {
	var b strings.Builder
	for i, r := range phrase {
		switch (i + max(n, -n)) % 5 {
		case 0:
			r = unicode.ToUpper(r)
		case 1:
			b.WriteString("\u200b")
		case 2:
			if r == ' ' {
				r = '\u2003'
			}
		}
		b.WriteRune(r)
	}
	return b.String()
}

func TestPractisedOn(t *testing.T) {
	g := Given{From: "2026-03-10", Ended: "2026-04-14"}
	for _, c := range []struct {
		on   Date
		want bool
	}{{"2026-03-09", false}, {"2026-03-10", true}, {"2026-04-13", true}, {"2026-04-14", false}} {
		if g.Practised(c.on) != c.want {
			t.Errorf("on %s: %v", c.on, !c.want)
		}
	}
	g.Ended = ""
	if !g.Practised("2027-01-01") {
		t.Error("ended by itself")
	}
	g.Removed = true
	if g.Practised("2026-03-20") {
		t.Error("practised though taken back")
	}
}

func TestFaultsOfWhatIsGiven(t *testing.T) {
	good := Given{SwimmerID: "w", DrillID: "five", Drill: fiveKicks(), Amount: fiveKicks().Doses[0], From: "2026-03-10", Weeks: 5, RetestOn: "2026-04-14", Chosen: ByRule, Why: "serves sweep"}
	for field, spoil := range map[string]func(g *Given){
		"swimmer": func(g *Given) { g.SwimmerID = "" }, "drill": func(g *Given) { g.DrillID = "x" }, "dose": func(g *Given) { g.Amount.Kicks = 0 },
		"from": func(g *Given) { g.From = "soon" }, "weeks": func(g *Given) { g.Weeks = 53 }, "retest_on": func(g *Given) { g.RetestOn = "2026-03-10" },
		"ended": func(g *Given) { g.Ended = "2026-03-01" }, "chosen": func(g *Given) { g.Chosen = "" }, "why": func(g *Given) { g.Why = "" },
		"how": func(g *Given) { g.Drill.How = nil }, "by": func(g *Given) { g.By = strings.Repeat("x", 121) },
	} {
		g := good
		g.Drill.How = slices.Clone(good.Drill.How)
		spoil(&g)
		if faults, _ := g.Validate().(Faults); faults.For(field) == "" {
			t.Errorf("%s: %v", field, g.Validate())
		}
	}
}
