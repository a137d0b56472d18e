package render

import "math"

// picture is a picture in linear light.
type picture struct {
	w, h    int
	r, g, b []float32
	tmp     []float32
}

func newPicture(w, h int) *picture {
	n := w * h
	return &picture{w: w, h: h, r: make([]float32, n), g: make([]float32, n), b: make([]float32, n), tmp: make([]float32, n)}
}

// blend lays a colour over point i with a share of 0 to 1.
func (p *picture) blend(i int, c vec, share float64) {
	k := float32(share)
	p.r[i] += k * (float32(c.x) - p.r[i])
	p.g[i] += k * (float32(c.y) - p.g[i])
	p.b[i] += k * (float32(c.z) - p.b[i])
}

// soften blurs the picture by a Gaussian of the given standard deviation, px.
func (p *picture) soften(sigma float64) {
	if sigma <= 0 {
		return
	}
	half := int(math.Ceil(2.5 * sigma))
	k := make([]float32, half+1)
	sum := 0.0
	for i := range k {
		v := math.Exp(-float64(i*i) / (2 * sigma * sigma))
		k[i] = float32(v)
		sum += v
		if i > 0 {
			sum += v
		}
	}
	for i := range k {
		k[i] /= float32(sum)
	}
	for _, plane := range [...][]float32{p.r, p.g, p.b} {
		p.rows(plane, k)
		p.columns(plane, k)
	}
}

// rows blurs along the rows into tmp.
func (p *picture) rows(plane, k []float32) {
	half := len(k) - 1
	for y := range p.h {
		in, out := plane[y*p.w:(y+1)*p.w], p.tmp[y*p.w:(y+1)*p.w]
		for x := range in {
			v := k[0] * in[x]
			if x < half || x >= p.w-half {
				for i := 1; i <= half; i++ {
					v += k[i] * (in[max(0, x-i)] + in[min(p.w-1, x+i)])
				}
			} else {
				for i := 1; i <= half; i++ {
					v += k[i] * (in[x-i] + in[x+i])
				}
			}
			out[x] = v
		}
	}
}

// columns blurs tmp along the columns into the plane.
func (p *picture) columns(plane, k []float32) {
	row := func(y int) []float32 {
		y = min(max(y, 0), p.h-1)
		return p.tmp[y*p.w : (y+1)*p.w]
	}
	for y := range p.h {
		out := plane[y*p.w : (y+1)*p.w]
		for x, v := range row(y) {
			out[x] = k[0] * v
		}
		for i := 1; i < len(k); i++ {
			up, down := row(y-i), row(y+i)
			for x := range out {
				out[x] += k[i] * (up[x] + down[x])
			}
		}
	}
}
