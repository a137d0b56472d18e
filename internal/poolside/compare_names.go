package poolside

import (
	"context"
	"fmt"
	"strings"

	"underkick/internal/record"
)

func oneSwimmer(list []comparedRun) bool {
	for _, c := range list {
		if c.Swimmer.ID != list[0].Swimmer.ID {
			return false
		}
	}
	return true
}

// nameRuns gives every run the shortest name that no other one has.
func nameRuns(list []comparedRun) {
	count := func(name func(comparedRun) string) map[string]int {
		n := map[string]int{}
		for _, c := range list {
			n[name(c)]++
		}
		return n
	}
	byName := func(c comparedRun) string { return c.Name }
	if oneSwimmer(list) {
		byName = func(c comparedRun) string { return c.When }
	}
	byBoth := func(c comparedRun) string { return c.Name + ", " + c.When }
	names, both := count(byName), count(byBoth)
	for i := range list {
		c := &list[i]
		switch {
		case names[byName(*c)] == 1:
			c.Short = byName(*c)
		case both[byBoth(*c)] == 1:
			c.Short = byBoth(*c)
		default:
			c.Short = fmt.Sprintf("%s (run %d)", byName(*c), i+1)
		}
	}
}

// consentNotes says of whom film may not be shown to the squad, where swimmers are
// compared: the coach alone may look.
func (a *App) consentNotes(ctx context.Context, list []comparedRun) []string {
	if oneSwimmer(list) {
		return nil
	}
	var names, why []string
	seen := map[string]bool{}
	for _, c := range list {
		if seen[c.Swimmer.ID] {
			continue
		}
		seen[c.Swimmer.ID] = true
		if err := a.MayShow(ctx, c.Swimmer.ID, record.ForSquad); err != nil {
			names, why = append(names, c.Name), append(why, err.Error())
		}
	}
	switch len(names) {
	case 0:
		return nil
	case 1:
		return []string{"For your eyes only. " + why[0]}
	}
	last := len(names) - 1
	return []string{fmt.Sprintf("For your eyes only: %s and %s have no consent for %s today. Record it on their consent pages.",
		strings.Join(names[:last], ", "), names[last], record.ForSquad.Words())}
}
