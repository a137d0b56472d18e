package kick

import (
	"math"
	"sort"

	"underkick/internal/body"
)

// Signals are the curves behind the measures, on a uniform grid, in the travel
// frame: x along the travel line towards the hands, y across it towards the back
// side. NaN where not known. A curve that cannot be had at all is nil.
type Signals struct {
	T     []float64 // presentation times, s
	Phase []float64 // kick number minus 1 plus phase: whole at toe tops, half at bottoms, linear in between; NaN outside whole kicks

	// Points are the landmarks relative to the hip, m (relative to the centre of
	// the travel line where there is no hip); nil where absent.
	Points [body.NumLandmarks]*Points

	Origin *Points // what Points are relative to: the hip's own path along and across the travel line, m

	Speed       []float64 // forward speed of the centre of mass (or hip), m/s
	FootSpeed   []float64 // speed of the foot centre relative to the hip (v), m/s
	FacingFoot  []float64 // part of the foot that faces back while it moves (c), 0..1
	FacingShank []float64 // the shank's
	Hip         []float64 // joint angles in the signs of package body, rad
	Knee        []float64
	Ankle       []float64
	Pitch       []float64 // of the trunk against the travel line, rad, positive head up

	Curves []Curve // one per whole kick, on the common phase grid
}

// Points is a landmark's path in the travel frame.
type Points struct{ X, Y []float64 } // m

// CurveSamples is the number of samples of a Curve: phase 0, 0.01, ... 1.
const CurveSamples = 101

// Curve is one kick on the common phase grid: 0 toe top, 0.5 toe bottom, 1 next
// toe top. Slices have CurveSamples values; nil where the signal is.
type Curve struct {
	Kick        int // Kick.Number
	Counted     bool
	ToeX, ToeY  []float64 // toe relative to the hip, travel frame, m
	FootSpeed   []float64 // m/s
	FacingFoot  []float64 // 0..1
	FacingShank []float64
	Knee        []float64 // rad
	Ankle       []float64 // rad
}

// FacingAt returns the backward-facing parts of foot and shank at time t, s,
// between the grid's instants linearly; NaN outside or where not known.
func (s *Signals) FacingAt(t float64) (foot, shank float64) {
	return s.at(s.FacingFoot, t), s.at(s.FacingShank, t)
}

// FootSpeedAt returns the speed of the foot relative to the hip at time t, m/s,
// between the grid's instants linearly; NaN outside or where not known.
func (s *Signals) FootSpeedAt(t float64) float64 { return s.at(s.FootSpeed, t) }

func (s *Signals) at(x []float64, t float64) float64 {
	n := len(s.T)
	if len(x) != n || n < 2 || !(t >= s.T[0] && t <= s.T[n-1]) {
		return math.NaN()
	}
	i := min(max(sort.SearchFloat64s(s.T, t), 1), n-1)
	f := (t - s.T[i-1]) / (s.T[i] - s.T[i-1])
	return x[i-1] + f*(x[i]-x[i-1])
}
