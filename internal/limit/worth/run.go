package worth

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/swim"
)

// Run is one measured run of the swimmer.
type Run struct {
	Result *kick.Result
	// Draw returns the landmarks with one draw of the errors of a fitted trace, in the
	// axes that the measurement was given. nil = the traces came frame by frame; their
	// point noise is then in the scatter between kicks. Safe for concurrent use.
	Draw func(rng *rand.Rand) body.Motion
	// ScaleRel is the relative standard error of every length; 0 =
	// kick.DefaultScaleRel, negative = none.
	ScaleRel float64
	// Offset is the standard error, per axis of its segment, of each landmark's constant
	// marking offset in this clip, m; 0 = kick.DefaultOffset, negative = none.
	Offset float64
	// Depth of the hip below the surface, m; 0 = not known.
	Depth float64
	// Touched is what the swimmer touched during the kicks, "surface" or "wall"; "" or
	// "none" = nothing, or not known.
	Touched string
}

// chained are the landmarks that joint angles need; the wrist stands in for the finger tip,
// and a trunk whose rib is marked bends there.
var chained = [...]body.Landmark{body.Fingertip, body.Wrist, body.Shoulder, body.Hip, body.Knee, body.Ankle, body.Toe, body.Rib}

// filmed is a run brought into the travel frame, ready to be drawn from.
type filmed struct {
	run    Run
	motion body.Motion
	spans  [][2]float64 // counted kicks, s
	tempo  float64      // Hz
	speed  float64      // m/s
	scale  float64      // standard error
	offset float64      // standard error, m
}

// newFilmed expects a run that refuse has let pass.
func newFilmed(r Run) *filmed {
	f := &filmed{run: r, motion: body.Motion{T: r.Result.Signals.T}}
	for _, l := range chained {
		if p := r.Result.Signals.Points[l]; p != nil {
			f.motion.Paths[l] = &body.Path{X: p.X, Y: p.Y}
		}
	}
	for _, k := range r.Result.Kicks {
		if k.Counted {
			f.spans = append(f.spans, [2]float64{k.Start, k.End})
		}
	}
	tempo, _ := r.Result.Measure("kick_frequency")
	speed, _ := r.Result.Measure("speed")
	f.tempo, f.speed = tempo.Value, speed.Value
	f.scale, f.offset = orDefault(r.ScaleRel, kick.DefaultScaleRel), orDefault(r.Offset, kick.DefaultOffset)
	return f
}

func orDefault(v, d float64) float64 {
	if v == 0 {
		return d
	}
	return math.Max(v, 0)
}

// showsRib reports whether the rib is known on every frame of the counted kicks.
func (f *filmed) showsRib() bool {
	p := f.motion.Paths[body.Rib]
	if p == nil {
		return false
	}
	_, number := f.phases(f.motion.T)
	for i, n := range number {
		if n >= 0 && math.IsNaN(p.X[i]+p.Y[i]) {
			return false
		}
	}
	return true
}

// stiffen leaves the rib out: a trunk bends in all runs of a comparison or in none.
func (f *filmed) stiffen() { f.motion.Paths[body.Rib] = nil }

// offsets are constant marking offsets in the axes of each landmark's segment, m.
type offsets [body.NumLandmarks][2]float64

func drawOffsets(sd float64, rng *rand.Rand) (o offsets) {
	for l := range o {
		o[l] = [2]float64{sd * rng.NormFloat64(), sd * rng.NormFloat64()}
	}
	return o
}

// errs are one draw of what is uncertain about a run; the zero value is none.
type errs struct {
	offsets offsets
	scale   float64    // of every length, 0 = 1
	rng     *rand.Rand // of the kicks' weights and the traces; nil = as measured
}

// seen is a kick as one draw of the errors has it.
type seen struct {
	kick    swim.Kick
	lengths body.Lengths
	rib     float64 // share of the trunk from the shoulder, 0 = a stiff trunk
	speed   float64
	count   int // kicks behind it
}

