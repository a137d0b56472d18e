package trace

import (
	"math"
	"slices"

	"underkick/internal/body"
	"underkick/internal/series"
)

// denseShare is the share of frames between a landmark's first and last mark
// that must be marked for it to count as fully marked.
const denseShare = 0.8

// Dense tells whether every landmark with a mark is fully marked: on at least
// 80 % of the frames between its first and its last mark. Such marks need no
// model between them, and the caller may filter Raw instead of fitting. No marks
// at all are not dense.
func Dense(times []float64, marks []body.Mark) bool {
	any := false
	for l := range body.Landmark(body.NumLandmarks) {
		full, marked := fullness(times, marks, l)
		if marked && !full {
			return false
		}
		any = any || marked
	}
	return any
}

// fullness tells whether a landmark is fully marked, and whether it is marked.
func fullness(times []float64, marks []body.Mark, l body.Landmark) (full, marked bool) {
	frames := map[int]bool{}
	first, last := math.MaxInt, -1
	for _, m := range marks {
		if m.Landmark != l {
			continue
		}
		if k, ok := frameAt(times, m.Time); ok {
			frames[k] = true
			first, last = min(first, k), max(last, k)
		}
	}
	if len(frames) == 0 {
		return false, false
	}
	return float64(len(frames)) >= denseShare*float64(last-first+1) && len(frames) >= Fewest, true
}

// frameAt returns the frame nearest to time t, if it is within half a frame.
func frameAt(times []float64, t float64) (int, bool) {
	if math.IsNaN(t) || len(times) == 0 {
		return 0, false
	}
	k, _ := slices.BinarySearch(times, t)
	if k == len(times) || (k > 0 && t-times[k-1] < times[k]-t) {
		k--
	}
	if len(times) == 1 {
		return k, times[k] == t
	}
	step := times[max(k, 1)] - times[max(k, 1)-1]
	return k, math.Abs(times[k]-t) <= step/2
}

// rawGap is the longest gap between marks that Raw bridges, s.
const rawGap = 0.1

// Raw lays the marks on the frames without a model: each mark on its frame (its
// mean, where a frame has several), gaps of up to 0.1 s bridged by the cubic
// through the nearest marks, and NaN elsewhere. VX and VY are nil: the positions
// still have to be filtered and differentiated. SD is that of the marks, NaN
// where a frame has none, and nil when no mark of the landmark states one.
// Marks with a place that is not finite, or further than half a frame from any
// frame, are left out. times must rise strictly.
func Raw(times []float64, marks []body.Mark) body.Motion {
	m := body.Motion{T: times}
	counts := [body.NumLandmarks][]int{}
	for _, mark := range marks {
		k, ok := frameAt(times, mark.Time)
		if !ok || int(mark.Landmark) >= body.NumLandmarks || !usable(mark.X) || !usable(mark.Y) {
			continue
		}
		p := m.Paths[mark.Landmark]
		if p == nil {
			n := len(times)
			p = &body.Path{X: blank(n), Y: blank(n)}
			m.Paths[mark.Landmark], counts[mark.Landmark] = p, make([]int, n)
		}
		place(p, k, counts[mark.Landmark][k], mark)
		counts[mark.Landmark][k]++
	}
	for _, p := range m.Paths {
		if p != nil {
			p.X, p.Y = bridge(times, p.X), bridge(times, p.Y)
		}
	}
	return m
}

func usable(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// place puts a mark on frame k, which already holds the mean of n others.
func place(p *body.Path, k, n int, mark body.Mark) {
	if n == 0 {
		p.X[k], p.Y[k] = 0, 0
	}
	p.X[k] = (p.X[k]*float64(n) + mark.X) / float64(n+1)
	p.Y[k] = (p.Y[k]*float64(n) + mark.Y) / float64(n+1)
	if mark.SD > 0 {
		if p.SD == nil {
			p.SD = blank(len(p.X))
		}
		p.SD[k] = mark.SD
	}
}

// bridge fills gaps of up to rawGap between known samples.
func bridge(times, x []float64) []float64 {
	var t, known []float64
	for i, v := range x {
		if math.IsNaN(v) {
			continue
		}
		if n := len(t); n > 0 && times[i]-t[n-1] > rawGap+1e-9 {
			// An unknown sample in the middle keeps a long gap open.
			t = append(t, (t[n-1]+times[i])/2)
			known = append(known, math.NaN())
		}
		t = append(t, times[i])
		known = append(known, v)
	}
	return series.Resample(t, known, times)
}
