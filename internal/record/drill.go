package record

import (
	"fmt"
	"slices"
	"strings"
)

// Serves is what a drill works on: one of the three qualities or what goes
// with them.
type Serves string

// What drills serve.
const (
	ServesFacing     Serves = "facing"
	ServesSweep      Serves = "sweep"
	ServesBuild      Serves = "build"
	ServesTempo      Serves = "tempo"
	ServesUpkick     Serves = "upkick"
	ServesStreamline Serves = "streamline"
)

// AllServes lists what drills serve, in the order of the page.
func AllServes() []Serves {
	return []Serves{ServesFacing, ServesSweep, ServesBuild, ServesTempo, ServesUpkick, ServesStreamline}
}

// Place is where a drill is done.
type Place string

// The places.
const (
	UnderWater Place = "under water"    // breath held for a few kicks
	AtSurface  Place = "at the surface" // breathing freely
	DryLand    Place = "on dry land"
)

// MaxKicksUnderWater is the most in one repeat of a drill. Six to ten kicks take
// three to five seconds and are all that any measure needs.
const MaxKicksUnderWater = 10

// Limits of one session under water. They are ours: common practice, no source.
const (
	MaxRepeatsUnderWater = 12
	// RestUnderWater is the one rest there is after a repeat under water.
	RestUnderWater = "full recovery at the surface between"
)

// Drill is something to practise: a drill, a dry-land task or a set. Its JSON is
// the format of a coach's own drills.
type Drill struct {
	ID        string   `json:"id"` // stable word, "point-late"
	Title     string   `json:"title"`
	Serves    Serves   `json:"serves"`
	Phase     string   `json:"phase"` // of the kick: "downkick", "its finish", "upkick", "the whole kick"
	Place     Place    `json:"place"`
	Step      int      `json:"step"`    // 1 easy to learn, 2 needs the first, 3 demanding
	MinAge    int      `json:"min_age"` // years; younger swimmers are not given it
	Why       string   `json:"why"`     // mechanism
	Source    string   `json:"source"`  // paper, or "common practice, no source"
	How       []string `json:"how"`
	Doses     []Dose   `json:"doses"`
	Cue       string   `json:"cue"`                 // one short call
	Error     string   `json:"common_error"`        // what goes wrong most, and what to do then
	Equipment string   `json:"equipment,omitempty"` // "" = none
	Caution   string   `json:"caution,omitempty"`   // beyond the cautions that every practice carries
	Sign      string   `json:"works_when"`          // how to see that it works
	Measures  []string `json:"measures"`            // ids in which it shows
	Joint     bool     `json:"joint,omitempty"`     // works on the range of a joint
	Stages    []Stage  `json:"stages,omitempty"`    // how the dose grows over the weeks; none = the same in all
}

// Dose is how much of a drill for swimmers from an age on.
type Dose struct {
	FromAge int    `json:"from_age,omitempty"` // years
	Level   Level  `json:"level,omitempty"`    // from this level on; empty = every level
	Repeats int    `json:"repeats"`            // of one session
	Kicks   int    `json:"kicks,omitempty"`    // per repeat, 0 where seconds count
	Seconds int    `json:"seconds,omitempty"`  // per repeat, 0 where kicks count
	Rest    string `json:"rest"`               // between repeats
	PerWeek int    `json:"per_week"`           // sessions
}

// Validate returns nil or Faults of id, title, serves, place, step, min_age,
// phase, why, source, how, doses, stages, cue, common_error, equipment, caution,
// works_when, measures. Under water a repeat has at most MaxKicksUnderWater kicks
// and no seconds, a session at most MaxRepeatsUnderWater repeats, and the rest is
// RestUnderWater. No text may make an aim of staying under without air (see
// Airless), and what is done under water must say that it is.
func (d Drill) Validate() error {
	var f Faults
	if d.ID == "" || strings.Trim(d.ID, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" {
		f.add("id", "is %q; use small letters, digits and hyphens", d.ID)
	}
	f.name("title", d.Title)
	if !slices.Contains(AllServes(), d.Serves) {
		f.add("serves", "is %q; choose what it serves", string(d.Serves))
	}
	if !slices.Contains([]Place{UnderWater, AtSurface, DryLand}, d.Place) {
		f.add("place", "is %q; choose where it is done", string(d.Place))
	}
	if d.Step < 1 || d.Step > 3 {
		f.add("step", "is %d; write 1, 2 or 3", d.Step)
	}
	if d.MinAge < 0 || d.MinAge > 99 {
		f.add("min_age", "is %d; write years", d.MinAge)
	}
	d.textFaults(&f)
	d.doseFaults(&f)
	d.stageFaults(&f)
	told := strings.Join(slices.Concat([]string{d.Title, d.Cue}, d.How, d.stageWords()), ". ")
	if found := farUnderWater.FindString(plainText(told + ". " + d.Sign)); found != "" && d.Place == UnderWater {
		f.add("how", "says %q; under water a repeat ends after its kicks, not at a distance", found)
	}
	if found := underWaterWords.FindString(plainText(told)); found != "" && d.Place != UnderWater {
		f.add("place", "is %s, but the steps say %q; choose %q, or take that out", d.Place, found, UnderWater)
	}
	return f.err()
}

// drillText is one text of a drill with its field.
type drillText struct {
	field, text string
	needed      bool
}

