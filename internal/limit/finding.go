package limit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"underkick/internal/chart"
	"underkick/internal/kick"
	"underkick/internal/limit/worth"
)

// Input is everything a finding stands on.
type Input struct {
	Now    Run
	Own    []Run // the swimmer's other measured runs, in order of time; may hold Now
	Person Person
	Year   int // of the visit; 0 = not known

	// Scatter is how repeated runs scatter over the whole squad: it gives the
	// squad's typical error.
	Scatter Scatters

	// Treated is the id of the measure being practised; with speed it is judged
	// without correction for many comparisons. "" = none.
	Treated string

	// Worth is what the qualities are worth to this swimmer in speed; nil = not estimated,
	// or not yet.
	Worth *worth.Result
}

// Kind is what the finding's sentence rests on.
type Kind string

// The kinds, in the order of the rule.
const (
	TooFew    Kind = "too few kicks"
	Worthy    Kind = "worth"
	Changed   Kind = "changed"
	OutOfLine Kind = "outside the published range"
	NoneOut   Kind = "nothing stands out"
)

// Finding is what one run says.
type Finding struct {
	Kind     Kind
	Sentence string // one plain sentence
	Word     string // the same in a few words, for lists
	Rule     string // by which rule the sentence was chosen
	Doubt    string // what is to be checked before the sentence is believed, "" = nothing

	Quality   string // "facing", "sweep", "build", and "tempo" by worth, where the sentence names one, else ""
	Practice  string // by worth: the quality to practise first; gains at the same effort come first; "" = none
	WorthWhy  string // why worth names that, or names none or could not be estimated; "" = not estimated
	Evidence  Evidence
	Qualities []Quality    // facing, sweep, build
	Context   []Comparison // speed and rhythm, and the angles with a published range
	Changes   []Change     // against the earlier visit
	NoChanges []string     // why nothing is compared, "" entries never; empty where Changes stands
	Group     Group        // whose published ranges were used
	GroupNote string       // why none, or what was assumed
	Flags     []Flag       // numbers outside the usual span

	CannotTell []string // what the clip or the records cannot tell
	Cautions   []string // what applies to every reading of this page
}

// contextIDs are the measures shown beside the three qualities.
var contextIDs = []string{
	"speed", "kick_frequency", "kick_length", "toe_amplitude", "toe_amplitude_length", "frequency_amplitude",
	"strouhal", "knee_flexion_max", "knee_range", "ankle_range", "slender_body_efficiency",
}

// Rules, as Finding.Rule tells them.
const (
	ruleTooFew  = "A finding needs three whole, steady kicks."
	ruleChanged = "The quality that changed most against the earlier visit, beyond the smallest real change."
	ruleOut     = "The measure furthest outside two standard deviations of a published sample, with its whole band."
	ruleWorth   = "The quality with the largest share of the difference to the reference run, above 2 % of the speed and twice its own error. A model's estimate."
	ruleStep    = "Of fixed steps tried in the model, the one whose band lies above all others."
	ruleNothing = "No like earlier run and no published range with a spread was there to judge by."
	ruleNone    = "No quality changed beyond the smallest real change. No band lies outside two standard deviations of a published sample."
)

// Find writes the finding of a run. It panics if Now has no result.
func Find(in Input) *Finding {
	if in.Now.Result == nil {
		panic("limit: Find needs a measured run")
	}
	f := &Finding{}
	f.Group, f.GroupNote = GroupOf(in.Person, in.Year)
	r := reader{now: in.Now, earlier: in.Own, group: f.Group, sex: in.Person.Sex}
	f.Changes, f.NoChanges = changes(in.Now, in.Own, compareOptions{in.Scatter, in.Treated})
	f.Qualities = r.qualities(f.Changes)
	for _, id := range contextIDs {
		if c, ok := r.compare(id); ok {
			f.Context = append(f.Context, c)
		}
	}
	f.Flags = Implausible(in.Now.Result)
	r.worth = in.Worth
	f.conclude(r)
	if len(f.Flags) > 0 {
		f.Doubt = f.Flags[0].Text
	}
	f.CannotTell = cannotTell(in, f)
	f.Cautions = cautions(in, f)
	return f
}

// conclude goes through the rule from the top.
func (f *Finding) conclude(r reader) {
	if f.tooFew(r) {
		return
	}
	if f.fromWorth(r) {
		return
	}
	defer f.noWorth(r)
	if c, ok := mostChanged(f.Changes); ok {
		f.fromChange(r, c)
		return
	}
	if c, ok := furthestOut(f.Context, f.Flags); ok {
		f.fromRange(r, c)
		return
	}
	f.Kind, f.Rule, f.Word = NoneOut, ruleNone, "none stands out"
	f.Evidence = evidence(r.now.Result, "")
	f.Sentence = "No single quality stands out" + outcome(r) + "."
	if len(f.Changes) == 0 && !judged(f.Context) {
		f.Rule, f.Word = ruleNothing, "nothing to judge by"
		f.Sentence = "Nothing to judge by yet" + outcome(r) + "."
	}
}

// judged reports whether any measure could be held against a published range.
func judged(list []Comparison) bool {
	return slices.ContainsFunc(list, func(c Comparison) bool {
		return c.Standing == Within || c.Standing == Below || c.Standing == Above
	})
}

