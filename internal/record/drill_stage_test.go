package record

import (
	"errors"
	"strings"
	"testing"
)

func staged(stages ...Stage) Drill {
	d := fiveKicks()
	d.Stages = stages
	return d
}

// A stage takes a part of the dose and never adds to it.
func TestInWeek(t *testing.T) {
	d := staged(Stage{1, 50, "slowly"}, Stage{3, 75, ""}, Stage{5, 100, "at race effort"})
	for _, c := range []struct {
		repeats, week, want int
		words               string
	}{
		{8, 0, 4, "slowly"},
		{8, 1, 4, "slowly"},
		{8, 2, 4, "slowly"},
		{8, 3, 6, ""},
		{8, 4, 6, ""},
		{8, 5, 8, "at race effort"},
		{8, 12, 8, "at race effort"},
		{1, 1, 1, "slowly"},
		{3, 1, 2, "slowly"},
		{5, 3, 4, ""},
	} {
		amount := Dose{Repeats: c.repeats, Kicks: 5, Rest: RestUnderWater, PerWeek: 2}
		got, words := d.InWeek(amount, c.week)
		if got.Repeats != c.want || words != c.words || got.Kicks != 5 || got.PerWeek != 2 || got.Rest != RestUnderWater {
			t.Errorf("%d repeats in week %d: %v, %q", c.repeats, c.week, got, words)
		}
	}
	if got, words := staged().InWeek(Dose{Repeats: 6}, 3); got.Repeats != 6 || words != "" {
		t.Errorf("without stages: %v, %q", got, words)
	}
	for repeats := 1; repeats <= 12; repeats++ {
		for percent := 1; percent <= 100; percent++ {
			if got, _ := staged(Stage{1, percent, ""}).InWeek(Dose{Repeats: repeats}, 1); got.Repeats < 1 || got.Repeats > repeats {
				t.Fatalf("%d %% of %d repeats is %d", percent, repeats, got.Repeats)
			}
		}
	}
}

func TestStagesAreChecked(t *testing.T) {
	if err := staged(Stage{1, 50, "Slowly."}, Stage{3, 100, ""}).Validate(); err != nil {
		t.Errorf("in order: %v", err)
	}
	for name, bad := range map[string][]Stage{
		"a late start":     {{2, 50, ""}},
		"not in order":     {{1, 50, ""}, {4, 60, ""}, {3, 70, ""}},
		"twice":            {{1, 50, ""}, {1, 60, ""}},
		"past a year":      {{1, 50, ""}, {53, 60, ""}},
		"nothing":          {{1, 0, ""}},
		"more than it all": {{1, 101, ""}},
		"too many":         {{1, 1, ""}, {2, 2, ""}, {3, 3, ""}, {4, 4, ""}, {5, 5, ""}, {6, 6, ""}, {7, 7, ""}},
		"an airless aim":   {{1, 50, "Stay down as long as you can."}},
		"too long":         {{1, 50, strings.Repeat("x", 10000)}},
	} {
		var faults Faults
		if err := staged(bad...).Validate(); !errors.As(err, &faults) || faults.For("stages") == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	var faults Faults
	if err := staged(Stage{1, 50, "Kick to 15 m."}).Validate(); !errors.As(err, &faults) {
		t.Error("a distance as the end of a repeat under water is taken in a stage")
	}
}

func TestForWhomADoseIs(t *testing.T) {
	for want, d := range map[string]Dose{
		"everyone": {}, "from 13": {FromAge: 13}, "club and above": {Level: Club}, "from 16, regional and above": {FromAge: 16, Level: Regional},
	} {
		if got := d.For(); got != want {
			t.Errorf("%+v is for %q, want %q", d, got, want)
		}
	}
}

func TestStageInWords(t *testing.T) {
	for want, s := range map[string]Stage{
		"from week 1, 60 % of the repeats: Slowly.": {1, 60, "Slowly."}, "from week 3, all repeats": {3, 100, ""},
	} {
		if got := s.String(); got != want {
			t.Errorf("%+v is %q, want %q", s, got, want)
		}
	}
}

func TestDoseInShort(t *testing.T) {
	for want, d := range map[string]Dose{
		"6 x 5 kicks, 3 times a week": {Repeats: 6, Kicks: 5, Rest: "r", PerWeek: 3}, "3 x 20 s, once a week": {Repeats: 3, Seconds: 20, Rest: "r", PerWeek: 1}, "4 x 1 kick, 2 times a week": {Repeats: 4, Kicks: 1, PerWeek: 2},
	} {
		if got := d.Short(); got != want {
			t.Errorf("%+v is %q, want %q", d, got, want)
		}
	}
}
