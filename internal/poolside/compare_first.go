package poolside

import (
	"fmt"

	"underkick/internal/compare"
	"underkick/internal/limit"
	"underkick/internal/report"
)

// say fills what is said of a comparison in words: first the most important, at most
// compare.FirstSaid sentences, and all of it for who asks.
func (v *CompareView) say(pairs []compare.Said) {
	var verdicts [][]compare.Sentence
	for i, p := range pairs {
		view := MostView{Heading: p.Heading, Sentences: p.Words()}
		if v.OneSwimmer {
			list := v.verdictsOf(i + 1)
			verdicts = append(verdicts, list)
			for _, s := range list {
				view.Verdicts = append(view.Verdicts, s.Words)
			}
		}
		v.Most = append(v.Most, view)
	}
	v.First = compare.First(verdicts, pairs)
	v.More = v.allSaid() > len(v.First)
}

// allSaid counts the sentences of all pairs.
func (v *CompareView) allSaid() int {
	n := 0
	for _, m := range v.Most {
		n += len(m.Verdicts) + max(len(m.Sentences), 1)
	}
	return n
}

// verdictsOf says what became of speed, and of every measure that changed, from the first
// run to the i-th.
func (v *CompareView) verdictsOf(i int) []compare.Sentence {
	var out []compare.Sentence
	for _, row := range v.Table {
		a := row.Against[i-1]
		if row.ID == "speed" || a.Verdict == limit.Higher || a.Verdict == limit.Lower {
			out = append(out, compare.Sentence{Words: v.verdictWords(row, i), About: compare.About(row.ID)})
		}
	}
	return out
}

func (v *CompareView) verdictWords(row compare.Row, i int) string {
	a := row.Against[i-1]
	then, now := v.Runs[0].Short, v.Runs[i].Short
	if a.Verdict == limit.Refused {
		why := ""
		if len(a.Why) > 0 {
			why = " " + a.Why[0]
		}
		return fmt.Sprintf("%s: no verdict on %s against %s.%s", row.Name, now, then, why)
	}
	text := fmt.Sprintf("%s: %s on %s than on %s", row.Name, a.Verdict, now, then)
	if a.Verdict == limit.NoChange {
		text = fmt.Sprintf("%s: no change shown from %s to %s", row.Name, then, now)
	}
	text += fmt.Sprintf(" (%s, %s; smallest real change %s).", valueWithBand(row.Cells[0]), valueWithBand(row.Cells[i]), report.Distance(row.ID, row.Unit, a.Smallest))
	if a.Exploratory {
		text += " Exploratory."
	}
	return text
}
