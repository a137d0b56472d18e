package film

import (
	"image"
	"math"
)

// recolour turns stored luma and colour differences into those of JPEG files:
// full range and the matrix of ITU-R BT.601 (JFIF 1.02). Grey stays grey, so
// with Y, Pb, Pr as fractions it is
//
//	Y' = Y + a Pb + b Pr,  Pb' = c Pb + d Pr,  Pr' = e Pb + f Pr.
//
// Numbers are kept in units of 1/65536.
type recolour struct {
	luma                   [256]int32 // by stored luma
	yb, yr, bb, br, rb, rr int32      // per step of stored colour difference
	sameMatrix             bool
}

const oneFixed = 1 << 16

// lumaShares are Kr and Kb of the matrices that differ from BT.601:
// ITU-R BT.709-6 item 3.2 and BT.2020-2 table 4 (non-constant luminance).
// ffmpeg's names; a film that does not say is taken as BT.601, as ffmpeg does.
var lumaShares = map[string][2]float64{
	"bt709":    {0.2126, 0.0722},
	"bt2020nc": {0.2627, 0.0593},
}

// newRecolour returns the conversion from the matrix and range of a film.
func newRecolour(matrix string, full bool) recolour {
	const kr, kb = 0.299, 0.114 // BT.601
	shares, other := lumaShares[matrix]
	if !other {
		shares = [2]float64{kr, kb}
	}
	lumaScale, offset, chromaScale := 255.0/219, 16.0, 255.0/224
	if full {
		lumaScale, offset, chromaScale = 1, 0, 1
	}
	c := recolour{sameMatrix: !other}
	for v := range c.luma {
		c.luma[v] = fixed((float64(v) - offset) * lumaScale)
	}
	// What one unit of Pb or of Pr alone, at Y = 0, is in the new matrix.
	column := func(pb, pr float64) (y, b, r float64) {
		red, blue := 2*(1-shares[0])*pr, 2*(1-shares[1])*pb
		green := -(shares[0]*red + shares[1]*blue) / (1 - shares[0] - shares[1])
		y = kr*red + (1-kr-kb)*green + kb*blue
		return y, (blue - y) / (2 * (1 - kb)), (red - y) / (2 * (1 - kr))
	}
	y, b, r := column(1, 0)
	c.yb, c.bb, c.rb = fixed(y*chromaScale), fixed(b*chromaScale), fixed(r*chromaScale)
	y, b, r = column(0, 1)
	c.yr, c.br, c.rr = fixed(y*chromaScale), fixed(b*chromaScale), fixed(r*chromaScale)
	return c
}

func fixed(v float64) int32 { return int32(math.Round(v * oneFixed)) }

// clamp rounds a number of 1/65536 to a byte.
func clamp(v int32) byte {
	v = (v + oneFixed/2) >> 16
	return byte(min(255, max(0, v)))
}

// apply converts a 4:2:0 picture in place.
func (c *recolour) apply(img *image.YCbCr) {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	for y := range h {
		row := img.Y[y*img.YStride:][:w]
		cb, cr := img.Cb[y/2*img.CStride:], img.Cr[y/2*img.CStride:]
		if c.sameMatrix {
			for x, v := range row {
				row[x] = clamp(c.luma[v])
			}
			continue
		}
		for x, v := range row {
			row[x] = clamp(c.luma[v] + c.yb*(int32(cb[x/2])-128) + c.yr*(int32(cr[x/2])-128))
		}
	}
	for k := range img.Cb {
		b, r := int32(img.Cb[k])-128, int32(img.Cr[k])-128
		img.Cb[k] = clamp(128*oneFixed + c.bb*b + c.br*r)
		img.Cr[k] = clamp(128*oneFixed + c.rb*b + c.rr*r)
	}
}