// texts lists all that a drill says in free text.
func (d Drill) texts() []drillText {
	list := []drillText{{"title", d.Title, false}, {"phase", d.Phase, true}, {"why", d.Why, true}, {"source", d.Source, true}}
	for _, step := range d.How {
		list = append(list, drillText{"how", step, true})
	}
	list = append(list, drillText{"cue", d.Cue, true}, drillText{"common_error", d.Error, true}, drillText{"equipment", d.Equipment, false},
		drillText{"caution", d.Caution, false}, drillText{"works_when", d.Sign, true})
	for _, dose := range d.Doses {
		list = append(list, drillText{"doses", dose.Rest, false})
	}
	for _, words := range d.stageWords() {
		list = append(list, drillText{"stages", words, false})
	}
	return list
}

// maxSteps and maxDoses bound a drill's lists.
const (
	maxSteps = 20
	maxDoses = 12
)

func (d Drill) textFaults(f *Faults) {
	for _, t := range d.texts() {
		if t.needed && strings.TrimSpace(t.text) == "" {
			f.add(t.field, "is empty")
		}
		f.text(t.field, t.text, maxNotes)
		f.airless(t.field, t.text)
	}
	if len(d.How) == 0 || len(d.How) > maxSteps {
		f.add("how", "has %d steps; write one to %d", len(d.How), maxSteps)
	}
	for _, m := range d.Measures {
		f.text("measures", m, maxName)
	}
	// what is split over two fields is read together, too
	if found := Airless(strings.Join(slices.Concat([]string{d.Title, d.Cue}, d.How, d.stageWords()), " ")); found != "" && f.For("how") == "" {
		f.add("how", "says %q over several fields; nothing is practised here that rewards time or distance without breathing", found)
	}
}

// airless notes words that make an aim of staying under without air.
func (f *Faults) airless(field, text string) {
	if found := Airless(text); found != "" {
		f.add(field, "says %q; nothing is practised here that rewards time or distance without breathing. Count kicks, %d at most, with full rest", found, MaxKicksUnderWater)
	}
}

func (d Drill) doseFaults(f *Faults) {
	if len(d.Doses) == 0 || len(d.Doses) > maxDoses {
		f.add("doses", "has %d entries; write one to %d", len(d.Doses), maxDoses)
	}
	for _, dose := range d.Doses {
		if dose.Repeats < 1 || dose.Repeats > 100 || dose.PerWeek < 1 || dose.PerWeek > 14 || strings.TrimSpace(dose.Rest) == "" {
			f.add("doses", "needs 1 to 100 repeats, a rest and 1 to 14 sessions a week")
		}
		if (dose.Kicks > 0) == (dose.Seconds > 0) || dose.Kicks < 0 || dose.Seconds < 0 || dose.Kicks > 1000 || dose.Seconds > 3600 {
			f.add("doses", "needs either kicks or seconds")
		}
		if dose.FromAge < 0 || dose.FromAge > 99 {
			f.add("doses", "needs an age in years")
		}
		oneOf(f, "doses", dose.Level, Levels()...)
		if d.Place == UnderWater && (dose.Seconds > 0 || dose.Kicks > MaxKicksUnderWater || dose.Repeats > MaxRepeatsUnderWater) {
			f.add("doses", "under water is counted in kicks, at most %d a repeat and %d repeats a session, with air and rest between", MaxKicksUnderWater, MaxRepeatsUnderWater)
		}
		if d.Place == UnderWater && dose.Rest != RestUnderWater {
			f.add("doses", "has the rest %q; under water it is always %q", dose.Rest, RestUnderWater)
		}
	}
}

// DoseFor returns the dose for a swimmer: the last that age and level reach.
// An age of 0 is not known and gets the youngest dose. False where the swimmer
// is younger than MinAge, or not known and the drill has a lowest age of 13 or more.
func (d Drill) DoseFor(age int, level Level) (Dose, bool) {
	if age < d.MinAge && (age > 0 || d.MinAge >= 13) {
		return Dose{}, false
	}
	at := slices.Index(Levels(), level)
	found, ok := Dose{}, false
	for _, dose := range d.Doses {
		if (age >= dose.FromAge || dose.FromAge <= d.MinAge) && (dose.Level == "" || at >= slices.Index(Levels(), dose.Level)) {
			found, ok = dose, true
		}
	}
	return found, ok
}

// Session returns what one session holds, in words: "6 x 6 kicks, full recovery at
// the surface between".
func (d Dose) Session() string { return d.amount() + ", " + d.Rest }

func (d Dose) amount() string {
	each := fmt.Sprintf("%d kicks", d.Kicks)
	switch {
	case d.Seconds > 0:
		each = fmt.Sprintf("%d s", d.Seconds)
	case d.Kicks == 1:
		each = "1 kick"
	}
	return fmt.Sprintf("%d x %s", d.Repeats, each)
}

// String returns the dose in words: Session and ", 3 times a week".
func (d Dose) String() string { return d.Session() + ", " + d.often() }

// Short returns the dose without its rest: "6 x 6 kicks, 3 times a week".
func (d Dose) Short() string { return d.amount() + ", " + d.often() }

func (d Dose) often() string {
	if d.PerWeek == 1 {
		return "once a week"
	}
	return fmt.Sprintf("%d times a week", d.PerWeek)
}

// For returns for whom the dose is, in words: "everyone", "from 13", "club and above",
// "from 16, regional and above". Of several that fit the last counts.
func (d Dose) For() string {
	var words []string
	if d.FromAge > 0 {
		words = append(words, fmt.Sprintf("from %d", d.FromAge))
	}
	if d.Level != "" {
		words = append(words, string(d.Level)+" and above")
	}
	if len(words) == 0 {
		return "everyone"
	}
	return strings.Join(words, ", ")
}
