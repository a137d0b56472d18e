package score

import (
	"math"
	"slices"

	"underkick/internal/body"
)

// z95 is the half-width of a normal 95 % band in standard errors.
const z95 = 1.959964

// Landmark is how good the traces of one landmark are.
type Landmark struct {
	Landmark body.Landmark
	Points   int     // frames compared
	Traced   float64 // share of the frames that have a trace
	RMSPx    float64 // root mean square distance from the true point, px
	RMS      float64 // the same in body lengths
	P95      float64 // distance that 95 of 100 frames keep below, body lengths
	Stated   float64 // root mean square distance that the stated standard errors promise, body lengths
	Held     float64 // share of the coordinates within 1.96 stated standard errors; NaN where none states one
}

// Traces gathers the errors of traces over frames, runs and clips. The zero value
// is empty.
type Traces struct {
	landmarks [body.NumLandmarks]gathered
	foot      []float64 // errors of the foot's angle, rad
	speed     []float64 // errors of the toe's speed as a share of its peak
}

type gathered struct {
	frames, held, judged int
	square, squarePx     float64
	stated               float64
	dist                 []float64
}

// Add compares got with the truth on the same times; both in px, length is the
// body's length in px. Landmarks that either lacks are left out; where got is NaN
// the frame counts as not traced. It panics unless length is positive.
func (s *Traces) Add(truth, got body.Motion, length float64) {
	if !(length > 0) {
		panic("score: body length must be positive")
	}
	for l := range s.landmarks {
		if truth.Paths[l] != nil && got.Paths[l] != nil {
			s.landmarks[l].add(truth.Paths[l], got.Paths[l], length)
		}
	}
	s.addFoot(truth, got)
}

func (g *gathered) add(truth, got *body.Path, length float64) {
	for i := range truth.X {
		if math.IsNaN(truth.X[i]) {
			continue
		}
		g.frames++
		dx, dy := got.X[i]-truth.X[i], got.Y[i]-truth.Y[i]
		if math.IsNaN(dx) || math.IsNaN(dy) {
			continue
		}
		d := math.Hypot(dx, dy)
		g.squarePx += d * d
		g.square += d * d / (length * length)
		g.dist = append(g.dist, d/length)
		if got.SD == nil || !(got.SD[i] > 0) {
			continue
		}
		g.stated += 2 * got.SD[i] * got.SD[i] / (length * length)
		for _, e := range [2]float64{dx, dy} {
			g.judged++
			if math.Abs(e) <= z95*got.SD[i] {
				g.held++
			}
		}
	}
}

// Landmarks returns what was gathered, in the order of the landmarks; those that
// were never compared are left out.
func (s *Traces) Landmarks() []Landmark {
	var out []Landmark
	for l := range s.landmarks {
		g := &s.landmarks[l]
		n := float64(len(g.dist))
		if g.frames == 0 {
			continue
		}
		out = append(out, Landmark{
			Landmark: body.Landmark(l), Points: len(g.dist), Traced: n / float64(g.frames),
			RMSPx: math.Sqrt(g.squarePx / n), RMS: math.Sqrt(g.square / n), P95: percentile(g.dist, 0.95),
			Stated: math.Sqrt(g.stated / (float64(g.judged) / 2)), Held: float64(g.held) / float64(g.judged),
		})
	}
	return out
}

func percentile(x []float64, p float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	return sorted[min(int(p*float64(len(sorted))), len(sorted)-1)]
}

// addFoot compares the direction from ankle to toe.
func (s *Traces) addFoot(truth, got body.Motion) {
	for _, m := range []body.Motion{truth, got} {
		if !m.Has(body.Ankle) || !m.Has(body.Toe) {
			return
		}
	}
	angle := func(m body.Motion, i int) float64 {
		a, t := m.Paths[body.Ankle], m.Paths[body.Toe]
		return math.Atan2(t.Y[i]-a.Y[i], t.X[i]-a.X[i])
	}
	for i := range truth.T {
		if e := body.Wrap(angle(got, i) - angle(truth, i)); !math.IsNaN(e) {
			s.foot = append(s.foot, e)
		}
	}
}

// AddToeSpeed compares the toe's velocities, in any unit that both share; a path
// without velocities is left out.
func (s *Traces) AddToeSpeed(truth, got *body.Path) {
	if truth.VX == nil || got.VX == nil {
		return
	}
	peak := 0.0
	for i := range truth.VX {
		if v := math.Hypot(truth.VX[i], truth.VY[i]); v > peak {
			peak = v
		}
	}
	for i := range truth.VX {
		if e := math.Hypot(got.VX[i]-truth.VX[i], got.VY[i]-truth.VY[i]) / peak; !math.IsNaN(e) {
			s.speed = append(s.speed, e)
		}
	}
}

// FootAngle returns the root mean square error of the direction from ankle to toe,
// rad; NaN if none was compared.
func (s *Traces) FootAngle() float64 { return rms(s.foot) }

// ToeSpeed returns the root mean square error of the toe's velocity as a share of
// the clip's highest toe speed; NaN if none was compared.
func (s *Traces) ToeSpeed() float64 { return rms(s.speed) }

func rms(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(x)))
}

// BodyLength returns the median over the frames of the way from finger tip (wrist
// where it is missing) along the joints to the toe, in the unit of m. NaN where no
// frame has all of them.
func BodyLength(m body.Motion) float64 {
	chain := []body.Landmark{body.Fingertip, body.Shoulder, body.Hip, body.Knee, body.Ankle, body.Toe}
	if !m.Has(body.Fingertip) {
		chain[0] = body.Wrist
	}
	for _, l := range chain {
		if !m.Has(l) {
			return math.NaN()
		}
	}
	var all []float64
	for i := range m.T {
		sum := 0.0
		for k := 1; k < len(chain); k++ {
			a, b := m.Paths[chain[k-1]], m.Paths[chain[k]]
			sum += math.Hypot(b.X[i]-a.X[i], b.Y[i]-a.Y[i])
		}
		if !math.IsNaN(sum) {
			all = append(all, sum)
		}
	}
	return percentile(all, 0.5)
}
