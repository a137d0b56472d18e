// Package rastertest draws pictures whose content is known at every point, for
// tests of what moves in them.
package rastertest

import (
	"math"
	"math/rand/v2"

	"underkick/internal/raster"
)

// Scene is a plane of soft blobs and bars that has a brightness at every point.
type Scene struct{ blobs []blob }

type blob struct{ x, y, size, bright float64 }

// NewScene returns a scene of n blobs spread over x0..x1 and y0..y1.
func NewScene(n int, x0, y0, x1, y1 float64, seed uint64) *Scene {
	rng := rand.New(rand.NewPCG(seed, 7))
	s := &Scene{}
	for range n {
		s.blobs = append(s.blobs, blob{
			x0 + rng.Float64()*(x1-x0), y0 + rng.Float64()*(y1-y0), 2 + 4*rng.Float64(), 120*rng.Float64() - 60,
		})
	}
	return s
}

// Draw returns a picture of w by h px that shows at (x, y) what the scene has at
// back(x, y), with white noise of the given standard deviation.
func (s *Scene) Draw(w, h int, back raster.Place, noise float64, seed uint64) *raster.Grey {
	rng := rand.New(rand.NewPCG(seed, 8))
	cells := s.sorted()
	g := raster.New(w, h)
	for y := range h {
		for x := range w {
			u, v := back(float64(x)+0.5, float64(y)+0.5)
			g.Pix[y*w+x] = float32(110 + cells.at(u, v) + noise*rng.NormFloat64())
		}
	}
	return g
}

// reach is how many sizes a blob is felt away.
const reach = 3.5

const cellSize = 12.0

// grid holds the blobs that are felt in each cell of the scene, row by row.
type grid struct {
	x, y, wide, high int // first cell and size
	cells            [][]blob
}

func (s *Scene) sorted() *grid {
	g := &grid{x: math.MaxInt, y: math.MaxInt}
	right, bottom := math.MinInt, math.MinInt
	for _, b := range s.blobs {
		r := reach * b.size
		g.x, g.y = min(g.x, cell(b.x-r)), min(g.y, cell(b.y-r))
		right, bottom = max(right, cell(b.x+r)), max(bottom, cell(b.y+r))
	}
	g.wide, g.high = right-g.x+1, bottom-g.y+1
	g.cells = make([][]blob, g.wide*g.high)
	for _, b := range s.blobs {
		r := reach * b.size
		for j := cell(b.y - r); j <= cell(b.y+r); j++ {
			for i := cell(b.x - r); i <= cell(b.x+r); i++ {
				at := (j-g.y)*g.wide + i - g.x
				g.cells[at] = append(g.cells[at], b)
			}
		}
	}
	return g
}

func cell(x float64) int { return int(math.Floor(x / cellSize)) }

func (g *grid) at(x, y float64) float64 {
	i, j := cell(x)-g.x, cell(y)-g.y
	if i < 0 || j < 0 || i >= g.wide || j >= g.high {
		return 0
	}
	sum := 0.0
	for _, b := range g.cells[j*g.wide+i] {
		dx, dy := (x-b.x)/b.size, (y-b.y)/b.size
		if d := dx*dx + dy*dy; d < reach*reach {
			sum += b.bright * math.Exp(-d/2)
		}
	}
	return sum
}
