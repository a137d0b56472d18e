package wall

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"

	"underkick/internal/spread"
)

// Given is one input: a number with its standard deviation, and where it comes from. The
// zero value is not known.
type Given struct {
	Value   float64 `json:"value"`
	SD      float64 `json:"sd"`
	From    string  `json:"from,omitempty"` // "run of 3 May 2026", "typed"
	Assumed bool    `json:"assumed,omitempty"`
}

// Known reports whether there is a number.
func (g Given) Known() bool { return g.Value > 0 }

// drawn returns one draw: normal, and never outside low to high.
func (g Given) drawn(rng *rand.Rand, low, high float64) float64 {
	return math.Min(high, math.Max(low, g.Value+g.SD*rng.NormFloat64()))
}

// Band is a number with its 95 % band. NaN is not known, and null in JSON.
type Band struct {
	Value, Low, High float64
}

// Unknown is a band without a number.
func Unknown() Band { return Band{math.NaN(), math.NaN(), math.NaN()} }

// Known reports whether there is a number.
func (b Band) Known() bool { return !math.IsNaN(b.Value) }

// bandOf returns value with the 2.5 and 97.5 % quantiles of its draws, which it sorts; the
// band always holds the value.
func bandOf(value float64, draws []float64) Band {
	if len(draws) == 0 || math.IsNaN(value) {
		return Band{value, math.NaN(), math.NaN()}
	}
	slices.Sort(draws) // once for both ends
	return Band{
		value,
		math.Min(value, spread.Quantile(draws, 0.025)),
		math.Max(value, spread.Quantile(draws, 0.975)),
	}
}

// MarshalJSON writes {"value", "low", "high"}, null for what is not known.
func (b Band) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Value *float64 `json:"value"`
		Low   *float64 `json:"low"`
		High  *float64 `json:"high"`
	}{number(b.Value), number(b.Low), number(b.High)})
}

// number is x for JSON, nil for what is not finite.
func number(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// Reason says what is assumed, doubtful or withheld.
type Reason struct {
	Code string `json:"code"` // fixed word for programs, such as "glide-assumed"
	Text string `json:"text"` // one or two sentences for people
}
