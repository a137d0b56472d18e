package worth

import "underkick/internal/hydro"

// Coefficient is one of the water's coefficients with the range it is drawn from.
type Coefficient struct {
	Name      string
	Unit      string // "" or "deg"
	Value     float64
	Low, High float64
}

// Coefficients lists what the error draws draw, in the order in which they do.
func Coefficients() []Coefficient {
	c := hydro.Default()
	return []Coefficient{
		{"added mass of the feet", "", c.AddedFeet, 0.5, 1.0},
		{"added mass of the rest", "", c.AddedRest, 0.7, 1.0},
		{"drag across the feet", "", c.NormalFeet, 1.2, 2.6},
		{"drag across the legs", "", c.NormalLegs, 0.8, 1.5},
		{"drag across trunk and arms", "", c.NormalTrunk, 0.8, 1.5},
		{"water carried along the body", "", c.Surge, 0.04, 0.25},
		{"bend of the forefoot", "deg", c.Forefoot / deg, 0, 15},
		{"breadth of the feet", "", c.FootBreadth, 0.9, 1.1},
	}
}
