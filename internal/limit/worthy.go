package limit

import (
	"strings"

	"underkick/internal/limit/worth"
)

// fromWorth lets the finding lead with worth where the model names a limiter.
func (f *Finding) fromWorth(r reader) bool {
	w := r.worth
	if w == nil || w.Refused || w.Limiter == "none" || w.Sentence == "" {
		return false
	}
	f.Kind, f.Rule, f.Sentence = Worthy, ruleWorth, w.Sentence
	if w.Reference == "step" {
		f.Rule = ruleStep
	}
	f.Quality, f.Practice, f.WorthWhy = w.Limiter, w.Practice, w.Reason
	f.Word = w.Limiter
	f.Evidence = evidence(r.now.Result, worthMeasure[w.Limiter])
	return true
}

// worthMeasure is the measure that shows what worth names.
var worthMeasure = map[string]string{"facing": "facing", "sweep": "sweep", "build": "build", "tempo": "kick_frequency"}

// noWorth adds to a finding that worth does not lead. Only a comparison with the swimmer's
// own run can say that no single quality stands out in worth: fixed steps do not tell what
// a kick lost.
func (f *Finding) noWorth(r reader) {
	w := r.worth
	if w == nil {
		return
	}
	f.WorthWhy = w.Reason
	if w.Refused || w.Reference == "step" || f.Kind == NoneOut {
		return
	}
	f.Sentence = "No single quality stands out in worth. " + f.Sentence
}

// WorthOf returns the line of a quality ("facing", "sweep", "build") in an estimate; false
// where there is none to show.
func WorthOf(w *worth.Result, quality string) (worth.PartLine, bool) {
	if w == nil || w.Refused {
		return worth.PartLine{}, false
	}
	for _, l := range w.Parts {
		if l.Quality.String() == strings.ToLower(quality) {
			return l, true
		}
	}
	return worth.PartLine{}, false
}
