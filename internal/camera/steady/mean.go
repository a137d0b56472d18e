package steady

import "underkick/internal/raster"

// mean is the mean of pictures laid on each other.
type mean struct {
	picture *raster.Grey
	count   []uint8 // pictures behind each pixel, up to mostLaid
	n       int     // pictures laid on
}

// mostLaid is how many pictures the mean remembers: enough to blur what moves, few
// enough to follow the sun.
const mostLaid = 60

func newMean(g *raster.Grey) *mean {
	m := &mean{picture: raster.New(g.W, g.H), count: make([]uint8, g.W*g.H), n: 1}
	copy(m.picture.Pix, g.Pix)
	for i := range m.count {
		m.count[i] = 1
	}
	return m
}

// add lays a picture on the mean; rel maps the mean's points to the picture's.
func (m *mean) add(g *raster.Grey, rel Transform) {
	m.n++
	each(m.picture.H, func(y int) {
		for x := range m.picture.W {
			u, v := rel.At(float64(x)+0.5, float64(y)+0.5)
			if !g.Inside(u, v, 1) {
				continue
			}
			i := y*m.picture.W + x
			if m.count[i] < mostLaid {
				m.count[i]++
			}
			m.picture.Pix[i] += (float32(g.At(u, v)) - m.picture.Pix[i]) / float32(m.count[i])
		}
	})
}
