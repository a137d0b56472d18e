package demo

import (
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/series"
	"underkick/internal/swim"
)

// The squad's good kicks: rows of swim.Templates, invented and plausible, not measured.
const (
	rowNilo  = 0
	rowEdda  = 1
	rowBram  = 2
	rowTessa = 4
	rowMira  = 8
	rowJoren = 15
)

func template(row int, tempo float64) swim.Kick {
	k := swim.Templates()[row]
	k.Tempo = tempo
	return k
}

const deg = math.Pi / 180

// flatFooted turns the foot towards the shin all through the kick, so that less of it
// faces backwards in the downkick.
func flatFooted(k swim.Kick, angle float64) swim.Kick {
	k.Joints[body.AnkleJoint].Mean += angle
	return k
}

// The faults that change the shape of a kick are fitted with this many harmonics over
// this many phases.
const (
	faultHarmonics = 6
	faultPhases    = 256
)

// cutShort stops the downkick early: about its end the hip flexes less and the knee
// stays more bent.
func cutShort(k swim.Kick, hip, knee float64) (swim.Kick, error) {
	bottom := lowest(k, toeHeight)
	bump := func(p float64) float64 {
		d := math.Abs(p - bottom - math.Round(p-bottom))
		return math.Pow(math.Cos(math.Pi/2*math.Min(1, d/0.28)), 2)
	}
	return reshape(k, func(p float64) [body.NumJoints]float64 {
		a := k.Angles(p)
		a[body.HipJoint] -= hip * bump(p)
		a[body.KneeJoint] += knee * bump(p)
		return a
	})
}

// evenSpeed moves the foot along the same way through the downkick, but at a more even
// speed: a share of 1 would leave no rise of speed at all.
func evenSpeed(k swim.Kick, share float64) (swim.Kick, error) {
	top, bottom := highest(k, toeHeight), lowest(k, toeHeight)
	if bottom < top {
		bottom++
	}
	const n = 400
	way := make([]float64, n+1)
	lastX, lastY := foot(k, top)
	for i := 1; i <= n; i++ {
		x, y := foot(k, top+(bottom-top)*float64(i)/n)
		way[i] = way[i-1] + math.Hypot(x-lastX, y-lastY)
		lastX, lastY = x, y
	}
	g := func(u float64) float64 { // share of the way at a share of the time
		i := min(int(u*n), n-1)
		return (way[i] + (u*n-float64(i))*(way[i+1]-way[i])) / way[n]
	}
	return reshape(k, func(p float64) [body.NumJoints]float64 {
		for p < top {
			p++
		}
		if p >= bottom {
			return k.Angles(p)
		}
		u := (p - top) / (bottom - top)
		want := (1-share)*g(u) + share*u
		lo, hi := 0.0, 1.0
		for range 40 {
			if mid := (lo + hi) / 2; g(mid) < want {
				lo = mid
			} else {
				hi = mid
			}
		}
		return k.Angles(top + (bottom-top)*lo)
	})
}

// reshape returns k with its joint curves fitted to the given angles.
func reshape(k swim.Kick, angles func(p float64) [body.NumJoints]float64) (swim.Kick, error) {
	phase := make([]float64, faultPhases)
	value := [body.NumJoints][]float64{}
	for i := range phase {
		phase[i] = float64(i) / faultPhases
		for j, a := range angles(phase[i]) {
			value[j] = append(value[j], a)
		}
	}
	for j := range k.Joints {
		f, err := series.FitFourier(phase, value[j], nil, faultHarmonics, false)
		if err != nil {
			return k, fmt.Errorf("reshape the kick: %w", err)
		}
		k.Joints[j] = f
	}
	return k, nil
}

// legs returns the landmarks of a swimmer of 1 m with the hip at the origin.
func legs(k swim.Kick, p float64) [body.NumLandmarks]body.Point {
	return body.Posture{Pitch: k.Pitch, Joints: k.Angles(p)}.Landmarks(unitChain, 1)
}

var unitChain = body.NewChain(body.Subject{Height: 1, Mass: 23, Sex: body.Male}, body.Lengths{})

func toeHeight(k swim.Kick, p float64) float64 { return legs(k, p)[body.Toe].Y }

// foot is the middle between ankle and toe relative to the hip.
func foot(k swim.Kick, p float64) (x, y float64) {
	l := legs(k, p)
	return (l[body.Ankle].X + l[body.Toe].X) / 2, (l[body.Ankle].Y + l[body.Toe].Y) / 2
}

// highest and lowest return the phase, 0 to 1, of a curve's extreme.
func highest(k swim.Kick, f func(swim.Kick, float64) float64) float64 {
	best, at := math.Inf(-1), 0.0
	for i := range 1000 {
		if v := f(k, float64(i)/1000); v > best {
			best, at = v, float64(i)/1000
		}
	}
	return at
}

func lowest(k swim.Kick, f func(swim.Kick, float64) float64) float64 {
	return highest(k, func(k swim.Kick, p float64) float64 { return -f(k, p) })
}
