package limit

import (
	"math"

	"underkick/internal/chart"
	"underkick/internal/kick"
)

// names holds what each measure is called, by id.
var names = func() map[string]string {
	m := map[string]string{}
	for _, d := range kick.Definitions() {
		m[d.ID] = d.Name
	}
	return m
}()

// Name returns a measure's name in plain words, the id where there is none.
func Name(id string) string {
	if n, ok := names[id]; ok {
		return n
	}
	return id
}

// Show writes a value with its unit, with the decimals its error allows: 1.21
// m/s, 2.08 Hz, 0.46 m, 71°, 0.83. NaN is "not known".
func Show(v float64, unit string) string {
	if math.IsNaN(v) {
		return "not known"
	}
	switch unit {
	case "deg":
		return bare(v, unit) + "°"
	case "1", "":
		return bare(v, unit)
	}
	return bare(v, unit) + " " + unit
}

// bare writes a value without its unit.
func bare(v float64, unit string) string {
	if unit == "deg" || unit == "deg/s" {
		return chart.FormatNumber(v, 0)
	}
	return chart.FormatNumber(v, 2)
}

// percent writes a share of 1: "29 %".
func percent(v float64) string { return chart.FormatNumber(100*v, 0) + " %" }
