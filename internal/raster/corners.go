package raster

import (
	"math"
	"slices"
)

// Corner is a point that can be told from its neighbourhood along both axes.
type Corner struct {
	X, Y     float64
	Strength float64 // smaller eigenvalue of the mean gradient products around it, brightness2/px2
}

// Corners returns the strongest corners of a picture, at most perCell from each
// cell of cell by cell px so that they are spread over it, the strongest first.
// The strength is the smaller eigenvalue of the mean products of the gradients in a
// window of 7 px (Shi and Tomasi, Good features to track, CVPR 1994). Corners
// weaker than least, or within 8 px of the edge, are left out, and so is the weaker
// of two nearer than 6 px along both axes.
func Corners(g *Grey, cell, perCell int, least float64) []Corner {
	const edge, apart = 8, 6.0
	strength := cornerStrength(g)
	var out []Corner
	for y0 := edge; y0 < g.H-edge; y0 += cell {
		for x0 := edge; x0 < g.W-edge; x0 += cell {
			var here []Corner
			for y := y0; y < min(y0+cell, g.H-edge); y++ {
				for x := x0; x < min(x0+cell, g.W-edge); x++ {
					s := float64(strength.Pix[y*g.W+x])
					if s >= least && strength.peak(x, y) {
						here = append(here, Corner{float64(x) + 0.5, float64(y) + 0.5, s})
					}
				}
			}
			slices.SortFunc(here, stronger)
			out = append(out, here[:min(perCell, len(here))]...)
		}
	}
	slices.SortFunc(out, stronger)
	return thin(out, apart)
}

// stronger sorts corners, with the place to break ties.
func stronger(a, b Corner) int {
	for _, d := range []float64{b.Strength - a.Strength, a.Y - b.Y, a.X - b.X} {
		if d != 0 {
			return int(min(1, max(-1, d*1e9)))
		}
	}
	return 0
}

// thin leaves out what is too near to something stronger.
func thin(all []Corner, apart float64) []Corner {
	var out []Corner
	for _, c := range all {
		if !slices.ContainsFunc(out, func(o Corner) bool {
			return max(c.X-o.X, o.X-c.X) < apart && max(c.Y-o.Y, o.Y-c.Y) < apart
		}) {
			out = append(out, c)
		}
	}
	return out
}

// peak reports whether no neighbour of a pixel is higher.
func (g *Grey) peak(x, y int) bool {
	i := y*g.W + x
	for _, j := range []int{i - g.W - 1, i - g.W, i - g.W + 1, i - 1, i + 1, i + g.W - 1, i + g.W, i + g.W + 1} {
		if g.Pix[j] > g.Pix[i] {
			return false
		}
	}
	return true
}

// cornerStrength returns the smaller eigenvalue around every pixel.
func cornerStrength(g *Grey) *Grey {
	gx, gy := g.Gradient()
	xx, xy, yy := New(g.W, g.H), New(g.W, g.H), New(g.W, g.H)
	for i := range g.Pix {
		a, b := gx.Pix[i], gy.Pix[i]
		xx.Pix[i], xy.Pix[i], yy.Pix[i] = a*a, a*b, b*b
	}
	xx, xy, yy = xx.windowMean(3), xy.windowMean(3), yy.windowMean(3)
	for i := range xx.Pix {
		a, b, c := float64(xx.Pix[i]), float64(xy.Pix[i]), float64(yy.Pix[i])
		xx.Pix[i] = float32(smallerEigenvalue(a, b, c))
	}
	return xx
}

// windowMean returns the mean over the window of 2r+1 px around every pixel; 0
// where the window leaves the picture.
func (g *Grey) windowMean(r int) *Grey {
	rows := New(g.W, g.H)
	for y := range g.H {
		in, out := g.row(y), rows.row(y)
		var sum float32
		for x := range in {
			sum += in[x]
			if x > 2*r {
				sum -= in[x-2*r-1]
			}
			if x >= 2*r {
				out[x-r] = sum
			}
		}
	}
	out := New(g.W, g.H)
	per := float32((2*r + 1) * (2*r + 1))
	sums := make([]float32, g.W)
	for y := range g.H {
		for x, v := range rows.row(y) {
			sums[x] += v
		}
		if y > 2*r {
			for x, v := range rows.row(y - 2*r - 1) {
				sums[x] -= v
			}
		}
		if y >= 2*r {
			for x := range sums {
				out.Pix[(y-r)*g.W+x] = sums[x] / per
			}
		}
	}
	return out
}

// smallerEigenvalue is that of the symmetric matrix with rows (a, b) and (b, c).
func smallerEigenvalue(a, b, c float64) float64 {
	return (a+c)/2 - math.Hypot((a-c)/2, b)
}
