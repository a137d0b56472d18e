package practice

import (
	"slices"

	"underkick/internal/record"
)

// Library returns every drill of the program, by what it serves in the order of
// record.AllServes, easiest first. Every field of each is filled in but Equipment,
// which is empty where nothing is needed. The caller may change the slice.
func Library() []record.Drill {
	all := slices.Concat(facing, sweep, build, tempo, upkick, streamline)
	for i := range all {
		all[i] = complete(all[i])
	}
	slices.SortStableFunc(all, func(a, b record.Drill) int {
		order := record.AllServes()
		if d := slices.Index(order, a.Serves) - slices.Index(order, b.Serves); d != 0 {
			return d
		}
		return a.Step - b.Step
	})
	return all
}
