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

// Drill is something to practise: a drill, a dry-land task or a set.
type Drill struct {
	ID        string // stable word, "point-late"
	Title     string
	Serves    Serves
	Phase     string // of the kick: "downkick", "its finish", "upkick", "the whole kick"
	Place     Place
	Step      int    // 1 easy to learn, 2 needs the first, 3 demanding
	MinAge    int    // years; younger swimmers are not given it
	Why       string // mechanism
	Source    string // paper, or "common practice, no source"
	How       []string
	Doses     []Dose
	Cue       string // one short call
	Error     string // what goes wrong most, and what to do then
	Equipment string // "" = none
	Caution   string // beyond the cautions that every practice carries; may be empty
	Sign      string // how to see that it works
	Measures  []string
	Joint     bool // works on the range of a joint
}

// Dose is how much of a drill for swimmers from an age on.
type Dose struct {
	FromAge int    // years
	Level   Level  // from this level on; empty = every level
	Repeats int    // of one session
	Kicks   int    // per repeat, 0 where seconds count
	Seconds int    // per repeat, 0 where kicks count
	Rest    string // between repeats
	PerWeek int    // sessions
}

// Validate returns nil or Faults of id, title, serves, place, step, min_age,
// why, source, how, doses, cue, error, sign. A repeat under water has at most
// MaxKicksUnderWater kicks and no seconds, and no text may make a contest or an
// aim of staying under without air.
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
	for _, t := range []struct{ field, text string }{
		{"phase", d.Phase}, {"why", d.Why}, {"source", d.Source}, {"cue", d.Cue}, {"error", d.Error}, {"sign", d.Sign},
	} {
		if strings.TrimSpace(t.text) == "" {
			f.add(t.field, "is empty")
		}
		f.text(t.field, t.text, maxNotes)
	}
	if len(d.How) == 0 {
		f.add("how", "is empty; write the steps")
	}
	d.doseFaults(&f)
	if found := airless(d); found != "" {
		f.add("how", "says %q: nothing is practised here that rewards time or distance without breathing", found)
	}
	return f.err()
}

func (d Drill) doseFaults(f *Faults) {
	if len(d.Doses) == 0 {
		f.add("doses", "is empty; write how much")
	}
	for _, dose := range d.Doses {
		if dose.Repeats < 1 || dose.PerWeek < 1 || dose.PerWeek > 14 || strings.TrimSpace(dose.Rest) == "" {
			f.add("doses", "needs repeats, a rest and 1 to 14 sessions a week")
		}
		if (dose.Kicks > 0) == (dose.Seconds > 0) {
			f.add("doses", "needs either kicks or seconds")
		}
		if d.Place == UnderWater && (dose.Seconds > 0 || dose.Kicks > MaxKicksUnderWater) {
			f.add("doses", "under water is counted in kicks, at most %d a repeat, with air and rest between", MaxKicksUnderWater)
		}
	}
}

// contests are words that make an aim of staying under without air.
var contests = []string{
	"hypoxic", "hyperventil", "no breath", "without breathing", "without air", "hold your breath", "breath-hold as long", "breath hold as long",
	"as far as you can", "as far as possible", "as long as you can", "as long as possible", "longest under", "furthest under", "farthest under", "lung buster", "static apn", "max distance under",
}

// airless returns the first such words in what a swimmer is told to do.
func airless(d Drill) string {
	told := strings.ToLower(strings.Join(append([]string{d.Title, d.Cue}, d.How...), "\n"))
	for _, w := range contests {
		if strings.Contains(told, w) {
			return w
		}
	}
	return ""
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

// String returns the dose in words: "6 x 6 kicks, full recovery at the surface
// between, 3 times a week".
func (d Dose) String() string {
	each := fmt.Sprintf("%d kicks", d.Kicks)
	if d.Seconds > 0 {
		each = fmt.Sprintf("%d s", d.Seconds)
	}
	times := fmt.Sprintf("%d times a week", d.PerWeek)
	if d.PerWeek == 1 {
		times = "once a week"
	}
	return fmt.Sprintf("%d x %s, %s, %s", d.Repeats, each, d.Rest, times)
}
