package trace

import (
	"math"
	"slices"

	"underkick/internal/body"
)

// marksWhole tells whether somebody marks whole frames: on two or more frames, and on all
// of them, every landmark that measures need. Their next frame then serves both levels;
// frames for the first level alone come to lie about the ends of the toe's way, because
// the amplitude is what is known last, and leave the foot's turning between them open.
func marksWhole(marks []body.Mark) bool {
	need := 0
	for _, l := range asked {
		need |= 1 << l
	}
	has := map[float64]int{}
	for _, m := range marks {
		has[m.Time] |= 1 << m.Landmark
		if m.Landmark == body.Wrist { // stands in for the finger tip
			has[m.Time] |= 1 << body.Fingertip
		}
	}
	for _, bits := range has {
		if bits&need != need {
			return false
		}
	}
	return len(has) >= 2
}

// lacking returns the landmarks that are needed and have no trace yet.
func lacking(marks []body.Mark, f *Traces) []body.Landmark {
	var counts [body.NumLandmarks]int
	for _, m := range marks {
		counts[m.Landmark]++
	}
	var out []body.Landmark
	for _, l := range asked {
		if l == body.Fingertip && counts[body.Wrist] > counts[l] {
			l = body.Wrist
		}
		if f == nil && counts[l] < Fewest || f != nil && f.Landmarks[l] == nil {
			out = append(out, l)
		}
	}
	if f == nil && len(out) == 0 {
		return asked // marked often enough, and yet no fit
	}
	return out
}

// errors returns the root mean square standard errors, the doubt about the kick's
// length included.
func (a *adviser) errors() Errors {
	e := unknown()
	square := [body.NumLandmarks]float64{}
	doubt := a.doubt()
	for k, th := range a.f.threads {
		square[th.landmark] = a.open[k].meanSquare
		if doubt != nil {
			for i, v := range doubt[th.landmark] {
				square[th.landmark] += a.open[k].share[i] * v / 2
			}
		}
		e.Landmarks[th.landmark] = math.Sqrt(square[th.landmark]) / a.size
	}
	if of := a.byLandmark(); a.sweep != nil && of[body.Toe] != nil {
		e.Sweep = math.Sqrt(of[body.Toe].sweep) / a.sweep.size
	}
	if a.f.Landmarks[body.Toe] != nil && a.f.Landmarks[body.Ankle] != nil && a.foot > 0 {
		e.Foot = math.Sqrt(square[body.Toe]+square[body.Ankle]) / a.foot
	}
	return e
}

// doubt returns for each landmark and frame of the grid the square of half the
// distance between the two courses that the marks leave open, per axis as Motion
// counts it; nil when they leave one.
func (a *adviser) doubt() [][]float64 {
	if a.f.rival == nil {
		return nil
	}
	one, other := a.f.plain(), a.f.rival.plain()
	out := make([][]float64, body.NumLandmarks)
	for l, p := range one.Paths {
		q := other.Paths[l]
		if p == nil || q == nil {
			continue
		}
		for _, i := range a.frames {
			v := ((p.X[i]-q.X[i])*(p.X[i]-q.X[i]) + (p.Y[i]-q.Y[i])*(p.Y[i]-q.Y[i])) / 2
			if math.IsNaN(v) {
				v = 0
			}
			out[l] = append(out[l], v)
		}
	}
	return out
}

// apart asks for the frame on which the two possible courses lie farthest apart,
// measured in standard errors.
func (a *adviser) apart(marks []body.Mark) *Ask {
	doubt := a.doubt()
	of := a.byLandmark()
	return a.ask(Tempo, marks, func(l body.Landmark, i int) float64 {
		if doubt[l] == nil || !slices.Contains(asked[:legs], l) {
			return 0
		}
		return doubt[l][i] / (of[l].at[i] + of[l].click)
	})
}

func (a *adviser) byLandmark() (of [body.NumLandmarks]*open) {
	for k, th := range a.f.threads {
		of[th.landmark] = a.open[k]
	}
	return of
}

// weights returns how much the mean square error of each landmark counts: by its
// limit where it is above it, else nothing.
func (a *adviser) weights(e Errors, why Why) (weight [body.NumLandmarks]float64) {
	add := func(l body.Landmark, limit float64) {
		if v := e.Landmarks[l]; !math.IsInf(v, 1) && (v > limit || why == Spare) {
			weight[l] += 1 / (limit * limit * a.size * a.size)
		}
	}
	if why == Coarse {
		add(body.Toe, sweepLimit)
		add(body.Ankle, sweepLimit)
		add(body.Knee, kneeLimit)
		add(body.Hip, hipLimit)
		add(body.Shoulder, upperLimit)
		hand := body.Fingertip
		if e.Landmarks[body.Wrist] < e.Landmarks[hand] {
			hand = body.Wrist
		}
		add(hand, upperLimit)
		return weight
	}
	add(body.Toe, buildLimit)
	if e.Foot > footLimit || why == Spare {
		foot := footLimit * a.foot
		weight[body.Toe] += 1 / (foot * foot)
		weight[body.Ankle] += 1 / (foot * foot)
		add(body.Heel, heelLimit) // only where somebody marks it
	}
	return weight
}
