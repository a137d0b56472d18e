package practice

import (
	"slices"
	"strings"
	"testing"

	"underkick/internal/record"
)

// The library covers what the trade asks of it, each by a drill that serves it.
func TestLibraryCovers(t *testing.T) {
	for topic, ids := range map[string][]string{
		"facing: ankle range":                  {"long-sit-point", "kneel-and-lean"},
		"facing: habit of pointing":            {"point-late", "band-point", "two-and-two"},
		"facing: front side of the foot":       {"edge-push", "point-late", "tops-then-soles"},
		"facing: back side of the foot":        {"soles-up-at-the-wall", "tops-then-soles"},
		"sweep: hip drive":                     {"hips-at-the-wall", "hip-open-close"},
		"sweep: wave of the trunk":             {"wave-with-snorkel", "arms-at-sides", "rock-on-the-mat"},
		"sweep: finish in front of the hips":   {"finish-in-front", "hip-open-close"},
		"sweep: both sides of the body line":   {"both-sides"},
		"build: unhurried start":               {"unhurried-start", "trunk-leads"},
		"build: late speed":                    {"upright-late", "soft-three-building-three"},
		"build: upright kicking":               {"upright-late"},
		"build: resisted":                      {"against-the-cord", "pulley-legs"},
		"build: assisted":                      {"light-tow"},
		"tempo":                                {"ladder-of-tempo", "click-and-keep", "upright-quick", "same-on-count"},
		"upkick":                               {"soles-press", "stay-on-the-spot", "up-counts", "quick-return", "hamstring-slide"},
		"streamline":                           {"wall-reach", "quiet-hands", "straight-glide", "head-in-line"},
		"streamline: the set that is retested": {"film-set"},
	} {
		serves := record.Serves(strings.Split(topic, ":")[0])
		for _, id := range ids {
			if d := drill(t, id); d.Serves != serves {
				t.Errorf("%s: %s serves %s", topic, id, d.Serves)
			}
		}
	}
	for _, place := range []record.Place{record.UnderWater, record.AtSurface, record.DryLand} {
		for _, serves := range []record.Serves{record.ServesFacing, record.ServesBuild} {
			if !slices.ContainsFunc(Library(), func(d record.Drill) bool { return d.Place == place && d.Serves == serves }) {
				t.Errorf("nothing for %s %s", serves, place)
			}
		}
	}
}

func TestEveryFieldOfEveryDrillIsFilled(t *testing.T) {
	for _, d := range Library() {
		for field, text := range map[string]string{
			"title": d.Title, "phase": d.Phase, "why": d.Why, "source": d.Source, "cue": d.Cue, "common error": d.Error, "caution": d.Caution, "works when": d.Sign,
		} {
			if strings.TrimSpace(text) == "" {
				t.Errorf("%s says nothing of %s", d.ID, field)
			}
		}
		if len(d.How) < 2 || len(d.Doses) < 2 || len(d.Stages) == 0 || len(d.Measures) == 0 {
			t.Errorf("%s has %d steps, %d doses, %d stages, %d measures", d.ID, len(d.How), len(d.Doses), len(d.Stages), len(d.Measures))
		}
		if d.Joint && d.Place != record.DryLand {
			t.Errorf("%s works on a joint's range %s", d.ID, d.Place)
		}
	}
}

// A dose grows with age and with level, never shrinks, and differs by each where a drill
// is counted in repeats.
func TestDosesGrowWithAgeAndLevel(t *testing.T) {
	fixed := []string{"film-set", "ladder-of-tempo"} // their repeats are what a test needs
	amount := func(d record.Dose) [3]int { return [3]int{d.Repeats, d.Kicks + d.Seconds, d.PerWeek} }
	for _, d := range Library() {
		byLevel, byAge := false, false
		for age := max(d.MinAge, 8); age < 25; age++ {
			for i, level := range record.Levels() {
				dose, ok := d.DoseFor(age, level)
				if !ok {
					t.Errorf("%s has no dose at %d, %s", d.ID, age, level)
					continue
				}
				if i > 0 {
					lower, _ := d.DoseFor(age, record.Levels()[i-1])
					byLevel = byLevel || amount(lower) != amount(dose)
					if shrinks(amount(lower), amount(dose)) {
						t.Errorf("%s at %d: %v, but %v at a higher level", d.ID, age, lower, dose)
					}
				}
				if younger, ok := d.DoseFor(age-1, level); ok {
					byAge = byAge || amount(younger) != amount(dose)
					if shrinks(amount(younger), amount(dose)) {
						t.Errorf("%s, %s: %v at %d, but %v a year later", d.ID, level, younger, age-1, dose)
					}
				}
			}
			if unknown, ok := d.DoseFor(age, ""); ok {
				if beginner, _ := d.DoseFor(age, record.Beginner); unknown != beginner {
					t.Errorf("%s at %d: a level that is not known gets %v, a beginner %v", d.ID, age, unknown, beginner)
				}
			}
		}
		if !byLevel || (!byAge && !slices.Contains(fixed, d.ID)) {
			t.Errorf("%s: the dose differs by level %v, by age %v", d.ID, byLevel, byAge)
		}
	}
}

func shrinks(from, to [3]int) bool {
	for i := range from {
		if to[i] < from[i] {
			return true
		}
	}
	return false
}

// No week gives more than the dose, and the last stage is reached within the usual weeks.
func TestStagesOfTheLibrary(t *testing.T) {
	for _, d := range Library() {
		for age := range 30 {
			dose, ok := d.DoseFor(age, record.National)
			if !ok {
				continue
			}
			for week := 1; week <= MostWeeks; week++ {
				got, words := d.InWeek(dose, week)
				if got.Repeats > dose.Repeats || got.Repeats < 1 || got.Kicks != dose.Kicks || got.Seconds != dose.Seconds || got.Rest != dose.Rest || words == "" {
					t.Errorf("%s in week %d: %v of %v, %q", d.ID, week, got, dose, words)
				}
			}
		}
		if last := d.Stages[len(d.Stages)-1]; last.FromWeek > UsualWeeks {
			t.Errorf("%s has a stage from week %d that %d weeks do not reach", d.ID, last.FromWeek, UsualWeeks)
		}
	}
}

// Nothing in the library asks for time or distance without air, in any text.
func TestNothingRewardsStayingUnder(t *testing.T) {
	for _, d := range Library() {
		texts := append([]string{d.Title, d.Phase, d.Why, d.Source, d.Cue, d.Error, d.Equipment, d.Sign}, d.How...)
		for _, s := range d.Stages {
			texts = append(texts, s.Words)
		}
		if found := record.Airless(append(texts, d.Caution)...); found != "" {
			t.Errorf("%s says %q", d.ID, found)
		}
		for _, dose := range d.Doses {
			if d.Place == record.UnderWater && (dose.Seconds != 0 || dose.Kicks > record.MaxKicksUnderWater || dose.Repeats > record.MaxRepeatsUnderWater || dose.Rest != record.RestUnderWater) {
				t.Errorf("%s: %v", d.ID, dose)
			}
		}
	}
}
