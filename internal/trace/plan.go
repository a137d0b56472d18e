package trace

import (
	"math"
	"slices"

	"underkick/internal/body"
)

// ruler is the plan of the first frames while the marks are too few for a fit: the
// optimal Golomb ruler of eight marks (Shearer, IEEE Trans Inform Theory 36, 1990).
// All distances between its marks differ, so the first marks fall on different
// moments of the kick whatever its tempo, and no tempo passes for another.
var ruler = [...]float64{0, 1, 4, 9, 15, 22, 32, 34}

// plannedSpan is the longest stretch the plan is laid over, s: some five or six
// kicks. On a longer run the rest is asked for once the kick is known.
const plannedSpan = 2.6

// planned returns the frames of the plan in order of time.
func planned(times []float64) []int {
	first, last := times[0], times[len(times)-1]
	span := min(plannedSpan, last-first)
	start := first + (last-first-span)/2
	var out []int
	for _, r := range ruler {
		out = append(out, nearestFrame(times, start+span*r/ruler[len(ruler)-1]))
	}
	return slices.Compact(out)
}

func nearestFrame(times []float64, t float64) int {
	i, _ := slices.BinarySearch(times, t)
	if i == len(times) || i > 0 && t-times[i-1] < times[i]-t {
		i--
	}
	return i
}

// plan asks for the next frame before the fit: the first of the plan on which a
// landmark is missing that has too few marks. Where the plan is used up, the middle
// of the widest gap.
func plan(times []float64, marks []body.Mark, missing []body.Landmark) *Ask {
	has := make(map[float64]int) // marked landmarks as bits, by time
	for _, m := range marks {
		has[m.Time] |= 1 << m.Landmark
	}
	ask := &Ask{Why: First}
	for _, f := range planned(times) {
		var lacks []body.Landmark
		for _, l := range missing {
			if has[times[f]]&(1<<l) == 0 {
				lacks = append(lacks, l)
			}
		}
		switch {
		case len(lacks) == 0:
		case ask.Landmarks == nil:
			ask.Frame, ask.Landmarks = f, lacks
		default:
			ask.Others = append(ask.Others, f)
		}
	}
	if ask.Landmarks == nil {
		ask.Frame, ask.Landmarks = widestGap(times, marks, missing[0]), missing
	}
	return ask
}

// widestGap returns the frame in the middle of the longest stretch without a mark of
// the landmark.
func widestGap(times []float64, marks []body.Mark, l body.Landmark) int {
	at := []float64{times[0], times[len(times)-1]}
	for _, m := range marks {
		if m.Landmark == l {
			at = append(at, m.Time)
		}
	}
	slices.Sort(at)
	wide, middle := math.Inf(-1), at[0]
	for i := 1; i < len(at); i++ {
		if gap := at[i] - at[i-1]; gap > wide {
			wide, middle = gap, at[i-1]+gap/2
		}
	}
	return nearestFrame(times, middle)
}
