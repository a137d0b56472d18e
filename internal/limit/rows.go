package limit

import "underkick/internal/body"

// Row is one published value.
type Row struct {
	ID      string // of the row in our list of reference values, "F12 A09" for a product of two
	Measure string // id of the measure it is held against
	Group   Group
	Sex     body.Sex // SexUnknown = mixed, or not stated

	N         int     // swimmers, 0 = not printed
	Mean      float64 // in the measure's unit, 0 = only a range is printed
	SD        float64 // between swimmers, 0 = not printed
	Low, High float64 // least and greatest, both 0 = not printed

	Source    Source
	Quoted    bool   // read only as quoted by somebody else
	Imposed   bool   // swum at an imposed kick rate
	Derived   bool   // computed from printed values of the same source
	Condition string // in words, "" = nothing special
}

// Firm reports whether anything may be judged by the row: it was read in its
// own source, and the swimmers chose their kick rate.
func (r Row) Firm() bool { return !r.Quoted && !r.Imposed }

const (
	male   = body.Male
	female = body.Female
)

// rows are the published values, measure by measure. Rows that were judged not
// to be usable are left out: V09 (speed with push-off), U01, U02, U03 (peak toe
// speeds barely above twice frequency times amplitude), W01, W02 (joint rates
// below that bound).
var rows = []Row{
	{ID: "V01", Measure: "speed", Group: Children, N: 35, Mean: 1.08, SD: 0.13, Source: wadrzyk2017, Condition: "water start without push-off, about 8 m"},
	{ID: "V02", Measure: "speed", Group: Youth, Sex: female, N: 18, Mean: 1.24, Source: wadrzyk2019, Condition: "about 7 m"},
	{ID: "V03", Measure: "speed", Group: Youth, Sex: male, N: 23, Mean: 1.35, Source: wadrzyk2019, Condition: "about 7 m"},
	{ID: "V04", Measure: "speed", Group: Adults, N: 10, Mean: 1.20, SD: 0.14, Source: kuhn2022, Imposed: true},
	{ID: "V07", Measure: "speed", Group: Adults, N: 17, Mean: 1.33, Source: shimojo2019, Quoted: true, Imposed: true},
	{ID: "V10", Measure: "speed", Group: Adults, N: 8, Mean: 1.53, SD: 0.06, Source: pressure2024, Condition: "faster group, maximal effort, flume"},
	{ID: "V11", Measure: "speed", Group: Adults, N: 8, Mean: 1.31, SD: 0.08, Source: pressure2024, Condition: "slower group, maximal effort, flume"},
	{ID: "V14", Measure: "speed", Group: Adults, Sex: male, Mean: 1.60, SD: 0.12, Source: shimojo2014, Quoted: true},
	{ID: "V15", Measure: "speed", Group: Adults, Sex: female, N: 8, Mean: 1.35, SD: 0.08, Source: yamakawa2017, Quoted: true},
	{ID: "V12", Measure: "speed", Group: Elite, N: 22, Low: 1.12, High: 1.85, Source: loebbecke2009, Condition: "race and training footage, mixed effort"},
	{ID: "V16", Measure: "speed", Group: Elite, Sex: male, N: 8, Mean: 1.75, SD: 0.16, Source: ikeda2021, Quoted: true},
	{ID: "V20", Measure: "speed", Group: Elite, Mean: 1.46, SD: 0.15, Source: alves2006, Quoted: true, Condition: "prone"},
	{ID: "V21", Measure: "speed", Group: Elite, Mean: 1.69, Source: arellano2002, Quoted: true, Condition: "prone"},

	{ID: "F01", Measure: "kick_frequency", Group: Children, N: 35, Mean: 2.00, SD: 0.39, Source: wadrzyk2017},
	{ID: "F02", Measure: "kick_frequency", Group: Youth, Sex: female, N: 18, Mean: 1.81, Source: wadrzyk2019, Derived: true},
	{ID: "F03", Measure: "kick_frequency", Group: Youth, Sex: male, N: 23, Mean: 1.83, Source: wadrzyk2019, Derived: true},
	{ID: "F10", Measure: "kick_frequency", Group: Adults, Sex: male, Mean: 2.13, SD: 0.23, Source: connaboy2016, Quoted: true},
	{ID: "F11", Measure: "kick_frequency", Group: Adults, Sex: male, Mean: 2.26, SD: 0.16, Source: shimojo2014, Quoted: true},
	{ID: "F12", Measure: "kick_frequency", Group: Adults, Sex: female, N: 8, Mean: 1.99, SD: 0.15, Source: yamakawa2017, Quoted: true},
	{ID: "F13", Measure: "kick_frequency", Group: Adults, Sex: female, Low: 1.98, High: 2.13, Source: hochstein2011, Quoted: true},
	{ID: "F05", Measure: "kick_frequency", Group: Elite, Sex: male, N: 9, Mean: 1.9, SD: 0.3, Source: matsuura2020},
	{ID: "F06", Measure: "kick_frequency", Group: Elite, Mean: 2.35, SD: 0.27, Source: alves2006, Quoted: true, Condition: "prone"},
	{ID: "F07", Measure: "kick_frequency", Group: Elite, Mean: 2.30, SD: 0.33, Source: alves2006, Quoted: true, Condition: "supine"},
	{ID: "F08", Measure: "kick_frequency", Group: Elite, Mean: 2.08, SD: 0.36, Source: alves2006, Quoted: true, Condition: "on the side"},
	{ID: "F09", Measure: "kick_frequency", Group: Elite, Mean: 2.22, Source: arellano2002, Quoted: true, Condition: "prone"},

	{ID: "A01", Measure: "toe_amplitude", Group: Children, N: 35, Mean: 0.46, SD: 0.08, Source: wadrzyk2017},
	{ID: "A03", Measure: "toe_amplitude", Group: Youth, Sex: female, N: 18, Mean: 0.58, Source: wadrzyk2019},
	{ID: "A04", Measure: "toe_amplitude", Group: Youth, Sex: male, N: 23, Mean: 0.63, Source: wadrzyk2019},
	{ID: "A09", Measure: "toe_amplitude", Group: Adults, Sex: female, N: 8, Mean: 0.48, SD: 0.05, Source: yamakawa2017, Quoted: true},
	{ID: "A05", Measure: "toe_amplitude", Group: Elite, Sex: male, N: 9, Mean: 0.45, Source: matsuura2020, Condition: "the spread is misprinted in the source"},
	{ID: "A06", Measure: "toe_amplitude", Group: Elite, Mean: 0.50, SD: 0.06, Source: alves2006, Quoted: true, Condition: "prone"},
	{ID: "A07", Measure: "toe_amplitude", Group: Elite, Mean: 0.55, SD: 0.08, Source: alves2006, Quoted: true, Condition: "supine"},
	{ID: "A08", Measure: "toe_amplitude", Group: Elite, Mean: 0.59, SD: 0.09, Source: alves2006, Quoted: true, Condition: "on the side"},
	{ID: "A02", Measure: "toe_amplitude_length", Group: Children, N: 35, Mean: 0.22, SD: 0.04, Source: wadrzyk2017},

	{ID: "L01", Measure: "kick_length", Group: Children, N: 35, Mean: 0.58, SD: 0.10, Source: wadrzyk2017},
	{ID: "L02", Measure: "kick_length", Group: Youth, Sex: female, N: 18, Mean: 0.67, Source: wadrzyk2019},
	{ID: "L03", Measure: "kick_length", Group: Youth, Sex: male, N: 23, Mean: 0.74, Source: wadrzyk2019},
	{ID: "L04", Measure: "kick_length", Group: Adults, N: 10, Mean: 0.72, SD: 0.10, Source: kuhn2022, Imposed: true},
	{ID: "L07", Measure: "kick_length", Group: Adults, Sex: male, Mean: 0.71, Source: shimojo2014, Quoted: true, Derived: true},
	{ID: "L08", Measure: "kick_length", Group: Adults, Sex: female, N: 8, Mean: 0.68, Source: yamakawa2017, Quoted: true, Derived: true},
	{ID: "L09", Measure: "kick_length", Group: Elite, Mean: 0.62, Source: alves2006, Quoted: true, Derived: true, Condition: "prone"},
	{ID: "L10", Measure: "kick_length", Group: Elite, Mean: 0.76, Source: arellano2002, Quoted: true, Derived: true, Condition: "prone"},

	{ID: "S01", Measure: "frequency_amplitude", Group: Children, N: 35, Mean: 0.90, SD: 0.11, Source: wadrzyk2017},
	{ID: "S02", Measure: "frequency_amplitude", Group: Youth, Sex: female, N: 18, Mean: 1.05, Source: wadrzyk2019},
	{ID: "S03", Measure: "frequency_amplitude", Group: Youth, Sex: male, N: 23, Mean: 1.15, Source: wadrzyk2019},
	{ID: "F12 A09", Measure: "frequency_amplitude", Group: Adults, Sex: female, N: 8, Mean: 0.96, Source: yamakawa2017, Quoted: true, Derived: true},
	{ID: "F06 A06", Measure: "frequency_amplitude", Group: Elite, Mean: 1.18, Source: alves2006, Quoted: true, Derived: true, Condition: "prone"},

	{ID: "S04", Measure: "strouhal", Group: Children, N: 35, Mean: 0.83, SD: 0.08, Source: wadrzyk2017},
	{ID: "S05", Measure: "strouhal", Group: Youth, Sex: female, N: 18, Mean: 0.85, Source: wadrzyk2019, Derived: true},
	{ID: "S06", Measure: "strouhal", Group: Youth, Sex: male, N: 23, Mean: 0.85, Source: wadrzyk2019, Derived: true},
	{ID: "S07", Measure: "strouhal", Group: Adults, Sex: female, N: 8, Mean: 0.71, Source: yamakawa2017, Quoted: true, Derived: true},
	{ID: "S08", Measure: "strouhal", Group: Elite, Mean: 0.80, Source: alves2006, Quoted: true, Derived: true, Condition: "prone"},
	{ID: "S09", Measure: "strouhal", Group: Elite, Mean: 0.80, Low: 0.59, High: 0.88, Source: connaboy2009, Quoted: true, Condition: "range of a review, skilled adults"},

	{ID: "J01", Measure: "knee_flexion_max", Group: Children, N: 35, Mean: 71.37, SD: 9.15, Source: wadrzyk2017},
	{ID: "J05", Measure: "knee_flexion_max", Group: Elite, Mean: 60.66, SD: 3.7, Source: alves2006, Quoted: true, Derived: true, Condition: "prone; 180 minus the joint angle"},
	{ID: "J06", Measure: "knee_flexion_max", Group: Elite, Sex: male, N: 8, Mean: 71.0, SD: 10.8, Source: ikeda2021, Quoted: true, Derived: true, Condition: "180 minus the joint angle"},
	{ID: "J07", Measure: "knee_range", Group: Adults, Sex: male, Mean: 89.6, SD: 6.9, Source: connaboy2016, Quoted: true},
	{ID: "J08", Measure: "knee_range", Group: Adults, Sex: male, Mean: 73.3, SD: 6.6, Source: yamakawa2022, Quoted: true, Condition: "flume"},
	{ID: "J02", Measure: "ankle_range", Group: Youth, Sex: female, N: 18, Mean: 64, Source: wadrzyk2019},
	{ID: "J03", Measure: "ankle_range", Group: Youth, Sex: male, N: 23, Mean: 57, Source: wadrzyk2019},
	{ID: "J04", Measure: "ankle_range", Group: Adults, Low: 34, High: 64, Source: veiga2022, Quoted: true, Condition: "across studies"},

	{ID: "E01", Measure: "slender_body_efficiency", Group: Adults, N: 17, Mean: 0.77, Source: shimojo2019, Quoted: true, Condition: "ankle free"},
	{ID: "E02", Measure: "slender_body_efficiency", Group: Adults, N: 17, Mean: 0.76, Source: shimojo2019, Quoted: true, Condition: "ankle taped"},
}

// Rows returns every published row in use, for the page of sources.
func Rows() []Row { return append([]Row(nil), rows...) }