// outcome tells in half a sentence what the kicks gave, where it is known.
func outcome(r reader) string {
	speed, okSpeed := r.get("speed")
	tempo, okTempo := r.get("kick_frequency")
	if !okSpeed || !okTempo {
		return ""
	}
	text := fmt.Sprintf(": %s at %s kicks per second", withBand(speed), bare(tempo.Value, tempo.Unit))
	if travel, ok := r.get("toe_amplitude"); ok {
		text += fmt.Sprintf(" and %s of toe travel", Show(travel.Value, travel.Unit))
	}
	return text
}

func (f *Finding) tooFew(r reader) bool {
	res := r.now.Result
	if res.Verdicts {
		return false
	}
	f.Kind, f.Rule, f.Word = TooFew, ruleTooFew, string(TooFew)
	f.Evidence = evidence(res, "")
	switch {
	case res.Counted == 0:
		f.Sentence = "No whole kick is seen; film at least three kicks from toe top to toe top."
		f.Word = "no whole kick"
	case res.Counted >= 3:
		f.Sentence = "The speed falls from kick to kick; film three kicks at steady speed for a finding."
		f.Word = "not steady"
	case res.Counted == 1:
		f.Sentence = "One whole kick is too few for a finding; film three or more."
	default:
		f.Sentence = "Two whole kicks are too few for a finding; film three or more."
	}
	return true
}

// mostChanged returns the quality that changed most in units of its smallest
// real change. Speed and rhythm are outcomes, no qualities, and are not named.
func mostChanged(list []Change) (Change, bool) {
	var best Change
	most := 0.0
	for _, c := range list {
		if qualityOf(c.Measure) == "" || (c.Verdict != Higher && c.Verdict != Lower) {
			continue
		}
		if size := math.Abs(c.Difference) / c.Smallest; size > most {
			best, most = c, size
		}
	}
	return best, most > 0
}

func (f *Finding) fromChange(r reader, c Change) {
	f.Kind, f.Rule, f.Quality = Changed, ruleChanged, qualityOf(c.Measure)
	f.Evidence = evidence(r.now.Result, c.Measure)
	f.Word = f.Quality + " " + string(c.Verdict)
	m, _ := r.get(c.Measure)
	f.Sentence = fmt.Sprintf("%s in the %s is %s than on %s: %s now, %s then.",
		title(f.Quality), phaseOf(c.Measure), c.Verdict, c.When, withBand(m), number(c.Measure, c.Then, c.Unit))
}

// furthestOut returns the measure whose band lies furthest outside the range, in
// widths of that range. Outcomes of the whole kick (speed, distance per kick,
// Strouhal number) say nothing about what to look at and are not named, and
// neither is a number that is flagged as hardly possible.
func furthestOut(list []Comparison, flags []Flag) (Comparison, bool) {
	var best Comparison
	most := 0.0
	for _, c := range list {
		flagged := slices.ContainsFunc(flags, func(f Flag) bool { return f.Measure == c.Measure.ID })
		if _, named := looks[c.Measure.ID]; !named || flagged || doubtful(c.Measure) {
			continue
		}
		width, out := c.Published.judgeHigh-c.Published.judgeLow, 0.0
		switch c.Standing {
		case Below:
			out = c.Published.judgeLow - c.Measure.High
		case Above:
			out = c.Measure.Low - c.Published.judgeHigh
		}
		if out > 0 && out/width > most {
			best, most = c, out/width
		}
	}
	return best, most > 0
}

func doubtful(m kick.Measure) bool { return len(unfit(m, "")) > 0 }

func (f *Finding) fromRange(r reader, c Comparison) {
	f.Kind, f.Rule, f.Quality = OutOfLine, ruleOut, qualityOf(c.Measure.ID)
	f.Evidence = evidence(r.now.Result, c.Measure.ID)
	side := "above"
	if c.Standing == Below {
		side = "below"
	}
	f.Word = fmt.Sprintf("%s %s range", strings.ToLower(c.Name), side)
	f.Sentence = fmt.Sprintf("%s is %s what is published for %s: %s; published %s to %s.",
		c.Name, side, c.Published.Group, withBand(c.Measure),
		bare(c.Published.judgeLow, c.Measure.Unit), Show(c.Published.judgeHigh, c.Measure.Unit))
}

// qualityOf returns the quality that a measure describes, "" for none.
func qualityOf(id string) string {
	switch strings.TrimSuffix(id, "_upkick") {
	case "facing":
		return "facing"
	case "sweep", "toe_amplitude", "toe_amplitude_length":
		return "sweep"
	case "build":
		return "build"
	}
	return ""
}

func phaseOf(id string) string {
	if strings.HasSuffix(id, "_upkick") {
		return "upkick"
	}
	return "downkick"
}

// number writes a measure's value as sentences do: facing in per cent.
func number(id string, v float64, unit string) string {
	if isFacing(id) {
		return percent(v)
	}
	return Show(v, unit)
}

// withBand writes a measure's value with its 95 % band in brackets: "1.40 m/s
// (1.36 to 1.44)".
func withBand(m kick.Measure) string {
	text := number(m.ID, m.Value, m.Unit)
	if math.IsNaN(m.Low) || math.IsNaN(m.High) {
		return text
	}
	low, high, unit := m.Low, m.High, m.Unit
	if isFacing(m.ID) {
		return fmt.Sprintf("%s (%s to %s)", text, chart.FormatNumber(100*low, 0), chart.FormatNumber(100*high, 0))
	}
	return fmt.Sprintf("%s (%s to %s)", text, bare(low, unit), bare(high, unit))
}

func title(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