// see returns the run's kick and body under the given errors.
func (f *filmed) see(e errs) (seen, error) {
	m := f.motion
	if e.rng != nil && f.run.Draw != nil {
		m = f.toTravelFrame(f.run.Draw(e.rng))
		if !f.motion.Has(body.Rib) {
			m.Paths[body.Rib] = nil
		}
	}
	if e.offsets != (offsets{}) {
		m = moved(m, &e.offsets)
	}
	var weight []float64
	phase, number := f.phases(m.T)
	if e.rng != nil {
		per := kickWeights(len(f.spans), e.rng)
		weight = make([]float64, len(phase))
		for i, k := range number {
			if k >= 0 {
				weight[i] = per[k]
			}
		}
	}
	k, err := swim.FitKick(m, phase, weight, f.tempo)
	if err != nil {
		return seen{}, fmt.Errorf("read the kick's joint angles: %w", err)
	}
	s := seen{kick: k, lengths: body.MeasuredLengths(m), speed: f.speed, count: len(f.spans)}
	if m.Has(body.Rib) {
		s.lengths[body.Trunk], s.rib = body.MeasuredTrunk(m)
	}
	if e.scale > 0 {
		s.speed *= e.scale
		for g := range s.lengths {
			s.lengths[g] *= e.scale
		}
	}
	return s, nil
}

// toTravelFrame turns a motion from the axes that the measurement was given.
func (f *filmed) toTravelFrame(m body.Motion) body.Motion {
	sx, sy, line := 1.0, 1.0, f.run.Result.Line
	if line.Turned {
		sx = -1
	}
	if line.Supine {
		sy = -1
	}
	return m.Transform(sx, 0, 0, sy).Rotate(-sy * line.Climb)
}

// phases returns each instant's phase, whole at toe tops and linear between, and the
// index of its kick; NaN and -1 outside counted kicks.
func (f *filmed) phases(t []float64) (phase []float64, number []int) {
	phase, number = make([]float64, len(t)), make([]int, len(t))
	k := 0
	for i, at := range t {
		for k < len(f.spans) && at >= f.spans[k][1] {
			k++
		}
		phase[i], number[i] = math.NaN(), -1
		if k < len(f.spans) && at >= f.spans[k][0] {
			phase[i] = float64(k) + (at-f.spans[k][0])/(f.spans[k][1]-f.spans[k][0])
			number[i] = k
		}
	}
	return phase, number
}

// kickWeights draws the weights of n >= 3 whole kicks: Dirichlet of concentration
// (n-2)/n, under which the weighted mean of n values scatters by exactly SD/sqrt(n), SD
// with n-1 in the denominator (drawing kicks with replacement scatters by less).
func kickWeights(n int, rng *rand.Rand) []float64 {
	w := make([]float64, n)
	g := distuv.Gamma{Alpha: float64(n-2) / float64(n), Beta: 1, Src: rng}
	sum := 0.0
	for i := range w {
		w[i] = g.Rand()
		sum += w[i]
	}
	for i := range w {
		w[i] *= float64(n) / sum
	}
	return w
}

// moved returns the motion with every landmark moved by its offset, which turns with its
// segment.
func moved(m body.Motion, o *offsets) body.Motion {
	var th [body.NumSegments][]float64
	for g := range th {
		th[g] = m.SegmentAngle(body.Segment(g))
	}
	out := body.Motion{T: m.T}
	for _, l := range chained {
		p := m.Paths[l]
		if p == nil {
			continue
		}
		q := &body.Path{X: make([]float64, len(p.X)), Y: make([]float64, len(p.Y))}
		for i, a := range th[l.Carrier()] {
			sin, cos := math.Sincos(a)
			q.X[i] = p.X[i] + cos*o[l][0] - sin*o[l][1]
			q.Y[i] = p.Y[i] + sin*o[l][0] + cos*o[l][1]
		}
		out.Paths[l] = q
	}
	return out
}
