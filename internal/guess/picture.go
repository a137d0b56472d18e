package guess

import (
	"fmt"
	"image"
)

// picture is a frame in red, green and blue, 3 bytes a pixel, row by row.
type picture struct {
	width, height int
	pix           []uint8
}

// newPicture takes over a decoded frame. Its colours are the decoder's own.
func newPicture(img image.Image) (picture, error) {
	r := img.Bounds()
	p := picture{width: r.Dx(), height: r.Dy()}
	if p.width < 16 || p.height < 16 {
		return p, fmt.Errorf("a picture of %d by %d px is too small", p.width, p.height)
	}
	p.pix = make([]uint8, 3*p.width*p.height)
	switch src := img.(type) {
	case *image.YCbCr:
		p.fromYCbCr(src)
	case *image.Gray:
		p.fromGray(src)
	default:
		return p, fmt.Errorf("pictures of type %T cannot be read", img)
	}
	return p, nil
}

// fromYCbCr converts with the full-range BT.601 equations that JPEG files use
// (ITU-T T.871), in 16-bit fixed point.
func (p *picture) fromYCbCr(src *image.YCbCr) {
	r := src.Rect
	k := 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			l := int32(src.Y[src.YOffset(x, y)]) << 16
			c := src.COffset(x, y)
			cb, cr := int32(src.Cb[c])-128, int32(src.Cr[c])-128
			p.pix[k] = clamp8(l + 91881*cr)
			p.pix[k+1] = clamp8(l - 22554*cb - 46802*cr)
			p.pix[k+2] = clamp8(l + 116130*cb)
			k += 3
		}
	}
}

func clamp8(v int32) uint8 {
	v = (v + 1<<15) >> 16
	return uint8(max(0, min(255, v)))
}

func (p *picture) fromGray(src *image.Gray) {
	k := 0
	for y := range p.height {
		for _, v := range src.Pix[y*src.Stride : y*src.Stride+p.width] {
			p.pix[k], p.pix[k+1], p.pix[k+2] = v, v, v
			k += 3
		}
	}
}
