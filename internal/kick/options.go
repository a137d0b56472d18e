package kick

import (
	"math"
	"math/rand/v2"

	"underkick/internal/body"
)

// Options steers MeasureRun. The zero value measures a prone swimmer with the
// default errors.
type Options struct {
	Supine bool   // the swimmer swims on the back
	Noise  Noise  // errors of scale, roll and marking
	Clip   Clip   // what is known of the filming, for the reasons
	Seed   uint64 // of the error draws; the same seed gives the same bands
	Draws  int    // of each kind of error; 0 = 200, negative = none (bands hold the scatter of kicks alone)
}

// Noise is the error of what came in. For the three numbers 0 means the default
// and a negative value none.
type Noise struct {
	ScaleRel float64 // relative standard error of every length; default DefaultScaleRel
	Roll     float64 // standard error of the horizontal, rad; default DefaultRoll
	OffsetM  float64 // standard error, per axis of its segment, of a constant marking offset of each landmark, m; default DefaultOffset
	PointM   float64 // standard error per axis of a single point, white, m, where a path has no SD; default DefaultPoint

	// Draw returns the landmarks with one draw of the random errors of a fitted
	// motion, on the same times as the motion measured. nil = white noise of the
	// paths' SD. It must be safe for concurrent use.
	Draw func(rng *rand.Rand) body.Motion
}

// Clip is what is known of the filming. Zero means nothing is known against it.
type Clip struct {
	FrameRate       float64 // pictures per second of true time, Hz; 0 = taken from the motion's times
	ToeBlur         float64 // blur of the fastest toe, in foot lengths
	Yaw, Pitch      float64 // of the camera against the square view, rad
	PlaneCorrected  bool    // yaw and pitch are taken out by a plane
	ScaleFromHeight bool    // the scale rests on the swimmer's height
}

// Defaults of Noise (see docs/methods/kick-measures.md). Offset: 8 mm until the
// marker's own repeatability is known; point: the floor for dense, careful
// marking.
const (
	DefaultScaleRel = 0.015
	DefaultRoll     = 1.0 * math.Pi / 180
	DefaultOffset   = 0.008
	DefaultPoint    = 0.004
	defaultDraws    = 200
)

// withDefaults fills the zero values and turns negative ones to none.
func (o Options) withDefaults() Options {
	fill := func(v *float64, d float64) {
		switch {
		case *v == 0:
			*v = d
		case *v < 0:
			*v = 0
		}
	}
	fill(&o.Noise.ScaleRel, DefaultScaleRel)
	fill(&o.Noise.Roll, DefaultRoll)
	fill(&o.Noise.OffsetM, DefaultOffset)
	fill(&o.Noise.PointM, DefaultPoint)
	switch {
	case o.Draws == 0:
		o.Draws = defaultDraws
	case o.Draws < 0:
		o.Draws = 0
	}
	return o
}
