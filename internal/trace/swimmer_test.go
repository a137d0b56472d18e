package trace

import (
	"math"
	"math/rand/v2"

	"underkick/internal/body"
)

// swimmer is a synthetic swimmer: joint angles from the reference kick of the
// model's description (mean, then amplitude and peak phase per harmonic, in
// degrees and cycles), a chain of straight segments, and a hip that travels and
// heaves. Lengths are in pixels with a body of 720 from finger tips to toes.
type swimmer struct {
	tempo  float64                             // kicks per second
	phase  func(t float64) float64             // cycles; nil = even
	size   func(phase float64) (k, kk float64) // factors on the first and second harmonic; nil = 1
	speed  float64                             // px/s
	length float64                             // px
}

type joint struct{ mean, a1, p1, a2, p2 float64 }

var (
	shoulderJoint = joint{1.0288, -7.5645, 0.1016, 0, 0}
	hipJoint      = joint{8.5505, 15.8304, 0.4008, -7.9527, 0.2948}
	kneeJoint     = joint{30.0824, 31.2589, 1.0951, 10.2501, 0.0513}
	ankleJoint    = joint{27.6692, 16.3804, 0.7838, 2.3759, 0.4012}
)

func (j joint) at(p, k, kk float64) float64 {
	deg := j.mean + k*j.a1*math.Cos(2*math.Pi*(p-j.p1)) + kk*j.a2*math.Cos(4*math.Pi*(p-j.p2))
	return deg * math.Pi / 180
}

// at returns the true places of the landmarks at time t.
func (s swimmer) at(t float64) (places [body.NumLandmarks][2]float64) {
	p := s.tempo * t
	if s.phase != nil {
		p = s.phase(t)
	}
	k, kk := 1.0, 1.0
	if s.size != nil {
		k, kk = s.size(p)
	}
	const fractions = 1.33
	unit := s.length / fractions // one standing height
	trunk := (-4 + 7*k*math.Cos(2*math.Pi*(p-0.78))) * math.Pi / 180
	arm := trunk + shoulderJoint.at(p, k, kk)
	thigh := trunk + hipJoint.at(p, k, kk)
	shank := thigh - kneeJoint.at(p, k, kk)
	foot := shank + ankleJoint.at(p, k, kk)
	hip := [2]float64{
		200 + s.speed*t + 0.01*unit*math.Sin(4*math.Pi*p),
		400 + 0.05*unit*k*math.Cos(2*math.Pi*(p-0.42)) + 8*t,
	}
	// Picture axes: x right, y down; the swimmer goes right.
	add := func(from [2]float64, length, angle float64) [2]float64 {
		return [2]float64{from[0] + length*unit*math.Cos(angle), from[1] - length*unit*math.Sin(angle)}
	}
	shoulder := add(hip, 0.288, trunk)
	knee := add(hip, -0.2425, thigh)
	ankle := add(knee, -0.2493, shank)
	places[body.Hip], places[body.Shoulder] = hip, shoulder
	places[body.Wrist] = add(shoulder, 0.33, arm)
	places[body.Fingertip] = add(shoulder, 0.425, arm)
	places[body.Rib] = add(hip, 0.16, trunk)
	places[body.Knee], places[body.Ankle] = knee, ankle
	places[body.Heel] = add(ankle, -0.04, foot-0.9)
	places[body.Toe] = add(ankle, -0.125, foot)
	return places
}

// regular is a swimmer whose kicks are all alike.
func regular(uint64) swimmer { return swimmer{tempo: 2.3, speed: 300, length: 720} }

// irregular varies both harmonics of all joints by 10 % from kick to kick,
// independently, which also makes the halves of its kicks uneven.
func irregular(seed uint64) swimmer {
	rng := rand.New(rand.NewPCG(seed, 99))
	first, second := scattered(0.1, rng), scattered(0.1, rng)
	s := regular(seed)
	s.size = func(p float64) (k, kk float64) { return between(first, p), between(second, p) }
	return s
}

