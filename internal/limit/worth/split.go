package worth

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/series"
	"underkick/internal/swim"
)

const (
	halfSamples   = 256 // of each half of a kick
	kickSamples   = 512 // of an assembled kick
	toeHarmonics  = 3   // of the toe's height when its extremes are looked for
	jointsKept    = 6   // harmonics of an assembled kick
	shouldersKept = 4

	shiftBelow   = 8 * math.Pi / 180  // rad: end postures closer than this are shifted
	stretchAbove = 12 * math.Pi / 180 // rad: further apart than this they are stretched
)

// half is the downkick or the upkick of a kick, sampled evenly in time from end to end.
type half struct {
	progress []float64                 // share of the ankle's path behind it, 0 to 1, rising
	joint    [body.NumJoints][]float64 // rad
}

// pieces is a kick taken apart.
type pieces struct {
	tempo  float64 // Hz
	down   float64 // share of the kick's time from toe top to toe bottom, in the body's frame
	halves [2]half // downkick, upkick
}

// split takes a kick apart. The frame is the body's at the mean pitch: ankle and toe
// relative to the hip. The halves meet at the extremes of the toe's height rebuilt from
// its first three harmonics, whose timing noise otherwise moves Sweep and Rest against
// each other. Progress is the ankle's path over its length from end to end.
func split(c *body.Chain, k swim.Kick) *pieces {
	var y [kickSamples]float64
	for i := range y {
		_, toe := feet(c, &k, float64(i)/kickSamples)
		y[i] = toe.Y
	}
	top, bottom := extremes(series.Harmonics(y[:], toeHarmonics))
	p := &pieces{tempo: k.Tempo, down: bottom - top}
	p.halves[0].sample(c, &k, top, bottom)
	p.halves[1].sample(c, &k, bottom, top+1)
	return p
}

// sample fills a half between two phases.
func (h *half) sample(c *body.Chain, k *swim.Kick, from, to float64) {
	h.progress = make([]float64, halfSamples+1)
	for j := range h.joint {
		h.joint[j] = make([]float64, halfSamples+1)
	}
	var last body.Point
	for i := range h.progress {
		phase := from + (to-from)*float64(i)/halfSamples
		ankle, _ := feet(c, k, phase)
		if i > 0 {
			h.progress[i] = h.progress[i-1] + math.Hypot(ankle.X-last.X, ankle.Y-last.Y)
		}
		last = ankle
		for j, angle := range k.Angles(phase) {
			h.joint[j][i] = angle
		}
	}
	for i := range h.progress {
		h.progress[i] /= h.progress[halfSamples]
	}
}

// feet returns ankle and toe relative to the hip at the mean pitch.
func feet(c *body.Chain, k *swim.Kick, phase float64) (ankle, toe body.Point) {
	th := body.Posture{Pitch: k.Pitch, Joints: k.Angles(phase)}.Angles()
	for g := body.Thighs; g <= body.Feet; g++ {
		s, cos := math.Sincos(th[g])
		if toe.X, toe.Y = toe.X-c[g].Length*cos, toe.Y-c[g].Length*s; g == body.Shanks {
			ankle = toe
		}
	}
	return ankle, toe
}

// extremes returns the phases of the highest and the lowest point of a periodic curve,
// the lowest within a cycle after the highest.
func extremes(f series.Fourier) (high, low float64) {
	const n = 256
	best := [2]int{}
	x := make([]float64, n)
	for i := range x {
		x[i] = f.At(float64(i) / n)
		if x[i] > x[best[0]] {
			best[0] = i
		}
		if x[i] < x[best[1]] {
			best[1] = i
		}
	}
	var at [2]float64
	for e, i := range best { // the slope's zero between the neighbours
		a, b := float64(i-1)/n, float64(i+1)/n
		rising := f.Rate(a) > 0
		for range 40 {
			m := (a + b) / 2
			if (f.Rate(m) > 0) == rising {
				a = m
			} else {
				b = m
			}
		}
		at[e] = (a + b) / 2
	}
	high, low = at[0], at[1]
	return high, high + math.Mod(low-high+1, 1)
}

