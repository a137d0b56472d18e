package report

import (
	"math"
	"strings"

	"underkick/internal/chart"
	"underkick/internal/kick"
)

// definitions by measure id.
var definitions = func() map[string]kick.Definition {
	byID := map[string]kick.Definition{}
	for _, d := range kick.Definitions() {
		byID[d.ID] = d
	}
	return byID
}()

// Definition returns the definition of a measure, false for an unknown id.
func Definition(id string) (kick.Definition, bool) {
	d, ok := definitions[id]
	return d, ok
}

// shown is how a measure is written for people.
type shown struct {
	factor   float64 // from the measure's unit to the one shown
	unit     string
	decimals int
}

// showing returns how a measure is written: with the decimals of its definition,
// degrees with their sign, facing in per cent as the finding's sentences have it,
// and areas in cm², because a foot has no area that reads well in square metres.
func showing(id, unit string) shown {
	if strings.HasPrefix(id, "facing") {
		return shown{100, "%", 0}
	}
	s := shown{factor: 1, unit: unit, decimals: 2}
	if d, ok := definitions[id]; ok {
		s.decimals = d.Digits
	}
	switch unit {
	case "1":
		s.unit = ""
	case "deg":
		s.unit = "°"
	case "deg/s":
		s.unit = "°/s"
	case "m2":
		return shown{1e4, "cm²", 0}
	}
	return s
}

// Number writes a value of a measure as pages show it, without its unit; "–"
// where it is not known.
func Number(id, unit string, value float64) string {
	s := showing(id, unit)
	return chart.FormatNumber(value*s.factor, s.decimals)
}

// Unit returns the unit that Number writes in, "" for plain ratios.
func Unit(id, unit string) string { return showing(id, unit).unit }

// WithUnit writes a value with its unit, joined by a space that does not break.
func WithUnit(id, unit string, value float64) string {
	n, u := Number(id, unit, value), Unit(id, unit)
	switch {
	case u == "" || n == "–":
		return n
	case u == "°":
		return n + u
	}
	return n + "\u00a0" + u
}

// FromShown returns the value of a measure, in its own unit, of a number as Number writes it.
func FromShown(id, unit string, number float64) float64 { return number / showing(id, unit).factor }

// Shown returns the number of a measure as Number writes it, with all its decimals.
func Shown(id, unit string, value float64) float64 { return value * showing(id, unit).factor }

// Value writes a measure: its word where it has one, else its number with unit.
func Value(m kick.Measure) string {
	if m.Text != "" {
		return m.Text
	}
	return WithUnit(m.ID, m.Unit, m.Value)
}

// Spread writes the 95 % band of a measure, "" where there is none.
func Spread(m kick.Measure) string {
	if m.Text != "" || math.IsNaN(m.Low) || math.IsNaN(m.High) || !(m.High > m.Low) {
		return ""
	}
	return Number(m.ID, m.Unit, m.Low) + " to " + WithUnit(m.ID, m.Unit, m.High)
}

// Doubtful reports whether something is known against a measure.
func Doubtful(m kick.Measure) bool { return len(m.Reasons) > 0 || !m.Known() }

// Banded writes a measure with its band behind it, alone where there is none.
func Banded(m kick.Measure) string {
	if band := Spread(m); band != "" {
		return Value(m) + " (" + band + ")"
	}
	return Value(m)
}
