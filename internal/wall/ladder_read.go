package wall

import (
	"fmt"
	"math"

	"underkick/internal/spread"
)

const curvePoints = 61

// read finds the best range and the shape.
func (l *Ladder) read(p *parabola) {
	t := spread.T95(p.df)
	tempos := make([]float64, curvePoints)
	best := 0
	for i := range tempos {
		f := p.low + (p.high-p.low)*float64(i)/(curvePoints-1)
		tempos[i] = f
		v, e := p.at(f), t*p.error(p.row(f))
		l.Curve.X, l.Curve.Speed = append(l.Curve.X, f), append(l.Curve.Speed, v)
		l.Curve.Low, l.Curve.High = append(l.Curve.Low, v-e), append(l.Curve.High, v+e)
		if v > l.Curve.Speed[best] {
			best = i
		}
	}
	slower := func(i int) bool {
		a, b := p.row(tempos[best]), p.row(tempos[i])
		diff := [3]float64{0, a[1] - b[1], a[2] - b[2]}
		return l.Curve.Speed[best]-l.Curve.Speed[i] > t*p.error(diff)
	}
	low, high := best, best
	for low > 0 && !slower(low-1) {
		low--
	}
	for high < curvePoints-1 && !slower(high+1) {
		high++
	}
	l.Best = [2]float64{tempos[low], tempos[high]}
	atLow, atHigh := low == 0, high == curvePoints-1
	switch {
	case atLow && atHigh:
		l.Shape = Flat
	case atHigh:
		l.Shape = Rising
	case atLow:
		l.Shape = Falling
	default:
		l.Shape = Peak
	}
	middle := (l.Best[0] + l.Best[1]) / 2
	l.Tempo = Given{Value: middle, SD: (l.Best[1] - l.Best[0]) / 4, From: "tempo ladder"}
	l.Top = Given{Value: p.at(middle), SD: math.Max(p.error(p.row(middle)), leastScatter) * t / 1.96, From: "tempo ladder"}
}

// lengths judges whether the distance per kick held: the slope of ln(v/f) on ln f, 0 =
// held fully, -1 = speed did not rise at all.
func (l *Ladder) lengths() {
	n := float64(len(l.Steps))
	var mx, my float64
	for _, s := range l.Steps {
		mx, my = mx+math.Log(s.Tempo)/n, my+math.Log(s.Speed/s.Tempo)/n
	}
	var xx, xy, left float64
	for _, s := range l.Steps {
		dx, dy := math.Log(s.Tempo)-mx, math.Log(s.Speed/s.Tempo)-my
		xx, xy = xx+dx*dx, xy+dx*dy
	}
	slope := xy / xx
	for _, s := range l.Steps {
		miss := math.Log(s.Speed/s.Tempo) - my - slope*(math.Log(s.Tempo)-mx)
		left += miss * miss
	}
	sd := math.Max(math.Sqrt(left/(n-2)), leastScatter/l.Top.Value)
	half := spread.T95(len(l.Steps)-2) * sd / math.Sqrt(xx)
	l.Length = Band{slope, slope - half, slope + half}
	switch {
	case l.Length.High < 0:
		l.Held = "fell"
	case l.Length.Low > -0.25:
		l.Held = "held"
	default:
		l.Held = "not shown"
	}
}

// say writes what is seen and what to train.
func (l *Ladder) say() {
	span := tempoWords(l.Best)
	switch l.Shape {
	case Peak:
		l.Words = "Fastest at " + span + "; slower below and above."
		l.Train = "Race and train speed at " + span + ". Above it the sweep does not keep up: short efforts just above the range, with the sweep held."
	case Rising:
		l.Words = "Speed still rises with the tempo; " + span + " is the fastest swum."
		l.Train = "Use " + span + " now, and add one or two steps above next time."
	case Falling:
		l.Words = "The lowest tempos are the fastest: " + span + "."
		l.Train = "Kick slower and longer: " + span + ", and add a step below next time."
	default:
		l.Words = "No tempo from " + span + " is shown to be faster than another."
		l.Train = "Take the lower half of the range: the same speed, and by the cube law of the model less work. Repeat the ladder with two runs at each tempo."
	}
	switch l.Held {
	case "fell":
		l.Words += fmt.Sprintf(" Distance per kick fell by about %.1f %% for each 1 %% more tempo.", -l.Length.Value)
	case "held":
		l.Words += " Distance per kick held."
	default:
		l.Words += " Whether distance per kick held is not shown."
	}
	switch {
	case l.DF < 3 && l.Pure:
		l.Reasons = append(l.Reasons, Reason{"few-repeats", "Few tempos were swum twice: the band is wide because little is known of how runs alike differ. Two runs at each of four tempos say more."})
	case l.DF < 3:
		l.Reasons = append(l.Reasons, Reason{"few-runs", fmt.Sprintf("Only %d runs: the band is wide because little is known. Two runs at each of four tempos say more.", len(l.Steps))})
	}
	if l.Best[1]-l.Best[0] < 1e-9 {
		l.Reasons = append(l.Reasons, Reason{"one-end", "The fastest tempo lies at the end of the steps."})
	}
	if l.Shape == Peak && l.Curve.Speed[0] > l.Curve.Speed[len(l.Curve.Speed)/2] {
		l.Reasons = append(l.Reasons, Reason{"odd-shape", "The curve is lowest in the middle; check the runs."})
	}
}

func tempoWords(r [2]float64) string {
	if r[1]-r[0] < 0.03 {
		return fmt.Sprintf("%.2f kicks per second", (r[0]+r[1])/2)
	}
	return fmt.Sprintf("%.2f to %.2f kicks per second", r[0], r[1])
}
