package guess

import (
	"math"

	"underkick/internal/guess/network"
)

// crop is a square cut out of the picture, turned so that the swimmer stands
// upright in it: up points from the toes to the finger tips. Lengths are px of
// the picture, whose axes are x right and y down.
type crop struct {
	x, y   float64 // middle
	side   float64
	ux, uy float64 // unit vector that is up in the crop
	mirror bool    // left and right exchanged
}

// How the crop lies about the line from toe to fingertip: its middle stands at
// a part of the line counted from the toe, its side is a multiple of the line.
// The network was made for a square about the hips that holds the whole body
// with a quarter to spare (docs/methods/guess.md).
const (
	cropMiddle = 0.48
	cropSide   = 1.3
)

// around returns the crop for a swimmer whose fingertip and toe are given.
func around(fingertip, toe xy, mirror bool) crop {
	dx, dy := fingertip.x-toe.x, fingertip.y-toe.y
	length := math.Hypot(dx, dy)
	return crop{
		x: toe.x + cropMiddle*dx, y: toe.y + cropMiddle*dy, side: cropSide * length,
		ux: dx / length, uy: dy / length, mirror: mirror,
	}
}

type xy struct{ x, y float64 }

// times returns the crop in a picture k times as large.
func (c crop) times(k float64) crop {
	c.x, c.y, c.side = c.x*k, c.y*k, c.side*k
	return c
}

// axes returns the picture vectors of one crop pixel to the right and down.
func (c crop) axes() (rx, ry, dx, dy float64) {
	s := c.side / network.Side
	rx, ry, dx, dy = -c.uy*s, c.ux*s, -c.ux*s, -c.uy*s
	if c.mirror {
		rx, ry = -rx, -ry
	}
	return rx, ry, dx, dy
}

// toPicture returns where a point of the crop (px of the crop) is in the picture.
func (c crop) toPicture(u, v float64) xy {
	rx, ry, dx, dy := c.axes()
	u, v = u-network.Side/2, v-network.Side/2
	return xy{c.x + u*rx + v*dx, c.y + u*ry + v*dy}
}

// cut fills out, Side rows of Side pixels of red, green and blue from 0 to 1,
// with what the crop shows. Each value is the mean of n by n bilinear samples,
// with n so that no pixel of the picture is passed over. Outside the picture
// it is black.
func (c crop) cut(p picture, out []float32) {
	rx, ry, dx, dy := c.axes()
	n := max(1, int(math.Ceil(c.side/network.Side)))
	k := 0
	for v := range network.Side {
		for u := range network.Side {
			var sum [3]float64
			for j := range n {
				for i := range n {
					a := float64(u) + (float64(i)+0.5)/float64(n) - network.Side/2
					b := float64(v) + (float64(j)+0.5)/float64(n) - network.Side/2
					p.add(c.x+a*rx+b*dx, c.y+a*ry+b*dy, &sum)
				}
			}
			w := 1 / (255 * float64(n*n))
			out[k], out[k+1], out[k+2] = float32(sum[0]*w), float32(sum[1]*w), float32(sum[2]*w)
			k += 3
		}
	}
}

// add adds the picture's colour at (x, y), bilinear between pixel middles.
func (p *picture) add(x, y float64, sum *[3]float64) {
	x, y = x-0.5, y-0.5
	fx, fy := math.Floor(x), math.Floor(y)
	x0, y0 := int(fx), int(fy)
	if x0 < 0 || y0 < 0 || x0 >= p.width-1 || y0 >= p.height-1 {
		return
	}
	fx, fy = x-fx, y-fy
	a := p.pix[3*(y0*p.width+x0):]
	b := p.pix[3*((y0+1)*p.width+x0):]
	w00, w10, w01, w11 := (1-fx)*(1-fy), fx*(1-fy), (1-fx)*fy, fx*fy
	for k := range sum {
		sum[k] += w00*float64(a[k]) + w10*float64(a[k+3]) + w01*float64(b[k]) + w11*float64(b[k+3])
	}
}
