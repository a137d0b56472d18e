package kick

import "math"

// Method names this version of the definitions. It changes whenever a result may
// change for the same input, and is kept with every result.
const Method = "kick/1"

// Result is everything measured of one run.
type Result struct {
	Summary  []Measure // every measure of Definitions, in that order
	Kicks    []Kick    // in order of time, partial and dropped ones included
	Warnings []string  // assumptions made and doubts about the whole run, in words
	Signals  Signals   // curves for pages

	Method    string  // Method of the package
	FrameRate float64 // pictures per second that the limits were judged by, Hz
	Cutoff    float64 // of the low-pass, Hz; 0 where the traces came fitted and were not filtered
	Line      Line    // the travel line
	Height    float64 // standing height used, m; 0 when not known
	Steady    bool    // the counted kicks are steady
	Counted   int     // number of counted kicks
	Verdicts  bool    // at least three steady whole kicks: comparisons may carry a verdict
	Filtered  bool    // at least one path came raw and was filtered here
}

// Line is the travel line: the line that the centre of mass follows over the
// counted kicks.
type Line struct {
	X, Y   float64    // a point on it in the axes that came in, m
	Along  [2]float64 // unit vector of the swimming direction in the axes that came in
	Climb  float64    // angle above the horizontal, rad, positive upwards
	OfHip  bool       // the hip was followed, because landmarks of the centre of mass are missing
	Turned bool       // the swimmer swam towards -x of the axes that came in
	Supine bool       // y was mirrored: the swimmer swam on the back
}

// Measure is one number with its spread.
type Measure struct {
	ID        string
	Unit      string   // "m/s", "Hz", "deg", "1" for plain ratios, "" for words
	Value     float64  // mean over kicks or the run's own value; NaN if it cannot be had
	Text      string   // the value in a word where a number would say too much, else ""
	SD        float64  // scatter from kick to kick; NaN for fewer than two kicks
	N         int      // kicks behind it
	Low, High float64  // ends of the 95 % band of the run's value, within what the measure can be
	Reasons   []Reason // why it is doubtful or withheld; empty = nothing known against it
}

// Known reports whether the measure has a value.
func (m Measure) Known() bool { return m.Text != "" || !math.IsNaN(m.Value) }

// Reason says why a measure is doubtful or missing.
type Reason struct {
	Code     string // fixed word for programs, such as "few-kicks"
	Text     string // one sentence for people
	Withheld bool   // the value is not given because of this
}

// Kick is one kick, from one highest toe position to the next.
type Kick struct {
	Number  int                // 1 for the first whole kick of the run; 0 for a partial one
	Start   float64            // toe top, s; the first picture for a partial kick that begins before it
	Bottom  float64            // lowest toe position, s; NaN if not seen
	End     float64            // next toe top, s; the last picture for a partial kick
	Moments Moments            // key moments, s
	Values  map[string]float64 // by measure id, the units of Definitions; NaN where it cannot be had; nil for a partial kick
	Counted bool               // part of the summary
	Why     string             // why it is not counted, "" when it is
}

// Moments are a kick's key moments as presentation times, s; NaN where one
// cannot be had.
type Moments struct {
	Set, Drive, Fastest, Finish         float64 // downkick
	SetUp, DriveUp, FastestUp, FinishUp float64 // upkick
}

// Moment is one key moment with its name.
type Moment struct {
	Name   string // "set", "drive", "fastest", "finish", "set-up", "drive-up", "fastest-up", "finish-up"
	Upkick bool
	T      float64 // s
}

// List returns the moments that are known, those of the downkick first.
func (m Moments) List() []Moment {
	all := []Moment{
		{"set", false, m.Set},
		{"drive", false, m.Drive},
		{"fastest", false, m.Fastest},
		{"finish", false, m.Finish},
		{"set-up", true, m.SetUp},
		{"drive-up", true, m.DriveUp},
		{"fastest-up", true, m.FastestUp},
		{"finish-up", true, m.FinishUp},
	}
	known := all[:0]
	for _, k := range all {
		if !math.IsNaN(k.T) {
			known = append(known, k)
		}
	}
	return known
}

// Measure returns the summary's measure with this id.
func (r *Result) Measure(id string) (Measure, bool) {
	for _, m := range r.Summary {
		if m.ID == id {
			return m, true
		}
	}
	return Measure{}, false
}
