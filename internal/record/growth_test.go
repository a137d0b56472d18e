package record

import (
	"errors"
	"slices"
	"testing"
)

func TestHeightNearestToTheDay(t *testing.T) {
	history := []Growth{
		{On: "2025-03-01", HeightM: 1.52, MassKg: 42},
		{On: "2026-03-01", HeightM: 1.60},
		{HeightM: 1.40}, // on a day that nobody noted
		{On: "2026-09-01", MassKg: 51},
	}
	for _, c := range []struct {
		on       Date
		height   float64
		heightOn Date
		mass     float64
		massOn   Date
	}{
		{"2025-04-01", 1.52, "2025-03-01", 42, "2025-03-01"},
		{"2024-01-01", 1.52, "2025-03-01", 42, "2025-03-01"},
		{"2026-02-01", 1.60, "2026-03-01", 51, "2026-09-01"},
		{"2027-01-01", 1.60, "2026-03-01", 51, "2026-09-01"},
		{"2025-08-30", 1.52, "2025-03-01", 42, "2025-03-01"}, // 182 days after the one, 183 before the other
		{"2025-08-31", 1.60, "2026-03-01", 42, "2025-03-01"},
		{"", 1.60, "2026-03-01", 51, "2026-09-01"},
	} {
		for range 2 {
			got := Swimmer{HeightM: 9, MassKg: 9}.Grown(history, c.on)
			if got.HeightM != c.height || got.HeightOn != c.heightOn || got.MassKg != c.mass || got.MassOn != c.massOn {
				t.Errorf("on %s: %.2f of %s, %.0f of %s", c.on, got.HeightM, got.HeightOn, got.MassKg, got.MassOn)
			}
			slices.Reverse(history) // the order of the history does not matter
		}
	}
	only := Swimmer{HeightM: 1.7, HeightOn: "2026-01-01"}
	if got := only.Grown(nil, "2026-05-01"); got.HeightM != 1.7 || got.HeightOn != "2026-01-01" {
		t.Errorf("without a history: %+v", got)
	}
	if got := only.Grown([]Growth{{HeightM: 1.4}}, "2026-05-01"); got.HeightM != 1.4 || got.HeightOn != "" {
		t.Errorf("one whose day is not known: %+v", got)
	}
	tie := []Growth{{On: "2026-01-03", HeightM: 1.62}, {On: "2026-01-01", HeightM: 1.61}}
	if got := only.Grown(tie, "2026-01-02"); got.HeightM != 1.61 {
		t.Errorf("of two as near: %+v", got)
	}
}

func TestGrowthFaults(t *testing.T) {
	good := Growth{SwimmerID: "w", On: "2026-03-01", HeightM: 1.6}
	if err := good.Validate(); err != nil {
		t.Error(err)
	}
	for field, bad := range map[string]Growth{
		"swimmer":  {HeightM: 1.6},
		"on":       {SwimmerID: "w", On: "2026-13-01", HeightM: 1.6},
		"height_m": {SwimmerID: "w", On: "2026-03-01"},
		"mass_kg":  {SwimmerID: "w", On: "2026-03-01", MassKg: 3},
	} {
		var faults Faults
		if err := bad.Validate(); !errors.As(err, &faults) || faults.For(field) == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
}
