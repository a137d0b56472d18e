package film

// shrinker makes pictures of one byte a pixel smaller by averaging over the
// area that each new pixel covers. Points keep their places: what is at x of
// a picture sw wide is at x*dw/sw afterwards, the middle of the first pixel
// being at 0.5. Whole-number arithmetic, so the result is the same everywhere.
type shrinker struct {
	sw, sh, dw, dh int
	columns        []cover
	rows           []cover
	sum            []uint64 // of one row of new pixels
	line           []uint64 // one old row, summed across
}

// cover says which old pixels a new one covers: from first on, with weights
// in old lengths of 1/dw (their sum is sw).
type cover struct {
	first   int
	weights []uint64
}

// newShrinker returns a shrinker from sw by sh to dw by dh px, none larger.
func newShrinker(sw, sh, dw, dh int) *shrinker {
	return &shrinker{sw, sh, dw, dh, covers(sw, dw), covers(sh, dh), make([]uint64, dw), make([]uint64, dw)}
}

func covers(s, d int) []cover {
	all := make([]cover, d)
	for k := range all {
		from, to := k*s, (k+1)*s // old pixel i spans i*d to (i+1)*d
		c := cover{first: from / d}
		for i := c.first; i*d < to; i++ {
			c.weights = append(c.weights, uint64(min(to, (i+1)*d)-max(from, i*d)))
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
	total := uint64(z.sw) * uint64(z.sh)
	for y, row := range z.rows {
		clear(z.sum)
		for k, wy := range row.weights {
			z.across(src[(row.first+k)*z.sw:][:z.sw])
			for x, v := range z.line {
				z.sum[x] += wy * v
			}
		}
		out := dst[y*z.dw:][:z.dw]
		for x, v := range z.sum {
			out[x] = byte((v + total/2) / total)
		}
	}
}

// across sums an old row over the columns into line.
func (z *shrinker) across(row []byte) {
	for x := range z.columns {
		c := &z.columns[x]
		var v uint64
		for k, w := range c.weights {
			v += w * uint64(row[c.first+k])
		}
		z.line[x] = v
	}
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
