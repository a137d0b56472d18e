package worth

import "underkick/internal/swim"

// Method names this version of the estimate. It changes whenever a result may change
// for the same input.
const Method = "worth/2"

// Result is what the parts of a kick are worth to one swimmer: model estimates.
type Result struct {
	Limiter   string // "facing", "sweep", "build", "tempo", or "none"
	Reason    string // why that, in sentences
	Sentence  string // what the model expects of the limiter, "" for "none"
	Practice  string // the quality to practise first: gains at the same effort come before others; "" for none
	Refused   bool   // the input is too poor: Reason says why, and there is no number
	Reference string // "run": the reference is a run of the swimmer; "step": fixed steps

	Speed       float64    // measured, m/s
	Against     float64    // measured in the reference runs, m/s; NaN for steps
	Parts       []PartLine // facing, sweep, build, tempo, rest; nil when refused
	Unexplained Band       // measured difference less the sum of the Shapley values, m/s; NaN for steps
	Changes     []ChangeLine
	Together    *TogetherLine // all Changes made together; nil with fewer than two, or one asked twice
	Push        []PushLine    // of every counted kick; nil where landmarks have gaps
	Flags       []Flag        // what makes the estimate doubtful

	Draws   int // error draws behind the bands; 0 = the bands are not known
	Dropped int // of them without a steady swim

	Swim *swim.Orbit // the kick in the model: for expert pages, each number marked as model; nil when refused
}

// Band is a number with its 95 % band and standard deviation, NaN where not known.
type Band struct{ Value, Low, High, SD float64 }

// PartLine is what one part is worth. NaN stands for what is not known: without a
// reference run build and rest have no step, and there are no Shapley values.
type PartLine struct {
	Quality     Part
	Step        string  // the step tried where there is no reference run, "" else
	SpeedChange Band    // when this part alone is changed, m/s
	Shapley     Band    // its share of the whole difference, m/s
	EqualEffort float64 // when this part alone is changed, at unchanged power by slowing the tempo, m/s
	PowerChange float64 // when this part alone is changed, as a fraction
	Evidence    string  // "model only", or what experiments say
}

// ChangeLine answers one what-if.
type ChangeLine struct {
	Change
	Unit        string
	Words       string
	SpeedChange Band    // m/s
	EqualEffort float64 // m/s at unchanged power, by slowing the tempo
	PowerChange float64 // as a fraction
	Evidence    string
}

// TogetherLine answers several what-ifs made together.
type TogetherLine struct {
	Words       string  // "foot +10 deg and tempo +5 %"
	SpeedChange Band    // m/s
	EqualEffort float64 // m/s at unchanged power
	PowerChange float64 // as a fraction
}

// Flag says what makes an estimate doubtful.
type Flag struct {
	Code string // fixed word for programs, such as "personal-factor"
	Text string // one sentence for people
}
