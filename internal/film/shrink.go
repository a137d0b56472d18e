package film

import (
	"math"
	"math/bits"
)

// shrinker makes pictures of one byte a pixel smaller by averaging over the
// area that each new pixel covers. Points keep their places: what is at x of
// a picture sw wide is at x*dw/sw afterwards, the middle of the first pixel
// being at 0.5. Whole-number arithmetic, so the result is the same everywhere.
type shrinker struct {
	sw, sh, dw, dh int
	columns        []cover
	rows           []cover
	taps           []tap    // the columns again, if each is of three at most
	sum            []uint64 // of one row of new pixels
	line           []uint32 // one old row, summed across
}

// cover says which old pixels a new one covers: from first on, with weights
// in old lengths of 1/dw (their sum is sw).
type cover struct {
	first   int
	weights []uint32
}

// newShrinker returns a shrinker from sw by sh to dw by dh px, none larger.
func newShrinker(sw, sh, dw, dh int) *shrinker {
	z := &shrinker{sw: sw, sh: sh, dw: dw, dh: dh, columns: covers(sw, dw), rows: covers(sh, dh)}
	z.taps = threeTaps(z.columns, sw)
	z.sum, z.line = make([]uint64, dw), make([]uint32, dw)
	return z
}

func covers(s, d int) []cover {
	all := make([]cover, d)
	for k := range all {
		from, to := k*s, (k+1)*s // old pixel i spans i*d to (i+1)*d
		c := cover{first: from / d}
		for i := c.first; i*d < to; i++ {
			c.weights = append(c.weights, uint32(min(to, (i+1)*d)-max(from, i*d)))
		}
		all[k] = c
	}
	return all
}

// shrink fills dst (dw*dh) from src (sw*sh).
func (z *shrinker) shrink(dst, src []byte) {
	if z.sw == 2*z.dw && z.sh == 2*z.dh {
		halve(dst, src, z.dw, z.dh)
		return
	}
	// Division by total as a multiplication: exact, since the sums stay below
	// 2^34 and total below 2^26, so that their product is below 2^64.
	total := uint64(z.sw) * uint64(z.sh)
	inverse := math.MaxUint64/total + 1
	for y, row := range z.rows {
		clear(z.sum)
		for k, wy := range row.weights {
			z.across(src[(row.first+k)*z.sw:][:z.sw])
			for x, v := range z.line {
				z.sum[x] += uint64(wy) * uint64(v)
			}
		}
		out := dst[y*z.dw:][:z.dw]
		for x, v := range z.sum {
			q, _ := bits.Mul64(v+total/2, inverse)
			out[x] = byte(q)
		}
	}
}

// across sums an old row over the columns into line.
func (z *shrinker) across(row []byte) {
	if z.taps != nil {
		for x := range z.taps {
			t := &z.taps[x]
			px := row[t.first:][:3]
			z.line[x] = t.w[0]*uint32(px[0]) + t.w[1]*uint32(px[1]) + t.w[2]*uint32(px[2])
		}
		return
	}
	for x := range z.columns {
		c := &z.columns[x]
		var v uint32
		for k, w := range c.weights {
			v += w * uint32(row[c.first+k])
		}
		z.line[x] = v
	}
}

// tap is a cover of three old pixels, some perhaps of no weight.
type tap struct {
	first int
	w     [3]uint32
}

// threeTaps gives all covers the same width of three, which makes the common
// ratios up to two several times faster; nil when some cover more, or when
// there are not three pixels.
func threeTaps(columns []cover, s int) []tap {
	if s < 3 {
		return nil
	}
	taps := make([]tap, len(columns))
	for k, c := range columns {
		if len(c.weights) > 3 {
			return nil
		}
		t := &taps[k]
		t.first = min(c.first, s-3)
		copy(t.w[c.first-t.first:], c.weights)
	}
	return taps
}

// halve is shrink by two, the usual case.
func halve(dst, src []byte, dw, dh int) {
	for y := range dh {
		a, b := src[4*y*dw:][:2*dw], src[(4*y+2)*dw:][:2*dw]
		out := dst[y*dw:][:dw]
		for x := range out {
			out[x] = byte((uint(a[2*x]) + uint(a[2*x+1]) + uint(b[2*x]) + uint(b[2*x+1]) + 2) / 4)
		}
	}
}
