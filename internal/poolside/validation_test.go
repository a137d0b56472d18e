package poolside

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"underkick/internal/body"
)

// TestValidationPageIsUpToDate measures one clip of docs/validation-landmarks.md again, in
// three ways of marking, and fails when its rows say something else. It tells that marks,
// fit, choice of frames or measures changed since the page was made, at a hundredth of the
// page's cost; a change that shows on other clips or with a guess only is not seen.
func TestValidationPageIsUpToDate(t *testing.T) {
	skipShort(t)
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", "validation-landmarks.md"))
	if err != nil {
		t.Fatal(err)
	}
	clips, err := demoClips()
	if err != nil {
		t.Fatal(err)
	}
	of := slices.IndexFunc(clips, func(k *knownClip) bool { return k.name == seenClip })
	e := evaluator{req: EvaluateRequest{NoisePx: coachNoisePx, Repeats: coachRepeats, Seed: 1}, clips: clips, progress: func(string) {}}
	if err := e.prepare(t.Context()); err != nil {
		t.Fatal(err)
	}
	for _, w := range []way{e.beside(), e.perKick(4), e.asked(1, false)} {
		all := w.marks
		w.marks = func(i int, seed uint64) []body.Mark {
			if i != of {
				return nil
			}
			return all(i, seed)
		}
		m, err := e.marking(t.Context(), w)
		if err != nil {
			t.Fatal(err)
		}
		want := pageRow(t, string(page), w.name, seenClip)
		got := []float64{m.Total.Frames}
		for _, l := range []body.Landmark{body.Toe, body.Ankle, body.Knee, body.Hip} {
			for _, s := range m.Total.Landmarks {
				if s.Landmark == l {
					got = append(got, 100*s.RMS)
				}
			}
		}
		got = append(got, m.Total.FootDeg)
		// Half a step of the last figure, and what arithmetic on another machine may move.
		steps := []float64{1, 0.01, 0.01, 0.01, 0.01, 0.1}
		if len(got) != len(steps) || len(want) < len(steps) {
			t.Fatalf("%s: %d figures, the page has %v", w.name, len(got), want)
		}
		for i, step := range steps {
			if !(math.Abs(got[i]-want[i]) <= 0.7*step) {
				t.Errorf("%s: the page says %.2f for %s, it is %.2f now: make validation", w.name, want[i], seenClip, got[i])
			}
		}
	}
}

// pageRow returns the figures of a clip's row in the section of a way of marking.
func pageRow(t *testing.T, page, way, clip string) (figures []float64) {
	t.Helper()
	_, section, found := strings.Cut(page, "\n## Marked: "+way+"\n")
	if !found {
		t.Fatalf("docs/validation-landmarks.md has no section %q: make validation", way)
	}
	section, _, _ = strings.Cut(section, "\n## ")
	_, row, found := strings.Cut(section, "\n| "+clip+" |")
	if !found {
		t.Fatalf("the section %q has no row of %s: make validation", way, clip)
	}
	row, _, _ = strings.Cut(row, "\n")
	for cell := range strings.SplitSeq(row, "|") {
		if x, err := strconv.ParseFloat(strings.TrimSpace(cell), 64); err == nil {
			figures = append(figures, x)
		}
	}
	return figures
}
