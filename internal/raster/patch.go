package raster

import "math"

// Patch is the neighbourhood of a point in one picture, to be found again in
// another. Make it with Cut.
type Patch struct {
	X, Y   float64 // the point
	Radius int     // px; the patch is 2*Radius+1 px wide and high
	values []float64
	gx, gy []float64
	inv    [3]float64 // of the mean gradient products: xx, xy, yy
	spread float64    // standard deviation of the values
}

// Cut returns the patch around a point; ok is false where it would leave the
// picture or has no structure along one axis.
func Cut(g *Grey, x, y float64, radius int) (p Patch, ok bool) {
	if !g.Inside(x, y, float64(radius)+1.5) {
		return p, false
	}
	p = Patch{X: x, Y: y, Radius: radius}
	var sum, square, xx, xy, yy float64
	for j := -radius; j <= radius; j++ {
		for i := -radius; i <= radius; i++ {
			u, v := x+float64(i), y+float64(j)
			b := g.At(u, v)
			gx, gy := (g.At(u+1, v)-g.At(u-1, v))/2, (g.At(u, v+1)-g.At(u, v-1))/2
			p.values, p.gx, p.gy = append(p.values, b), append(p.gx, gx), append(p.gy, gy)
			sum, square = sum+b, square+b*b
			xx, xy, yy = xx+gx*gx, xy+gx*gy, yy+gy*gy
		}
	}
	n := float64(len(p.values))
	mean := sum / n
	p.spread = math.Sqrt(max(square/n-mean*mean, 0))
	for i := range p.values {
		p.values[i] -= mean
	}
	det := xx*yy - xy*xy
	if smallerEigenvalue(xx/n, xy/n, yy/n) < 1e-3 || p.spread < 0.5 || det == 0 {
		return p, false
	}
	p.inv = [3]float64{yy / det, -xy / det, xx / det}
	return p, true
}

// Place maps a point of the picture the patch was cut from to where it is expected
// in the other.
type Place func(x, y float64) (float64, float64)

// Found is where a patch was found again.
type Found struct {
	X, Y  float64
	Alike float64 // correlation of the brightnesses, -1 to 1
}

// Find looks for the patch in another picture: each of its points is expected at
// expect, and all are moved by one displacement in the frame of the first picture
// until the brightnesses agree, a common gain and offset apart (inverse
// compositional alignment: Baker and Matthews, Int J Comput Vis 56, 2004). It
// follows displacements up to about the patch's radius. ok is false where the
// search leaves the picture, goes farther than reach px, or does not settle.
func (p *Patch) Find(g *Grey, expect Place, reach float64) (f Found, ok bool) {
	var dx, dy float64
	values := make([]float64, len(p.values))
	for range 20 {
		if !p.sample(g, expect, dx, dy, values) {
			return f, false
		}
		gain := p.level(values)
		if gain <= 0 {
			return f, false
		}
		var bx, by float64
		for i, v := range values {
			e := v/gain - p.values[i]
			bx, by = bx+p.gx[i]*e, by+p.gy[i]*e
		}
		sx, sy := p.inv[0]*bx+p.inv[1]*by, p.inv[1]*bx+p.inv[2]*by
		dx, dy = dx-sx, dy-sy
		if math.Hypot(dx, dy) > reach {
			return f, false
		}
		if sx*sx+sy*sy < 1e-4 {
			f.X, f.Y = expect(p.X+dx, p.Y+dy)
			f.Alike = p.correlation(values)
			return f, true
		}
	}
	return f, false
}

// sample reads the other picture at the patch's points moved by (dx, dy).
func (p *Patch) sample(g *Grey, expect Place, dx, dy float64, values []float64) bool {
	// The map is taken as affine over the patch: its centre and two steps.
	x0, y0 := p.X+dx, p.Y+dy
	cx, cy := expect(x0, y0)
	ax, ay := expect(x0+1, y0)
	bx, by := expect(x0, y0+1)
	ax, ay, bx, by = ax-cx, ay-cy, bx-cx, by-cy
	if !g.Inside(cx, cy, float64(p.Radius)+1) {
		return false
	}
	k := 0
	for j := -p.Radius; j <= p.Radius; j++ {
		for i := -p.Radius; i <= p.Radius; i++ {
			u, v := float64(i), float64(j)
			values[k] = g.At(cx+u*ax+v*bx, cy+u*ay+v*by)
			k++
		}
	}
	return true
}

// level takes the mean out of values and returns their gain against the patch.
func (p *Patch) level(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	mean, dot := sum/float64(len(values)), 0.0
	for i := range values {
		values[i] -= mean
		dot += values[i] * p.values[i]
	}
	return dot / (p.spread * p.spread * float64(len(values)))
}

// correlation is that of levelled values with the patch.
func (p *Patch) correlation(values []float64) float64 {
	var dot, square float64
	for i, v := range values {
		dot, square = dot+v*p.values[i], square+v*v
	}
	return dot / (p.spread * math.Sqrt(square*float64(len(values))))
}
