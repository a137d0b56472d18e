package practice

import (
	"fmt"
	"slices"
	"strings"

	"underkick/internal/record"
)

// Need is what drills are chosen for.
type Need struct {
	Serves  record.Serves // empty = nothing named: streamline and evenness stay
	Weak    []string      // measures of the run that are weak, as ids; drills that name one come first
	Age     int           // years, 0 = not known
	Level   record.Level
	Without []string // equipment that is not there, as the drills name it
	DryLand bool     // only what is done on dry land

	// What the swimmer was given before, as ids of drills.
	Now       []string // practised now: not proposed again
	NoChange  []string // the retest showed no change: not proposed again
	WithGiven []string // given lately, and no retest tells of it yet: others come first
	Changed   []string // the retest showed a change for the better: may come again
}

// Choice is one drill chosen, with its dose and the rules that chose it.
type Choice struct {
	Drill record.Drill
	Dose  record.Dose
	Rules []string // in words, in the order they were applied
}

// Choose returns the drills of a library that suit a need, best first, and in
// words what was left out and why. Rules, in this order: what it serves; the age
// it asks for; the equipment; not practised now; not one after which a retest
// showed no change; then a weak measure that it works on; one not given lately;
// the step that suits the level (beginners from 1, club 2, above 3, the nearest
// first); equals stay in the order of the library. All rules are common practice;
// the coach may take any other, see Against.
func Choose(library []record.Drill, n Need) (chosen []Choice, leftOut []string) {
	young, missing := 0, 0
	for _, d := range library {
		if d.Serves != n.serves() || (n.DryLand && d.Place != record.DryLand) {
			continue
		}
		dose, ok := d.DoseFor(n.Age, n.Level)
		switch {
		case !ok:
			young++
		case d.Equipment != "" && slices.Contains(n.Without, d.Equipment):
			missing++
		case slices.Contains(n.Now, d.ID):
			leftOut = append(leftOut, d.Title+" is left out: it is practised now.")
		case slices.Contains(n.NoChange, d.ID):
			leftOut = append(leftOut, d.Title+" is left out: it was given before and the retest showed no change.")
		default:
			chosen = append(chosen, Choice{d, dose, rules(d, n)})
		}
	}
	slices.SortStableFunc(chosen, func(a, b Choice) int { return rank(a.Drill, n) - rank(b.Drill, n) })
	if young > 0 {
		leftOut = append(leftOut, fmt.Sprintf("%d left out: %s.", young, ageWords(n.Age)))
	}
	if missing > 0 {
		leftOut = append(leftOut, fmt.Sprintf("%d left out: equipment that is not there.", missing))
	}
	return chosen, leftOut
}

// serves is what is looked for: the line through the water where nothing is named.
func (n Need) serves() record.Serves {
	if n.Serves == "" {
		return record.ServesStreamline
	}
	return n.Serves
}

func ageWords(age int) string {
	if age == 0 {
		return "they ask for an age of 13 or more and the swimmer's year of birth is not known"
	}
	return fmt.Sprintf("they are for swimmers older than %d", age)
}

// rank orders drills that suit: smaller comes first.
func rank(d record.Drill, n Need) int {
	r := abs(d.Step - stepFor(n.Level))
	if slices.Contains(n.WithGiven, d.ID) {
		r += 10
	}
	if len(weakIn(d, n)) == 0 {
		r += 100
	}
	return r
}

func rules(d record.Drill, n Need) []string {
	var why []string
	if n.Serves == "" {
		why = append(why, "no single quality stands out, so the line through the water is practised")
	} else {
		why = append(why, "serves "+string(d.Serves))
	}
	if weak := weakIn(d, n); len(weak) > 0 {
		why = append(why, "works on what is weak in this run")
	}
	if slices.Contains(n.WithGiven, d.ID) {
		why = append(why, "given lately and not retested, so others come first")
	}
	if slices.Contains(n.Changed, d.ID) {
		why = append(why, "given before, and the retest showed a change")
	}
	if strings.HasPrefix(d.ID, record.OwnPrefix) {
		why = append(why, "one of your own")
	}
	if d.Step == stepFor(n.Level) {
		why = append(why, "suits the level")
	}
	return why
}

// Text returns the rules as one sentence.
func (c Choice) Text() string {
	s := strings.Join(c.Rules, "; ")
	return strings.ToUpper(s[:1]) + s[1:] + "."
}

func weakIn(d record.Drill, n Need) []string {
	var both []string
	for _, id := range n.Weak {
		if slices.Contains(d.Measures, id) {
			both = append(both, id)
		}
	}
	return both
}

// stepFor returns the step of drills that suits a level; not known is 1.
func stepFor(l record.Level) int {
	switch l {
	case record.Club:
		return 2
	case record.Regional, record.National, record.International:
		return 3
	}
	return 1
}

func abs(i int) int { return max(i, -i) }
