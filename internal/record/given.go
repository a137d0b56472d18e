package record

import "time"

// Chosen is how a practice came to be given.
type Chosen string

// The ways.
const (
	ByRule  Chosen = "rule"  // the rules proposed it
	ByCoach Chosen = "coach" // the coach took another
)

// Given is a drill that a swimmer practises over some weeks. The drill is kept as
// it was when it was given, so that a later change of it changes nothing here.
type Given struct {
	ID        string
	SwimmerID string
	RunID     string // for whose finding; "" = for none, or the run is gone
	DrillID   string
	Drill     Drill  // as it was when it was given
	Amount    Dose   // how much
	Dose      string // Amount in words
	From      Date
	Weeks     int
	RetestOn  Date
	Chosen    Chosen
	Why       string // the rules, or the coach's words
	Notes     string
	Ended     Date   // "" = goes on
	Removed   bool   // given by mistake; off every list but its own history
	GivenBy   string // who gave it: By of the first version; "" = not noted
	Created   time.Time

	Seq int64 // which version this is: 1, 2, 3 ...
	By  string
	At  time.Time // of the version
}

// maxWeeks bounds how long one drill is given for.
const maxWeeks = 52

// Validate returns nil or Faults of swimmer, drill and its own fields, dose,
// from, weeks (1 to 52), retest_on (after from), chosen, why, notes, ended (not
// before from), by. What the drill must not say, why and notes must not say.
func (g Given) Validate() error {
	var f Faults
	f.required("swimmer", g.SwimmerID, "the swimmer")
	if g.DrillID == "" || g.DrillID != g.Drill.ID {
		f.add("drill", "is %q, and its text is of %q; choose the drill again", g.DrillID, g.Drill.ID)
	}
	if err, ok := g.Drill.Validate().(Faults); ok {
		f = append(f, err...)
	}
	g.amountFaults(&f)
	g.dayFaults(&f)
	if g.Chosen != ByRule && g.Chosen != ByCoach {
		f.add("chosen", "is %q; say whether rules or the coach chose it", string(g.Chosen))
	}
	for _, t := range []drillText{{"why", g.Why, true}, {"notes", g.Notes, false}} {
		if t.needed && t.text == "" {
			f.add(t.field, "is empty; say why it is given")
		}
		f.text(t.field, t.text, maxNotes)
		f.airless(t.field, t.text)
	}
	f.text("by", g.By, maxName)
	return f.err()
}

// ValidateOver is Validate for what is ended or taken back: only its days and who
// did it, so that what was kept by older rules can always be ended.
func (g Given) ValidateOver() error {
	var f Faults
	g.dayFaults(&f)
	f.text("by", g.By, maxName)
	return f.err()
}

func (g Given) amountFaults(f *Faults) {
	one := g.Drill
	one.Doses = []Dose{g.Amount}
	var dose Faults
	one.doseFaults(&dose)
	for _, d := range dose {
		f.add("dose", "%s", d.Text)
	}
}

func (g Given) dayFaults(f *Faults) {
	f.date("from", g.From, true)
	f.date("retest_on", g.RetestOn, true)
	f.date("ended", g.Ended, false)
	if g.Weeks < 1 || g.Weeks > maxWeeks {
		f.add("weeks", "is %d; write 1 to %d", g.Weeks, maxWeeks)
	}
	if g.RetestOn <= g.From {
		f.add("retest_on", "is not after the first day; write a later day")
	}
	if g.Ended != "" && g.Ended < g.From {
		f.add("ended", "is before the first day; write a later day, or take it back as given by mistake")
	}
}

// Practised reports whether the drill is practised on a day: begun, neither ended
// nor taken back. Past the retest it goes on until the coach ends it.
func (g Given) Practised(on Date) bool {
	return !g.Removed && g.From <= on && (g.Ended == "" || on < g.Ended)
}
