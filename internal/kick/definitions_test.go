package kick

import (
	"regexp"
	"slices"
	"testing"

	"underkick/internal/kick/kicktest"
)

func TestEveryMeasureIsDefined(t *testing.T) {
	seen := map[string]bool{}
	snake := regexp.MustCompile(`^[a-z]+(_[a-z]+)*$`)
	units := []string{"m", "m/s", "Hz", "s", "deg", "deg/s", "m2", "1", ""}
	for i, d := range Definitions() {
		switch {
		case !snake.MatchString(d.ID):
			t.Errorf("slot %d: id %q", i, d.ID)
		case seen[d.ID]:
			t.Errorf("%s is there twice", d.ID)
		case d.Name == "" || d.Group == "" || d.Meaning == "" || d.Formula == "" || d.Source == "" || d.Limits == "":
			t.Errorf("%s lacks words: %+v", d.ID, d)
		case !slices.Contains(units, d.Unit) || (d.Unit == "") != d.words:
			t.Errorf("%s: unit %q", d.ID, d.Unit)
		case d.Digits < 0 || d.Digits > 4:
			t.Errorf("%s: %d digits", d.ID, d.Digits)
		}
		seen[d.ID] = true
	}
	// The ids that files and pages rely on.
	for _, id := range []string{
		"speed", "kick_frequency", "kick_length", "toe_amplitude", "strouhal", "downkick_duration", "upkick_duration",
		"knee_flexion_max", "knee_range", "ankle_min", "ankle_max", "toe_peak_speed_down", "toe_peak_speed_up",
		"facing", "toe_above_hip", "toe_below_hip", "sweep", "sweep_arc", "end_lead", "build", "build_late", "build_peak",
		"facing_upkick", "build_upkick", "build_late_upkick",
	} {
		if !seen[id] {
			t.Errorf("%s is not defined", id)
		}
	}
	Definitions()[0].ID = "changed"
	if Definitions()[0].ID != "speed" {
		t.Error("a caller can change the definitions")
	}
}

func TestSummaryFollowsTheDefinitions(t *testing.T) {
	s := kicktest.Reference()
	r := measured(t, s.Fitted(kicktest.Times(0, 3, 120)), s.Subject, Options{})
	for i, d := range Definitions() {
		if m := r.Summary[i]; m.ID != d.ID || m.Unit != d.Unit {
			t.Errorf("%d: %s %s, defined %s %s", i, m.ID, m.Unit, d.ID, d.Unit)
		}
		for _, k := range r.Kicks {
			if _, ok := k.Values[d.ID]; ok != (k.Number > 0) {
				t.Errorf("kick %d, %s: %v", k.Number, d.ID, ok)
			}
		}
	}
	if _, ok := r.Measure("no_such"); ok {
		t.Error("found a measure that is not")
	}
}
