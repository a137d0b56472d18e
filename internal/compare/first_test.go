package compare

import (
	"slices"
	"testing"
)

func TestFirst(t *testing.T) {
	speed := Sentence{Words: "speed of 2 against 1", About: "speed", Size: 3}
	knee := Sentence{Words: "knee of 2 against 1", About: "knee", Size: 2}
	hip := Sentence{Words: "hip of 2 against 1", About: "hip", Size: 1.5}
	ankle := Sentence{Words: "ankle of 3 against 1", About: "ankle", Size: 5}
	sweep := Sentence{Words: "sweep of 3 against 1", About: "sweep", Size: 1.2}
	build := Sentence{Words: "build of 4 against 1", About: "build", Size: 9}
	verdict := Sentence{Words: "verdict on speed", About: "speed"}
	two := Said{"1 and 2 differ most here:", []Sentence{speed, knee, hip}}
	three := Said{"1 and 3 differ most here:", []Sentence{ankle, sweep}}
	four := Said{"1 and 4 differ most here:", []Sentence{build}}
	none := Said{Heading: "1 and 2: no difference is larger than its band."}
	for name, c := range map[string]struct {
		verdicts [][]Sentence
		pairs    []Said
		want     []string
	}{
		"a pair":                              {nil, []Said{two}, []string{speed.Words, knee.Words, hip.Words}},
		"every pair's largest, largest first": {nil, []Said{two, three, four}, []string{build.Words, ankle.Words, speed.Words}},
		"then the next ones":                  {nil, []Said{two, three}, []string{ankle.Words, speed.Words, knee.Words}},
		"a verdict before, and not twice":     {[][]Sentence{{verdict}}, []Said{two}, []string{verdict.Words, knee.Words, hip.Words}},
		"verdicts of every run":               {[][]Sentence{{verdict, verdict}, {verdict}, {verdict}}, []Said{two, three, four}, []string{verdict.Words, verdict.Words, verdict.Words}},
		"nothing in a pair":                   {nil, []Said{none}, []string{none.Heading}},
		"nothing in several":                  {nil, []Said{none, none}, []string{"No difference from run 1 is larger than its band, or there are too few kicks to tell."}},
	} {
		if got := First(c.verdicts, c.pairs); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}
