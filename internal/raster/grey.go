package raster

import "math"

// Grey is a grey picture, row by row.
type Grey struct {
	W, H int
	Pix  []float32 // W*H
}

// New returns a black picture of w by h px. It panics unless both are positive.
func New(w, h int) *Grey {
	if w <= 0 || h <= 0 {
		panic("raster: picture without pixels")
	}
	return &Grey{W: w, H: h, Pix: make([]float32, w*h)}
}

// FromBytes returns a picture of w by h px with the given brightnesses, row by row.
// It panics unless there are w*h of them.
func FromBytes(w, h int, b []byte) *Grey {
	g := New(w, h)
	if len(b) != w*h {
		panic("raster: the bytes are not a picture of that size")
	}
	for i, v := range b {
		g.Pix[i] = float32(v)
	}
	return g
}

// Halve returns the picture at half the size, each pixel the mean of four. An odd
// last row or column is left out. It panics for a picture of one row or column.
func (g *Grey) Halve() *Grey {
	out := New(g.W/2, g.H/2)
	for y := range out.H {
		a, b := g.row(2*y), g.row(2*y+1)
		to := out.row(y)
		for x := range to {
			to[x] = (a[2*x] + a[2*x+1] + b[2*x] + b[2*x+1]) / 4
		}
	}
	return out
}

func (g *Grey) row(y int) []float32 { return g.Pix[y*g.W : (y+1)*g.W] }

// Smooth returns the picture smoothed by the binomial 1 2 1 along both axes
// (a Gaussian of about 0.71 px). At the edge the outermost pixel stands for those
// beyond it.
func (g *Grey) Smooth() *Grey {
	across := New(g.W, g.H)
	for y := range g.H {
		in, out := g.row(y), across.row(y)
		for x := range in {
			out[x] = (in[max(x-1, 0)] + 2*in[x] + in[min(x+1, g.W-1)]) / 4
		}
	}
	out := New(g.W, g.H)
	for y := range g.H {
		a, b, c := across.row(max(y-1, 0)), across.row(y), across.row(min(y+1, g.H-1))
		to := out.row(y)
		for x := range to {
			to[x] = (a[x] + 2*b[x] + c[x]) / 4
		}
	}
	return out
}

// Gradient returns the brightness's slopes along x and y, per px, by central
// differences; 0 in the outermost rows and columns.
func (g *Grey) Gradient() (gx, gy *Grey) {
	gx, gy = New(g.W, g.H), New(g.W, g.H)
	for y := 1; y < g.H-1; y++ {
		for x := 1; x < g.W-1; x++ {
			i := y*g.W + x
			gx.Pix[i] = (g.Pix[i+1] - g.Pix[i-1]) / 2
			gy.Pix[i] = (g.Pix[i+g.W] - g.Pix[i-g.W]) / 2
		}
	}
	return gx, gy
}

// At returns the brightness at a point between pixels, linear along both axes; a
// point outside takes the nearest pixel of the edge.
func (g *Grey) At(x, y float64) float64 {
	x = min(max(x-0.5, 0), float64(g.W-1))
	y = min(max(y-0.5, 0), float64(g.H-1))
	x0, y0 := int(x), int(y)
	fx, fy := float32(x-float64(x0)), float32(y-float64(y0))
	i := y0*g.W + x0
	right, below := 1, g.W
	if x0 == g.W-1 {
		right = 0
	}
	if y0 == g.H-1 {
		below = 0
	}
	top := g.Pix[i] + fx*(g.Pix[i+right]-g.Pix[i])
	bottom := g.Pix[i+below] + fx*(g.Pix[i+below+right]-g.Pix[i+below])
	return float64(top + fy*(bottom-top))
}

// Inside reports whether a point is in the picture and at least edge px from its
// border.
func (g *Grey) Inside(x, y, edge float64) bool {
	return x >= edge && y >= edge && x <= float64(g.W)-edge && y <= float64(g.H)-edge && !math.IsNaN(x+y)
}

// Pyramid returns the picture smoothed and as many halvings of it as asked for, the
// full size first. Pictures of less than 32 px a side are not halved.
func Pyramid(g *Grey, halvings int) []*Grey {
	levels := []*Grey{g.Smooth()}
	for range halvings {
		last := levels[len(levels)-1]
		if min(last.W, last.H) < 32 {
			break
		}
		levels = append(levels, last.Halve().Smooth())
	}
	return levels
}
