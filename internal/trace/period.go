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

// findPeriod returns the kick period (s) that the tracks share: the one whose
// three-harmonic curve explains the marks best, the landmarks that move most
// taken together. Where the marks hardly say, published kick frequencies (1.8 to
// 2.4 Hz, reference notes F02-F13) draw it towards 2.1 Hz.
func findPeriod(tracks []*track) float64 {
	all := make([]profile, len(tracks))
	for i, tr := range tracks {
		all[i] = newProfile(tr)
	}
	slices.SortStableFunc(all, func(a, b profile) int { return cmp.Compare(b.strays(), a.strays()) })
	all = all[:min(len(all), searchTracks)]
	score := func(f float64) float64 {
		away := math.Log(f/2.1) / 0.5
		sum := -0.5 * away * away
		for _, p := range all {
			sum += p.evidence(f)
		}
		return sum
	}
	first, last := wholeSpan(tracks)
	step := min(1/(8*(last-first)), 0.1)
	grid := make([]float64, int((fastestKick-slowestKick)/step)+1)
	scores := make([]float64, len(grid))
	for i := range grid {
		grid[i] = slowestKick + float64(i)*step
	}
	chunks := slices.Collect(slices.Chunk(scores, 32))
	each(chunks, func(c int, chunk []float64) {
		for i := range chunk {
			chunk[i] = score(grid[32*c+i])
		}
	})
	best := 0
	for i, s := range scores {
		if s > scores[best] {
			best = i
		}
	}
	return 1 / climb(score, grid[best], step)
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
