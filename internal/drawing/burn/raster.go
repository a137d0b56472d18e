package burn

import (
	"image"
	"image/draw"
	"math"

	"golang.org/x/image/vector"

	"underkick/internal/drawing"
)

func pt(x, y float64) drawing.Point { return drawing.Point{X: x, Y: y} }

func finite(p drawing.Point) bool {
	return !math.IsNaN(p.X) && !math.IsNaN(p.Y) && !math.IsInf(p.X, 0) && !math.IsInf(p.Y, 0)
}

// Burner draws on pictures. The zero value is ready for use; it must not be copied
// after that.
type Burner struct {
	z     vector.Rasterizer
	inks  map[drawing.Role]*image.Uniform
	img   *image.RGBA   // own
	own   image.RGBA    // the picture that is drawn on, with its corner at (0, 0)
	faces map[int]*face // by size in px

	loops  []drawing.Point // of the shape being built, one after the other
	ends   []int           // end of each loop in loops
	cut    [2][]drawing.Point
	closed []drawing.Point
	cells  []cell
}

// begin starts a new shape.
func (b *Burner) begin() { b.loops, b.ends = b.loops[:0], b.ends[:0] }

// loop adds a closed loop to the shape, turned so that all loops of a shape turn
// alike: where they overlap the shape then is still whole.
func (b *Burner) loop(pts ...drawing.Point) {
	if area(pts) < 0 {
		for i := len(pts) - 1; i >= 0; i-- {
			b.loops = append(b.loops, pts[i])
		}
	} else {
		b.loops = append(b.loops, pts...)
	}
	b.ends = append(b.ends, len(b.loops))
}

// area is twice the signed area of a loop.
func area(pts []drawing.Point) float64 {
	sum := 0.0
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		sum += p.X*q.Y - q.X*p.Y
	}
	return sum
}

// paint fills the shape with a colour.
func (b *Burner) paint(c *image.Uniform) {
	box := b.box()
	if box.Empty() {
		return
	}
	b.z.Reset(box.Dx(), box.Dy())
	x0, y0 := float64(box.Min.X), float64(box.Min.Y)
	from := 0
	for _, end := range b.ends {
		for i, p := range b.loops[from:end] {
			x, y := float32(p.X-x0), float32(p.Y-y0)
			if i == 0 {
				b.z.MoveTo(x, y)
			} else {
				b.z.LineTo(x, y)
			}
		}
		b.z.ClosePath()
		from = end
	}
	b.z.DrawOp = draw.Over
	b.z.Draw(b.img, box, c, image.Point{})
}

// box is the part of the picture that the shape can touch.
func (b *Burner) box() image.Rectangle {
	if len(b.loops) == 0 {
		return image.Rectangle{}
	}
	lo, hi := b.loops[0], b.loops[0]
	for _, p := range b.loops {
		lo = pt(math.Min(lo.X, p.X), math.Min(lo.Y, p.Y))
		hi = pt(math.Max(hi.X, p.X), math.Max(hi.Y, p.Y))
	}
	r := image.Rect(int(math.Floor(lo.X)), int(math.Floor(lo.Y)), int(math.Ceil(hi.X)), int(math.Ceil(hi.Y)))
	return r.Intersect(b.img.Bounds())
}

// room is how far beyond the picture shapes are kept, px: the rasteriser counts in
// small integers and must not be given what lies far outside.
const room = 64

// bounds is the picture with room around it.
func (b *Burner) bounds() (lo, hi drawing.Point) {
	r := b.img.Bounds()
	return pt(float64(r.Min.X-room), float64(r.Min.Y-room)), pt(float64(r.Max.X+room), float64(r.Max.Y+room))
}

// fill paints a polygon.
func (b *Burner) fill(pts []drawing.Point, c *image.Uniform) {
	for _, p := range pts {
		if !finite(p) {
			return
		}
	}
	b.begin()
	if cut := b.clipped(pts); len(cut) > 2 {
		b.loop(cut...)
	}
	b.paint(c)
}

// clipped is the part of a polygon inside the bounds (Sutherland and Hodgman,
// Commun. ACM 17, 1974), one side after the other.
func (b *Burner) clipped(pts []drawing.Point) []drawing.Point {
	lo, hi := b.bounds()
	from := append(b.cut[0][:0], pts...)
	to := b.cut[1][:0]
	for side := range 4 {
		depth := func(p drawing.Point) float64 {
			switch side {
			case 0:
				return p.X - lo.X
			case 1:
				return hi.X - p.X
			case 2:
				return p.Y - lo.Y
			}
			return hi.Y - p.Y
		}
		for i, p := range from {
			q := from[(i+1)%len(from)]
			dp, dq := depth(p), depth(q)
			if dp >= 0 {
				to = append(to, p)
			}
			if dp >= 0 != (dq >= 0) {
				f := dp / (dp - dq)
				to = append(to, pt(p.X+f*(q.X-p.X), p.Y+f*(q.Y-p.Y)))
			}
		}
		from, to = to, from[:0]
	}
	b.cut[0], b.cut[1] = from, to
	return from
}

// disc paints a filled circle.
func (b *Burner) disc(at drawing.Point, radius float64, c *image.Uniform) {
	b.begin()
	b.round(at, radius)
	b.paint(c)
}

// corners is how many corners a circle needs to look round.
func corners(radius float64) int { return 8 + int(math.Min(4*math.Sqrt(math.Max(radius, 0)), 56)) }

// round adds a circle to the shape.
func (b *Burner) round(at drawing.Point, radius float64) {
	lo, hi := b.bounds()
	if !finite(at) || !(radius > 0) || at.X+radius < lo.X || at.Y+radius < lo.Y || at.X-radius > hi.X || at.Y-radius > hi.Y || radius > 4*(hi.X-lo.X) {
		return
	}
	n := corners(radius)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		b.loops = append(b.loops, pt(at.X+radius*cos, at.Y+radius*sin))
	}
	b.ends = append(b.ends, len(b.loops))
}
