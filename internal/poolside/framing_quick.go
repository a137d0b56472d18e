package poolside

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	xdraw "golang.org/x/image/draw"
	"golang.org/x/image/math/f64"
)

// quickly scales the pictures of films, as JPEG files hold them, to pictures that are drawn
// on: luma between its four neighbours, colour, which JPEG has at half the size, at its
// nearest. Everything else it leaves to ApproxBiLinear, which converts the colour of all
// four neighbours and takes four times as long.
type quickly struct{}

func (quickly) Transform(dst draw.Image, m f64.Aff3, src image.Image, sr image.Rectangle, op draw.Op, opts *xdraw.Options) {
	to, ok1 := dst.(*image.RGBA)
	from, ok2 := src.(*image.YCbCr)
	if !ok1 || !ok2 || m[1] != 0 || m[3] != 0 || m[0] == 0 || m[4] <= 0 || opts != nil || sr != src.Bounds() || sr.Min != (image.Point{}) {
		xdraw.ApproxBiLinear.Transform(dst, m, src, sr, op, opts)
		return
	}
	xs := steps(to.Rect.Min.X, to.Rect.Max.X, m[0], m[2], sr.Dx())
	for i, y := range steps(to.Rect.Min.Y, to.Rect.Max.Y, m[4], m[5], sr.Dy()) {
		if y.inside {
			scaleRow(to.Pix[i*to.Stride:][:4*len(xs)], xs, from, y)
		}
	}
}

// step is where a row or column of the picture drawn on lies in the film.
type step struct {
	at, next int   // the two rows or columns around it
	part     int32 // of the way from at to next, in 256ths
	nearest  int
	inside   bool
}

// steps places the rows or columns from lo to hi: at*scale + off is where a place of the
// film comes to lie.
func steps(lo, hi int, scale, off float64, size int) []step {
	out := make([]step, max(hi-lo, 0))
	for i := range out {
		p := (float64(lo+i) + 0.5 - off) / scale
		if p < 0 || p >= float64(size) {
			continue
		}
		below := math.Floor(p - 0.5)
		out[i] = step{
			at: max(int(below), 0), next: min(int(below)+1, size-1), part: int32(256 * (p - 0.5 - below)), nearest: int(p), inside: true,
		}
	}
	return out
}

// scaleRow fills a row of RGBA.
func scaleRow(row []byte, xs []step, film *image.YCbCr, y step) {
	upper, lower := film.Y[y.at*film.YStride:], film.Y[y.next*film.YStride:]
	for i, x := range xs {
		if !x.inside {
			continue
		}
		a := int32(upper[x.at])*(256-x.part) + int32(upper[x.next])*x.part
		b := int32(lower[x.at])*(256-x.part) + int32(lower[x.next])*x.part
		c := film.COffset(x.nearest, y.nearest)
		px := row[4*i : 4*i+4 : 4*i+4]
		px[0], px[1], px[2] = color.YCbCrToRGB(byte((a*(256-y.part)+b*y.part+1<<15)>>16), film.Cb[c], film.Cr[c])
		px[3] = 0xff
	}
}
