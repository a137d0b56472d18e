package limit

import (
	"math"
	"slices"

	"underkick/internal/kick"
	"underkick/internal/spread"
)

// unfit returns why a measure bears no verdict; when says which visit it is from.
func unfit(m kick.Measure, when string) []string {
	var why []string
	for _, r := range m.Reasons {
		if r.Withheld || !slices.Contains(soft, r.Code) {
			why = append(why, sentence(r.Text, when))
		}
	}
	if len(why) == 0 && math.IsNaN(m.Value) {
		why = append(why, sentence("It has no value.", when))
	}
	return why
}

func sentence(text, when string) string {
	switch when {
	case "now":
		return "In this run: " + text
	case "then":
		return "In the earlier run: " + text
	}
	return text
}

// clipError returns the standard error that is the same in all kicks of a clip
// (scale, roll, marking offset), worked back from the band:
//
//	half^2 = (t(n-1) SD/sqrt n)^2 + (1.96 s)^2
//
// Where the marking error of single points outweighs the scatter of the kicks it
// comes out too large, which only makes the verdict more careful.
func clipError(m kick.Measure) float64 {
	half := m.Half()
	if math.IsNaN(half) {
		return 0
	}
	scatter := 0.0
	if m.N > 1 && !math.IsNaN(m.SD) {
		scatter = spread.T95(m.N-1) * m.SD / math.Sqrt(float64(m.N))
	}
	return math.Sqrt(max(0, half*half-scatter*scatter)) / normal95
}

func isFacing(id string) bool { return id == "facing" || id == "facing_upkick" }
