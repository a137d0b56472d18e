package compare

import (
	"math"
	"sort"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/spread"
)

// Difference is a measure or one place of a curve of run b against run a.
type Difference struct {
	ID, Name, Unit string
	Curve          bool
	Phase          float64 // of a curve's place; NaN for a measure
	A, B           float64
	Value          float64 // B - A
	Low, High      float64 // band of Value, within what the difference can be
	Size           float64 // |Value| over half the band: above 1 the band leaves out 0
}

// mean is a mean over kicks with its two kinds of error.
type mean struct {
	value, sd float64
	n         int
	constant  float64 // standard error shared by all kicks
}

// apart returns b - a with its standard error and degrees of freedom; a standard error
// of NaN where either has fewer than two kicks.
func apart(a, b mean) (d, se, df float64) {
	if a.n < 2 || b.n < 2 {
		return b.value - a.value, math.NaN(), math.NaN()
	}
	va, vb := a.sd*a.sd/float64(a.n), b.sd*b.sd/float64(b.n)
	total := va + vb + a.constant*a.constant + b.constant*b.constant
	df = total * total / (va*va/float64(a.n-1) + vb*vb/float64(b.n-1))
	return b.value - a.value, math.Sqrt(total), df
}

// between returns the difference of two means with its band, which reaches so many
// standard errors to both sides as within says for its degrees of freedom.
func between(a, b mean, within func(df float64) float64) Difference {
	d, se, df := apart(a, b)
	half := math.NaN()
	if !math.IsNaN(se) {
		half = within(df) * se
	}
	return Difference{Phase: math.NaN(), A: a.value, B: b.value, Value: d, Low: d - half, High: d + half, Size: math.Abs(d) / half}
}

// within cuts the band to what the difference of two such numbers can be.
func (d Difference) within(each spread.Bounds) Difference {
	d.Low, d.High = each.Difference().Cut(d.Value, d.Low, d.High)
	return d
}

func meanOf(m kick.Measure) mean {
	return mean{m.Value, m.SD, m.N, limit.ConstantError(m)}
}

func (c Curve) at(i int) mean { return mean{c.Mean[i], c.SD[i], c.N[i], c.Constant[i]} }

// leastKicks is how many counted kicks each run needs before a difference is named.
const leastKicks = 3

// Differences returns where b differs from a beyond bands so wide that all of them hold
// together at 95 %, largest first in units of its own band; of each curve the one place
// where it differs most. Fewer than three counted kicks in a run give none. Facing is
// left out unless both runs were marked alike.
func Differences(a, b Run) []Difference {
	if a.Result == nil || b.Result == nil || a.Result.Counted < leastKicks || b.Result.Counted < leastKicks {
		return nil
	}
	alike := a.Conditions.MarkedAlike(b.Conditions)
	var pairs [][2]Curve
	ca, cb := Curves(a.Result), Curves(b.Result)
	for i := range ca {
		if (alike || ca[i].ID != "facing") && ca[i].ID != ToeAlong && ca[i].Known() && cb[i].Known() {
			pairs = append(pairs, [2]Curve{ca[i], cb[i]})
		}
	}
	var ids []string
	for _, id := range Measures() {
		if fit(a.Result, id) && fit(b.Result, id) && (alike || !isFacing(id)) {
			ids = append(ids, id)
		}
	}
	share := 0.05 / float64(len(pairs)+len(ids))
	fast, anywhere, once := fastPlaces(ca, cb), remembered(share, onCurve), remembered(share, atOnePlace)
	var out []Difference
	for _, p := range pairs {
		if d := widest(p[0], p[1], anywhere, fast); d.Size > 1 {
			out = append(out, d)
		}
	}
	for _, id := range ids {
		ma, _ := a.Result.Measure(id)
		mb, _ := b.Result.Measure(id)
		d := between(meanOf(ma), meanOf(mb), once).within(kick.BoundsOf(id))
		if d.ID, d.Name, d.Unit = id, limit.Name(id), ma.Unit; d.Size > 1 {
			out = append(out, d)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Size > out[j].Size })
	return out
}

// widest returns the place where two curves differ most in units of the band. Facing
// counts only where the foot is fast in both: elsewhere it moves no water.
func widest(a, b Curve, within func(float64) float64, fast []bool) Difference {
	var best Difference
	for i := range Samples {
		if a.ID == "facing" && !fast[i] {
			continue
		}
		d := between(a.at(i), b.at(i), within)
		if d.Size > best.Size {
			best, best.Phase = d, phase(i)
		}
	}
	best.ID, best.Name, best.Unit, best.Curve = a.ID, a.Name, a.Unit, true
	return best.within(a.Bounds)
}

// fastPlaces tells where the foot of both runs is above half its peak, as the drive is
// defined.
func fastPlaces(a, b []Curve) []bool {
	fast := make([]bool, Samples)
	for i := range fast {
		fast[i] = true
	}
	for _, list := range [][]Curve{a, b} {
		for _, c := range list {
			if c.ID != "foot_speed" {
				continue
			}
			peak := 0.0
			for _, v := range c.Mean {
				if v > peak {
					peak = v
				}
			}
			for i, v := range c.Mean {
				fast[i] = fast[i] && v >= peak/2
			}
		}
	}
	return fast
}

// fit reports whether a measure of a run has a number that nothing speaks against.
func fit(r *kick.Result, id string) bool {
	m, ok := r.Measure(id)
	return ok && m.Text == "" && len(limit.Unfit(m)) == 0
}

func isFacing(id string) bool { return id == "facing" || id == "facing_upkick" }