// unsteady varies the tempo by 4 % from kick to kick.
func unsteady(seed uint64) swimmer {
	s := regular(seed)
	rate := scattered(0.04, rand.New(rand.NewPCG(seed, 77)))
	const h = 1e-3
	phases := []float64{0}
	for k := range 20000 {
		phases = append(phases, phases[k]+h*s.tempo*between(rate, s.tempo*(float64(k)+0.5)*h))
	}
	s.phase = func(t float64) float64 {
		k := int(t / h)
		return phases[k] + (t/h-float64(k))*(phases[k+1]-phases[k])
	}
	return s
}

// both is irregular and unsteady.
func both(seed uint64) swimmer {
	s := irregular(seed)
	s.phase = unsteady(seed).phase
	return s
}

// scattered returns factors around 1, one per kick.
func scattered(sd float64, rng *rand.Rand) []float64 {
	f := make([]float64, 64)
	for i := range f {
		f[i] = 1 + sd*rng.NormFloat64()
	}
	return f
}

// between goes smoothly from factor to factor with the phase p.
func between(f []float64, p float64) float64 {
	i := int(math.Floor(p))
	s := p - float64(i)
	s *= s * (3 - 2*s)
	return f[i+3]*(1-s) + f[i+4]*s
}

// nine are the landmarks of the synthetic swimmer.
var nine = []body.Landmark{body.Fingertip, body.Wrist, body.Shoulder, body.Rib, body.Hip, body.Knee, body.Ankle, body.Heel, body.Toe}

func frames(seconds, fps float64) []float64 {
	n := int(math.Round(seconds*fps)) + 1
	t := make([]float64, n)
	for i := range t {
		t[i] = 0.5 + float64(i)/fps
	}
	return t
}

// staggered returns the frames to mark: perKick a kick, shifted from kick to
// kick by the golden section of their spacing, and the first and last frame.
func staggered(times []float64, tempo, perKick float64) []int {
	last := len(times) - 1
	picked := []int{0}
	spacing := 1 / (tempo * perKick)
	for k := 0; ; k++ {
		kick := math.Floor(float64(k) / perKick)
		t := times[0] + (float64(k)+0.5+math.Mod(kick*0.618034, 1)-0.5)*spacing
		i := 0
		for i < last && times[i] < t {
			i++
		}
		if t >= times[last] {
			break
		}
		if i > picked[len(picked)-1] {
			picked = append(picked, i)
		}
	}
	if picked[len(picked)-1] != last {
		picked = append(picked, last)
	}
	return picked
}

// click marks the landmarks on the frames with noise (px per axis).
func (s swimmer) click(times []float64, picked []int, landmarks []body.Landmark, noise float64, rng *rand.Rand) []body.Mark {
	var marks []body.Mark
	for _, i := range picked {
		places := s.at(times[i])
		for _, l := range landmarks {
			marks = append(marks, body.Mark{
				Frame: i, Time: times[i], Landmark: l,
				X: places[l][0] + noise*rng.NormFloat64(), Y: places[l][1] + noise*rng.NormFloat64(),
			})
		}
	}
	return marks
}

// score holds how traces compare with the truth.
type score struct {
	rms      float64 // of the distance, % of body length
	covered  float64 // share of frames inside the 95 % band, both axes counted apart
	speedRMS float64 // of the vertical velocity, share of its largest true size
	frames   int
}

// compare scores one landmark over the frames between its first and last mark.
func (s swimmer) compare(m body.Motion, l body.Landmark) score {
	p := m.Paths[l]
	var sc score
	inside, worst := 0, 0.0
	for i, t := range m.T {
		if math.IsNaN(p.X[i]) {
			continue
		}
		at := s.at(t)[l]
		dx, dy := p.X[i]-at[0], p.Y[i]-at[1]
		sc.rms += dx*dx + dy*dy
		for _, d := range []float64{dx, dy} {
			if math.Abs(d) <= 1.96*p.SD[i] {
				inside++
			}
		}
		const h = 1e-5
		vy := (s.at(t + h)[l][1] - s.at(t - h)[l][1]) / (2 * h)
		sc.speedRMS += (p.VY[i] - vy) * (p.VY[i] - vy)
		worst = max(worst, math.Abs(vy))
		sc.frames++
	}
	n := float64(sc.frames)
	sc.rms = 100 * math.Sqrt(sc.rms/n) / s.length
	sc.covered = float64(inside) / (2 * n)
	sc.speedRMS = math.Sqrt(sc.speedRMS/n) / worst
	return sc
}
