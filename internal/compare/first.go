package compare

import (
	"fmt"
	"slices"
)

// FirstSaid is how many sentences a comparison says before it is asked for more.
const FirstSaid = 3

// Said is what is put into words of one run against the first.
type Said struct {
	Heading   string     // "A and B differ most here:", or that nothing is beyond its band
	Sentences []Sentence // largest difference first; empty = none beyond its band
}

// Sentence is one statement about two runs that stands alone.
type Sentence struct {
	Words string
	About string  // what it tells of: "speed", "sweep", "knee"; one thing is named once per pair
	Size  float64 // of the difference in units of half its band; 0 for a verdict
}

// Words are the sentences alone.
func (s Said) Words() []string {
	var out []string
	for _, x := range s.Sentences {
		out = append(out, x.Words)
	}
	return out
}

// First chooses what is said first of all the pairs, at most FirstSaid sentences. Verdicts,
// which judge a swimmer's change, come before differences, which do not. Of the
// differences every pair's largest comes first, then the next ones, each time the largest
// in units of its own band. What a verdict told of a pair is not told again as a
// difference. verdicts and pairs have one entry for every run after the first; verdicts
// may be nil. Where there is nothing to say it says so.
func First(verdicts [][]Sentence, pairs []Said) []string {
	var out []string
	add := func(list []Sentence) {
		for _, s := range list {
			if len(out) < FirstSaid {
				out = append(out, s.Words)
			}
		}
	}
	for turn := range longest(verdicts) {
		add(turnOf(verdicts, turn))
	}
	left := make([][]Sentence, len(pairs))
	for i, p := range pairs {
		for _, s := range p.Sentences {
			if i >= len(verdicts) || !slices.ContainsFunc(verdicts[i], func(v Sentence) bool { return v.About == s.About }) {
				left[i] = append(left[i], s)
			}
		}
	}
	for turn := range longest(left) {
		list := turnOf(left, turn)
		slices.SortStableFunc(list, func(a, b Sentence) int {
			switch {
			case a.Size > b.Size:
				return -1
			case a.Size < b.Size:
				return 1
			}
			return 0
		})
		add(list)
	}
	switch {
	case len(out) > 0:
		return out
	case len(pairs) == 1:
		return []string{pairs[0].Heading}
	}
	return []string{"No difference from run 1 is larger than its band, or there are too few kicks to tell."}
}

// turnOf are the sentences of all pairs at one place.
func turnOf(list [][]Sentence, turn int) []Sentence {
	var out []Sentence
	for _, l := range list {
		if turn < len(l) {
			out = append(out, l[turn])
		}
	}
	return out
}

func longest(list [][]Sentence) int {
	n := 0
	for _, l := range list {
		n = max(n, len(l))
	}
	return n
}

// Unlike says in which stated conditions the runs differ, one sentence for each condition.
// Between two swimmers that bars nothing; it has to be seen.
func Unlike(runs []Run) []string {
	var out []string
	for _, c := range []struct {
		name string
		of   func(Run) string
	}{
		{"Effort", func(r Run) string { return r.Conditions.Effort }},
		{"Start", func(r Run) string { return r.Conditions.Start }},
		{"Position", func(r Run) string { return r.Conditions.Position }},
		{"Equipment", func(r Run) string { return orNone(r.Conditions.Equipment) }},
	} {
		if text := c.name + unlike(runs, c.of); text != c.name {
			out = append(out, text)
		}
	}
	return out
}

// unlike says what each run states, grouped by it; "" where all that state it agree.
func unlike(runs []Run, of func(Run) string) string {
	var values []string
	who := map[string][]string{}
	for _, r := range runs {
		v := of(r)
		if v == "" {
			continue
		}
		if who[v] == nil {
			values = append(values, v)
		}
		who[v] = append(who[v], r.Short)
	}
	if len(values) < 2 {
		return ""
	}
	text := " differs:"
	for i, v := range values {
		if i > 0 {
			text += ";"
		}
		text += fmt.Sprintf(" %s for %s", v, listed(who[v]))
	}
	return text + "."
}

// listed joins names as a sentence does: "A, B and C".
func listed(names []string) string {
	text := names[0]
	for i, n := range names[1:] {
		if i == len(names)-2 {
			text += " and " + n
		} else {
			text += ", " + n
		}
	}
	return text
}