// assemble builds the kick whose parts come from own or, where the mix says so, from ref,
// at the given mean pitch. Phase 0 is the toe top. Ankle, hip, knee and shoulder follow
// progress; hip and knee of Rest are mapped so that their values at the ends become those
// of Sweep.
func assemble(own, ref *pieces, m mix, pitch float64) swim.Kick {
	from := func(p Part) *pieces {
		if m.has(p) {
			return ref
		}
		return own
	}
	rest, sweep := from(Rest), from(Sweep)
	law := [2]*half{&from(Build).halves[0], &rest.halves[1]}
	k := swim.Kick{Tempo: from(Tempo).tempo, Pitch: pitch}
	down := from(Tempo).down
	var x [body.NumJoints][kickSamples]float64
	readers := [2]struct{ rest, ankle reader }{
		{reader{h: &rest.halves[0]}, reader{h: &from(Facing).halves[0]}},
		{reader{h: &rest.halves[1]}, reader{h: &from(Facing).halves[1]}},
	}
	for i := range kickSamples {
		phase := float64(i) / kickSamples
		h, u := 0, phase/down
		if u >= 1 {
			h, u = 1, (phase-down)/(1-down)
		}
		g := at(law[h].progress, u*halfSamples)
		r := &readers[h]
		r.rest.seek(g)
		r.ankle.seek(g)
		for j := range x {
			if body.Joint(j) == body.AnkleJoint {
				x[j][i] = r.ankle.read(j)
			} else {
				x[j][i] = r.rest.read(j)
			}
		}
	}
	for j := range x {
		kept := jointsKept
		switch body.Joint(j) {
		case body.HipJoint, body.KneeJoint:
			if rest != sweep {
				moveEnds(x[j][:], rest.ends(j), sweep.ends(j))
			}
		case body.ShoulderJoint:
			kept = shouldersKept
		}
		k.Joints[j] = series.Harmonics(x[j][:], kept)
	}
	return k
}

// ends returns a joint's angle at toe top and toe bottom.
func (p *pieces) ends(j int) [2]float64 {
	return [2]float64{p.halves[0].joint[j][0], p.halves[1].joint[j][0]}
}

// moveEnds maps a joint's curve linearly so that its end postures were become now. Where
// they lie close together a stretch would blow up what lies between, so the curve is
// shifted by their mean change instead, and the two rules are blended in between.
func moveEnds(x []float64, was, now [2]float64) {
	apart := was[1] - was[0]
	stretch := (math.Abs(apart) - shiftBelow) / (stretchAbove - shiftBelow)
	stretch = math.Max(0, math.Min(1, stretch))
	shift := (now[0] - was[0] + now[1] - was[1]) / 2
	for i, v := range x {
		x[i] = (1 - stretch) * (v + shift)
		if stretch > 0 {
			x[i] += stretch * (now[0] + (v-was[0])*(now[1]-now[0])/apart)
		}
	}
}

// reader finds a half's posture at a progress that only rises.
type reader struct {
	h *half
	i int
	u float64 // place between samples i and i+1
}

// seek goes on to the progress g.
func (r *reader) seek(g float64) {
	p := r.h.progress
	for r.i < halfSamples-1 && p[r.i+1] < g {
		r.i++
	}
	r.u = 0
	if step := p[r.i+1] - p[r.i]; step > 0 {
		r.u = math.Max(0, math.Min(1, (g-p[r.i])/step))
	}
}

func (r *reader) read(j int) float64 {
	x := r.h.joint[j]
	return x[r.i] + r.u*(x[r.i+1]-x[r.i])
}

// at returns evenly spaced values at a place between them.
func at(x []float64, place float64) float64 {
	i := min(int(place), len(x)-2)
	return x[i] + (place-float64(i))*(x[i+1]-x[i])
}
