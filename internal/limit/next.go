package limit

import (
	"fmt"
	"math"
	"strings"

	"underkick/internal/limit/worth"
)

// Between is what is known beside the numbers of a retest.
type Between struct {
	Practised   []string // qualities practised in between: "facing", "sweep" ...
	LimiterThen string   // what the findings named: "facing", "sweep", "build", "tempo", "" = none
	LimiterNow  string
	Promised    Promise // what the model expected of the limiter then
}

// Promise is a change of speed that the model expected, m/s, with its band and what is left
// of it at the same effort. The zero value is none.
type Promise struct {
	worth.Band
	EqualEffort float64
}

// Known reports whether the model expected a gain.
func (p Promise) Known() bool { return p.Value > 0 }

// words are the promise as a sentence's subject has it.
func (p Promise) words(unit string) string {
	text := amount("speed", p.Value, unit)
	if p.High > p.Low {
		text += fmt.Sprintf(" (%s to %s)", amount("speed", p.Low, unit), amount("speed", p.High, unit))
	}
	return text + " of the limiter" + worth.Harder(p.EqualEffort, p.Value)
}

// Next says in sentences what to do after a retest. The rules, in this order:
// nothing compared: film again alike, and how; then for every quality practised:
// changed and the limiter moved, the new limiter next; changed and the same
// limiter, go on; no change shown, what would have shown and how many runs show
// what was promised. Growth, level and the coach's eye are not in them.
func (r Retest) Next(b Between) []string {
	if len(r.Changes) == 0 {
		return r.filmAlike()
	}
	var next []string
	speed, _ := r.Of("speed")
	practised := false
	for _, quality := range b.Practised {
		c, ok := r.Of(QualityMeasure(quality))
		if !ok {
			continue
		}
		practised = true
		if c.Measure == "speed" {
			continue // told below
		}
		next = append(next, afterPractice(quality, c, b)...)
	}
	if !practised {
		next = append(next, "No practice of a quality that is measured was noted in between, so no change can be put down to it.")
	}
	next = append(next, afterSpeed(speed, b)...)
	return next
}

// QualityMeasure is the measure that shows a quality practised, "" for none.
func QualityMeasure(quality string) string {
	switch quality {
	case "facing", "sweep", "build":
		return quality
	case "tempo":
		return "kick_frequency"
	case "upkick":
		return "build_upkick"
	case "streamline":
		return "speed"
	}
	return ""
}

func afterPractice(quality string, c Change, b Between) []string {
	name := title(quality)
	switch {
	case c.Verdict == Refused:
		return []string{fmt.Sprintf("%s has no verdict. %s", name, strings.Join(c.Why, " "))}
	case !c.Changed():
		return []string{
			fmt.Sprintf("%s: no change shown. That does not say that nothing changed: these runs show changes beyond %s.", name, amount(c.Measure, c.Smallest, c.Unit)),
			"Look whether the drill was done as described and often enough. After six weeks or more without a change shown, choose another drill for it.",
		}
	}
	text := fmt.Sprintf("%s changed: it is %s by %s.", name, c.Verdict, amount(c.Measure, math.Abs(c.Difference), c.Unit))
	switch {
	case b.LimiterNow == "":
		return []string{text, "The finding names no limiter now. Keep what was gained with one drill a week, and follow the next finding."}
	case b.LimiterNow == quality:
		return []string{text, fmt.Sprintf("The limiter is still %s. Go on with it, one step harder.", quality)}
	}
	return []string{text, fmt.Sprintf("The limiter is now %s. Practise %s next; keep %s with one drill a week.", b.LimiterNow, b.LimiterNow, quality)}
}

func afterSpeed(c Change, b Between) []string {
	switch {
	case c.Verdict == Refused:
		return []string{"Speed has no verdict. " + strings.Join(c.Why, " ")}
	case c.Changed():
		return []string{fmt.Sprintf("Speed changed: it is %s by %s. What was practised, growth and training all have a part in it.", c.Verdict, amount("speed", math.Abs(c.Difference), c.Unit))}
	}
	list := []string{fmt.Sprintf("Speed: no change shown. These runs show changes beyond %s.", amount("speed", c.Smallest, c.Unit))}
	if c.Borrowed {
		list = append(list, fmt.Sprintf("The error of one run is borrowed from a paper and large. Film like runs of several swimmers on one visit: %d swimmers with two runs each, or %d with three, give the squad's own error.", EnoughDF, EnoughDF/2))
	}
	if b.Promised.Known() {
		list = append(list, promise(c, b.Promised))
	}
	return list
}

// promise says what it takes to show a change of speed of the size that worth
// expected.
func promise(c Change, promised Promise) string {
	size := promised.words(c.Unit)
	if n, ok := c.RunsFor(promised.Value); ok {
		if n <= min(c.RunsNow, c.Runs) {
			return fmt.Sprintf("The model expected about %s. As many runs as these show such a change in four cases of five.", size)
		}
		return fmt.Sprintf("The model expected about %s. To show that in four cases of five, film %d like runs of six to ten kicks on each visit.", size, n)
	}
	if c.ClipError > 0 && c.floor() > promised.Value {
		return fmt.Sprintf("The model expected about %s. The error of the scale alone hides that, however many runs are filmed: set a rectangle or a longer known length.", size)
	}
	return fmt.Sprintf("The model expected about %s. More than %d runs on each visit would be needed to show that with this error.", size, mostRuns)
}

// floor is what Detectable tends to with ever more runs.
func (c Change) floor() float64 {
	still := c
	still.Error = 0
	return still.Detectable(1)
}

// filmAlike says how to film again so that the visits can be compared.
func (r Retest) filmAlike() []string {
	var next []string
	for _, s := range r.Conditions {
		switch {
		case s.Alike || s.Name == "marked by":
		case s.Test == "" || s.Retest == "":
			next = append(next, fmt.Sprintf("State the %s on the page of each run: %s.", s.Name, whereUnstated(s)))
		default:
			next = append(next, fmt.Sprintf("Film again with the %s of the test: %s.", s.Name, s.Test))
		}
	}
	if len(r.Test) > 0 && r.Test[0].Result.Method != r.Retest[0].Result.Method {
		next = append(next, "Open the pages of the runs that were measured by other definitions; that measures them again.")
	}
	if len(next) == 0 {
		next = append(next, "Film two or three runs of six to ten kicks. At least three whole, steady kicks of a run must be marked for a verdict.")
	}
	return next
}

func whereUnstated(s Side) string {
	switch {
	case s.Test == "" && s.Retest == "":
		return "it is stated of neither"
	case s.Test == "":
		return fmt.Sprintf("the test has none, the retest says %s", s.Retest)
	}
	return fmt.Sprintf("the retest has none, the test says %s", s.Test)
}

// amount writes a difference with its unit; facing in points of per cent.
func amount(id string, v float64, unit string) string {
	if isFacing(id) {
		return fmt.Sprintf("%.0f points", 100*v)
	}
	return Show(v, unit)
}
