package trace

import (
	"cmp"
	"math"
	"slices"
)

// Kick frequencies that are looked for, Hz: periods of 0.25 to 1.5 s.
const (
	slowestKick = 1 / 1.5
	fastestKick = 1 / 0.25
)

// searchTracks is the number of landmarks, those that stray furthest from a
// straight path, that are asked for the period.
const searchTracks = 5

// sizeTracks sets the amplitudes of each track: the standard deviations of its
// periodic part. A landmark that hardly moves still gets a twentieth of the
// largest, and a coordinate a quarter of its landmark's other one, so that the
// model leaves them room.
func sizeTracks(tracks []*track, period float64) {
	largest := 0.0
	for _, tr := range tracks {
		tr.amp = newProfile(tr).swing(1 / period)
		largest = max(largest, tr.amp[0], tr.amp[1])
	}
	for _, tr := range tracks {
		x, y := tr.amp[0], tr.amp[1]
		least := max(largest/20, tr.spots[0].sd)
		tr.amp = [2]float64{max(x, y/4, least), max(y, x/4, least)}
	}
}

// rivalMargin is how far, in units of log likelihood, another period must stay
// behind the best for the marks to have decided. On the synthetic swimmers wrong
// periods led by less than 8, right ones mostly by more than 20.
const rivalMargin = 8

// doubleMargin is how much better a period must explain the marks than half of
// it: two unlike kicks in a row always pass for one long kick a little better.
const doubleMargin = 10

// findPeriod returns the kick period (s) that the tracks share: the one whose
// three-harmonic curve explains the marks best, the landmarks that move most
// taken together. Where the marks hardly say, published kick frequencies (1.8 to
// 2.4 Hz, reference notes F02-F13) draw it towards 2.1 Hz, by a quarter in the
// logarithm. rival is the best
// clearly different period when it comes within rivalMargin, else 0.
func findPeriod(tracks []*track) (period, rival float64) {
	all := make([]profile, len(tracks))
	for i, tr := range tracks {
		all[i] = newProfile(tr)
	}
	slices.SortStableFunc(all, func(a, b profile) int { return cmp.Compare(b.strays(), a.strays()) })
	all = all[:min(len(all), searchTracks)]
	score := func(f float64) float64 {
		away := math.Log(f/2.1) / 0.25
		sum := -0.5 * away * away
		for _, p := range all {
			sum += p.evidence(f)
		}
		return sum
	}
	first, last := wholeSpan(tracks)
	grid, scores := scan(score, min(1/(8*(last-first)), 0.1))
	best := highest(scores, func(int) bool { return true })
	// Frequencies closer than this lay the marks over each other alike.
	apart := 0.7 / (last - first)
	twice := highest(scores, func(i int) bool { return math.Abs(grid[i]-2*grid[best]) < apart })
	if twice >= 0 && scores[best]-scores[twice] < doubleMargin {
		best = twice
	}
	second := highest(scores, func(i int) bool { return math.Abs(grid[i]-grid[best]) > apart })
	if second >= 0 && scores[best]-scores[second] < rivalMargin {
		rival = 1 / grid[second]
	}
	return 1 / climb(score, grid[best], grid[1]-grid[0]), rival
}

// scan evaluates fn over the range of kick frequencies, on all cores.
func scan(fn func(float64) float64, step float64) (grid, scores []float64) {
	grid = make([]float64, int((fastestKick-slowestKick)/step)+1)
	scores = make([]float64, len(grid))
	for i := range grid {
		grid[i] = slowestKick + float64(i)*step
	}
	const chunk = 32
	each(slices.Collect(slices.Chunk(scores, chunk)), func(c int, part []float64) {
		for i := range part {
			part[i] = fn(grid[chunk*c+i])
		}
	})
	return grid, scores
}

// highest returns the index of the largest allowed score, -1 when none is.
func highest(scores []float64, allowed func(int) bool) int {
	best := -1
	for i, s := range scores {
		if allowed(i) && (best < 0 || s > scores[best]) {
			best = i
		}
	}
	return best
}

// climb refines the maximum of fn near x by halving steps.
func climb(fn func(float64) float64, x, step float64) float64 {
	top := fn(x)
	for step > 1e-4*x {
		step /= 2
		for _, s := range []float64{-step, step} {
			if v := fn(x + s); v > top {
				x, top = x+s, v
				break
			}
		}
	}
	return x
}

func wholeSpan(tracks []*track) (first, last float64) {
	first, last = math.Inf(1), math.Inf(-1)
	for _, tr := range tracks {
		a, b := tr.span()
		first, last = min(first, a), max(last, b)
	}
	return first, last
}
