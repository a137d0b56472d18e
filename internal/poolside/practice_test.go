package poolside

import (
	"slices"
	"strings"
	"testing"

	"underkick/internal/limit"
	"underkick/internal/record"
)

func TestPracticeFollowsTheFinding(t *testing.T) {
	for _, c := range []struct {
		f    limit.Finding
		want record.Serves
		why  string
	}{
		{limit.Finding{Quality: "sweep", Practice: "facing"}, "facing", "at the same effort, so it comes before sweep"},
		{limit.Finding{Quality: "sweep", Practice: "sweep"}, "sweep", "names sweep as the limiter"},
		{limit.Finding{Quality: "build"}, "build", "The finding names build."},
		{limit.Finding{}, "", "No single quality stands out."},
	} {
		need := needOf(&c.f)
		if need.Serves != c.want || !strings.Contains(whyServes(&c.f, need.Serves), c.why) {
			t.Errorf("%q, %q: practise %q because %q", c.f.Quality, c.f.Practice, need.Serves, whyServes(&c.f, need.Serves))
		}
	}
	need := needOf(&limit.Finding{Quality: "facing", Changes: []limit.Change{{Measure: "facing", Verdict: limit.Lower}, {Measure: "speed", Verdict: limit.Higher}}})
	if !slices.Equal(need.Weak, []string{"facing"}) {
		t.Errorf("weak: %v, want what fell", need.Weak)
	}
}

func TestPracticeLibraryKnowsWhatItServes(t *testing.T) {
	if _, err := OurLibrary("gills"); err == nil {
		t.Error("drills for gills")
	}
	all, err := OurLibrary("")
	if err != nil || len(all.Choices) < 30 || len(all.Cautions) < 4 {
		t.Errorf("%d drills with %d cautions, %v", len(all.Choices), len(all.Cautions), err)
	}
	for _, c := range all.Choices {
		if c.Dose.Repeats == 0 {
			t.Errorf("%s has no dose for a grown swimmer", c.Drill.ID)
		}
	}
}
