package worth

import (
	"fmt"
	"math"
	"strings"

	"underkick/internal/chart"
)

// The naming rule (hydrodynamics.md, section 7).
const (
	leastShare = 0.02 // of the speed
	leastSDs   = 2.0
)

// unexplained is how the remainder is called in sentences.
const unexplained = "what the parts do not explain"

// name chooses the limiter. A part competes if its Shapley value is above both 2 % of
// the speed and twice its own standard deviation; rest and the unexplained remainder
// compete under the same test. The largest competitor is the limiter, unless it is rest
// or the remainder, or would gain nothing alone: then only the mix of several parts does.
func (r *Result) name() {
	r.Limiter = "none"
	best, value := "", 0.0
	compete := func(who string, b Band) {
		if r.competes(b) && b.Value > value {
			best, value = who, b.Value
		}
	}
	for _, l := range r.Parts {
		compete(l.Quality.String(), l.Shapley)
	}
	compete(unexplained, r.Unexplained)
	switch {
	case r.Draws == 0:
		r.Reason = "No error draws were made, so no part can be told from its own error."
	case best == "":
		r.Reason = fmt.Sprintf("No single quality stands out: none is worth more than %.2f m/s and twice its own error.", leastShare*r.Speed)
	case best == Rest.String():
		r.Reason = fmt.Sprintf("Most of the difference, about %.2f m/s, lies in the rest of the kick (how hip and knee move between their end positions, the upkick's timing, the arms), not in one quality.", value)
	case best == unexplained:
		r.Reason = fmt.Sprintf("Most of the difference, about %.2f m/s, is not explained by the kick: effort, streamline, depth or marking may differ between the runs.", value)
	case !(r.alone(best) > 0):
		r.Reason = fmt.Sprintf("No single quality stands out: %s carries about %.2f m/s of the difference, but only together with other parts.", best, value)
	default:
		r.Limiter = best
		r.lead()
		r.Practice = r.practice()
	}
}

// competes reports whether a number is above 2 % of the speed and twice its own error.
func (r *Result) competes(b Band) bool {
	return b.Value > leastShare*r.Speed && b.Value > leastSDs*b.SD
}

// practice chooses the quality to practise first once a limiter is named: the limiter,
// unless it gains only by working harder and another quality that competes does not.
func (r *Result) practice() string {
	best, value := r.Limiter, 0.0
	for _, l := range r.Parts {
		switch {
		case l.Quality == Rest || !(l.EqualEffort >= sameEffort) || !r.competes(l.Shapley) || !(l.SpeedChange.Value > 0):
		case l.Quality.String() == r.Limiter:
			return r.Limiter
		case l.Shapley.Value > value:
			best, value = l.Quality.String(), l.Shapley.Value
		}
	}
	return best
}

// alone is what a part is worth alone, m/s.
func (r *Result) alone(part string) float64 {
	for _, l := range r.Parts {
		if l.Quality.String() == part {
			return l.SpeedChange.Value
		}
	}
	return math.NaN()
}

// lead writes the sentences about the named limiter.
func (r *Result) lead() {
	for _, l := range r.Parts {
		if l.Quality.String() != r.Limiter {
			continue
		}
		r.Reason = fmt.Sprintf("%s carries the largest share of the difference to the reference run: %s of %s.",
			title(r.Limiter), about(l.Shapley), signed(r.Against-r.Speed))
		r.Sentence = fmt.Sprintf("The model expects about %s if %s were as in the reference run and everything else stays", about(l.SpeedChange), r.Limiter)
		r.Sentence += Harder(l.EqualEffort, l.SpeedChange.Value) + fmt.Sprintf(" (evidence: %s).", Label(l.Evidence))
	}
}

// sameEffort is the least change at the same effort that is worth saying, m/s: half the
// last digit shown.
const sameEffort = 0.005

// Harder says in half a sentence how much of a change comes at the same effort.
func Harder(equal, whole float64) string {
	if !(equal >= sameEffort) {
		return ", only by working harder"
	}
	return fmt.Sprintf(", about %s of it at the same effort", signed(math.Min(equal, whole)))
}

// nameStep chooses among steps: a limiter only if one step's band lies wholly above all
// others.
func (r *Result) nameStep(tried []ChangeLine) {
	r.Limiter = "none"
	r.Reason = "There is no reference run of this swimmer to compare with, so only fixed steps were tried, and none is worth clearly more than the others."
	if r.Draws == 0 {
		return
	}
	for i, l := range tried {
		above := l.SpeedChange.Low > 0
		for j, o := range tried {
			above = above && (i == j || l.SpeedChange.Low > o.SpeedChange.High)
		}
		if above {
			r.Limiter = steps[i].part.String()
			r.Practice = r.Limiter
			r.Reason = fmt.Sprintf("There is no reference run of this swimmer to compare with. Of the fixed steps tried, %v (%s) is worth clearly most.", l.Change, l.Words)
			r.Sentence = fmt.Sprintf("The model expects about %s from %v if everything else stays%s (evidence: %s).",
				about(l.SpeedChange), l.Change, Harder(l.EqualEffort, l.SpeedChange.Value), Label(l.Evidence))
		}
	}
}

// Label is an evidence line in short, what stands before its colon: "experiment",
// "model only".
func Label(evidence string) string {
	short, _, _ := strings.Cut(evidence, ":")
	return short
}

// about writes a speed with its band: "+0.07 m/s (0.03 to 0.11)".
func about(b Band) string {
	if math.IsNaN(b.Low) {
		return signed(b.Value)
	}
	return fmt.Sprintf("%s (%s to %s)", signed(b.Value), chart.FormatNumber(b.Low, 2), chart.FormatNumber(b.High, 2))
}

func signed(v float64) string { return chart.Signed(v, 2, " m/s") }

func title(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func count(n int) string {
	if n == 1 {
		return "1 whole kick"
	}
	return fmt.Sprintf("%d whole kicks", n)
}
