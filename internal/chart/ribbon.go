package chart

import "math"

// ribbonOutline returns the closed outline of a path of given widths, px. A
// point that is not finite ends one piece and starts the next.
func ribbonOutline(xs, ys, width []float64) string {
	n := min(len(xs), len(ys), len(width))
	var data string
	for from := 0; from < n; {
		to := from
		for to < n && !bad(xs[to]) && !bad(ys[to]) && !bad(width[to]) {
			to++
		}
		if to-from >= 2 {
			data += ribbonPiece(xs[from:to], ys[from:to], width[from:to])
		}
		from = to + 1
	}
	return data
}

func ribbonPiece(xs, ys, width []float64) string {
	n := len(xs)
	ox, oy := make([]float64, 2*n), make([]float64, 2*n)
	nx, ny := 0.0, 1.0
	for i := range n {
		a, b := max(0, i-1), min(n-1, i+1)
		dx, dy := xs[b]-xs[a], ys[b]-ys[a]
		if l := math.Hypot(dx, dy); l > 0 { // a point that stands still keeps the last direction
			nx, ny = -dy/l, dx/l
		}
		h := width[i] / 2
		ox[i], oy[i] = xs[i]+nx*h, ys[i]+ny*h
		ox[2*n-1-i], oy[2*n-1-i] = xs[i]-nx*h, ys[i]-ny*h
	}
	return polyline(ox, oy) + "Z"
}
