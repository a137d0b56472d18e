package burn

import (
	"image"
	"math"
)

// softCells is how many cells stand across a softened disc. Four by four mean
// colours hold no face, and because they hang on the disc's middle, which moves
// with the head, the pictures of a clip together tell no more than one.
const softCells = 4

// cell is the mean colour of a part of the picture, times its count.
type cell struct{ r, g, b, n uint32 }

// Soften makes what lies within radius px of (x, y) unrecognisable: it is replaced
// by the means of coarse cells, with smooth transitions between them. Outside the
// disc no pixel changes. A disc that misses the picture, or a radius that is not
// positive, changes nothing. (x, y) counts from the picture's top-left corner.
//
// It does not find faces: who calls it must know where the face is.
func Soften(img *image.RGBA, x, y, radius float64) {
	var b Burner
	b.Soften(img, x, y, radius)
}

// Soften is the function Soften with the working memory of b.
func (b *Burner) Soften(img *image.RGBA, x, y, radius float64) {
	x, y = x+float64(img.Rect.Min.X), y+float64(img.Rect.Min.Y)
	if !finite(pt(x, y)) || !(radius > 0) || math.IsInf(radius, 0) {
		return
	}
	side := 2 * radius / softCells
	x0, y0 := x-radius, y-radius
	box := image.Rect(int(math.Floor(x0)), int(math.Floor(y0)), int(math.Ceil(x+radius)), int(math.Ceil(y+radius))).Intersect(img.Bounds())
	if box.Empty() {
		return
	}
	b.cells = means(b.cells, img, box, func(px, py float64) (i, j int) {
		return min(max(int((px-x0)/side), 0), softCells-1), min(max(int((py-y0)/side), 0), softCells-1)
	})
	for py := box.Min.Y; py < box.Max.Y; py++ {
		cy := float64(py) + 0.5
		half := radius*radius - (cy-y)*(cy-y)
		if half <= 0 {
			continue
		}
		half = math.Sqrt(half)
		from, to := max(box.Min.X, int(math.Ceil(x-half-0.5))), min(box.Max.X, int(math.Floor(x+half-0.5))+1)
		for px := from; px < to; px++ {
			c := blended(b.cells, (float64(px)+0.5-x0)/side-0.5, (cy-y0)/side-0.5)
			o := img.PixOffset(px, py)
			img.Pix[o], img.Pix[o+1], img.Pix[o+2] = c[0], c[1], c[2]
		}
	}
}

// means fills the cells with the mean colours of their pixels in the box. A cell
// that has none, outside the picture, takes the mean of all.
func means(cells []cell, img *image.RGBA, box image.Rectangle, at func(px, py float64) (i, j int)) []cell {
	cells = cells[:0]
	for range softCells * softCells {
		cells = append(cells, cell{})
	}
	var all [4]uint64
	for py := box.Min.Y; py < box.Max.Y; py++ {
		for px := box.Min.X; px < box.Max.X; px++ {
			i, j := at(float64(px)+0.5, float64(py)+0.5)
			p := img.Pix[img.PixOffset(px, py):]
			c := &cells[j*softCells+i]
			c.r, c.g, c.b, c.n = c.r+uint32(p[0]), c.g+uint32(p[1]), c.b+uint32(p[2]), c.n+1
			all[0], all[1], all[2], all[3] = all[0]+uint64(p[0]), all[1]+uint64(p[1]), all[2]+uint64(p[2]), all[3]+1
		}
	}
	for k := range cells {
		c := &cells[k]
		if c.n == 0 {
			*c = cell{uint32(all[0] / all[3]), uint32(all[1] / all[3]), uint32(all[2] / all[3]), 1}
			continue
		}
		*c = cell{c.r / c.n, c.g / c.n, c.b / c.n, c.n}
	}
	return cells
}

// blended is the colour between the middles of the cells, u and v counted in cells.
func blended(cells []cell, u, v float64) [3]byte {
	u, v = math.Min(math.Max(u, 0), softCells-1), math.Min(math.Max(v, 0), softCells-1)
	i, j := min(int(u), softCells-2), min(int(v), softCells-2)
	fu, fv := u-float64(i), v-float64(j)
	a, b, c, d := cells[j*softCells+i], cells[j*softCells+i+1], cells[(j+1)*softCells+i], cells[(j+1)*softCells+i+1]
	mix := func(a, b, c, d uint32) byte {
		return byte((1-fv)*((1-fu)*float64(a)+fu*float64(b)) + fv*((1-fu)*float64(c)+fu*float64(d)) + 0.5)
	}
	return [3]byte{mix(a.r, b.r, c.r, d.r), mix(a.g, b.g, c.g, d.g), mix(a.b, b.b, c.b, d.b)}
}
