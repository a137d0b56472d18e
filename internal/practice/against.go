package practice

import (
	"fmt"
	"slices"
	"strings"

	"underkick/internal/record"
)

// Against returns which rules of Choose a coach goes against by giving a drill,
// in words; none where it would have been proposed. never is why it cannot be
// given at all: age, or because it is practised now; "" = it can.
func Against(d record.Drill, n Need) (never string, rules []string) {
	if _, ok := d.DoseFor(n.Age, n.Level); !ok {
		if n.Age == 0 {
			return fmt.Sprintf("is for swimmers from %d on, and the year of birth is not known; note it first", d.MinAge), nil
		}
		if n.Age < d.MinAge {
			return fmt.Sprintf("is for swimmers from %d on; this one is %d", d.MinAge, n.Age), nil
		}
		return "has no dose for this age and level", nil
	}
	if slices.Contains(n.Now, d.ID) {
		return "is practised now; change that, or end it first", nil
	}
	if d.Serves != n.serves() {
		rules = append(rules, fmt.Sprintf("serves %s, not %s", d.Serves, n.serves()))
	}
	if n.DryLand && d.Place != record.DryLand {
		rules = append(rules, "is not done on dry land")
	}
	if d.Equipment != "" && slices.Contains(n.Without, d.Equipment) {
		rules = append(rules, "needs equipment that is not there: "+d.Equipment)
	}
	if slices.Contains(n.NoChange, d.ID) {
		rules = append(rules, "was given before and the retest showed no change")
	}
	return "", rules
}

// CheckAmount returns record.Faults of dose where an amount is more than a drill
// gives at an age: repeats, kicks or seconds of a repeat, sessions a week. Less is
// always right. An age of 0 is not known and counts as the youngest.
func CheckAmount(d record.Drill, amount record.Dose, age int) error {
	var most record.Dose
	for _, dose := range d.Doses {
		if age >= dose.FromAge || dose.FromAge <= d.MinAge {
			most.Repeats, most.Kicks = max(most.Repeats, dose.Repeats), max(most.Kicks, dose.Kicks)
			most.Seconds, most.PerWeek = max(most.Seconds, dose.Seconds), max(most.PerWeek, dose.PerWeek)
		}
	}
	if amount.Repeats <= most.Repeats && amount.Kicks <= most.Kicks && amount.Seconds <= most.Seconds && amount.PerWeek <= most.PerWeek {
		return nil
	}
	each := fmt.Sprintf("%d kicks", most.Kicks)
	if most.Seconds > 0 {
		each = fmt.Sprintf("%d s", most.Seconds)
	}
	return record.Faults{{Field: "dose", Text: fmt.Sprintf("is more than this drill gives at this age: at most %d x %s, %d times a week", most.Repeats, each, most.PerWeek)}}
}

// CheckCopy returns record.Faults where a coach's copy of a drill takes off what
// makes it safe: it may not be for younger swimmers, its caution holds the
// original's word for word, and what works on a joint says so.
func CheckCopy(d, original record.Drill) error {
	var f record.Faults
	if d.MinAge < original.MinAge {
		f = append(f, record.Fault{Field: "min_age", Text: fmt.Sprintf("is %d; a copy of %q is for no swimmer below %d", d.MinAge, original.Title, original.MinAge)})
	}
	if !strings.Contains(d.Caution, original.Caution) {
		f = append(f, record.Fault{Field: "caution", Text: fmt.Sprintf("must still say %q; add to it", original.Caution)})
	}
	if original.Joint && !d.Joint {
		f = append(f, record.Fault{Field: "joint", Text: "must stay: it works on the range of a joint"})
	}
	if len(f) == 0 {
		return nil
	}
	return f
}
