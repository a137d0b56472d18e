package filming

import "math"

// View is what a Setup sees in the swimmer's plane.
type View struct {
	FieldInWater  float64 // full horizontal angle between the outermost rays in water, rad
	Width, Height float64 // seen, m; Height of the whole picture, pool floor and surface aside
	PxPerM        float64 // scale in the middle of the picture
	EdgeStretch   float64 // how much larger lengths look at the side edges than in the middle, along the lane, relative
	PathStretch   float64 // how much longer the way across the whole picture looks by the middle's scale, relative
}

// View returns what is seen. All is NaN for a setup that is none.
func (s Setup) View() View {
	nan := math.NaN()
	if !s.ok() {
		return View{nan, nan, nan, nan, nan, nan}
	}
	a, f := s.half(), s.focal()
	v := View{
		FieldInWater: 2 * a,
		Width:        2 * s.reach(a),
		Height:       2 * s.reach(math.Atan(float64(s.HeightPx)/2/f)),
		PxPerM:       f / s.Apparent(),
	}
	if s.Housing != Dome {
		v.FieldInWater = FieldInWater(2 * a)
	}
	v.EdgeStretch = f/math.Pow(math.Cos(a), 2)/s.slope(a)/v.PxPerM - 1
	v.PathStretch = 2*f*math.Tan(a)/(v.Width*v.PxPerM) - 1
	return v
}

// Closer returns the relative error of every length when the swimmer is by m nearer
// (by < 0: farther) than the plane the scale was taken in: apparent distance over the
// new one, minus 1. NaN where by is the whole way.
func (s Setup) Closer(by float64) float64 {
	if !s.ok() || by >= s.Distance {
		return math.NaN()
	}
	moved := s
	moved.Distance -= by
	return s.Apparent()/moved.Apparent() - 1
}

// ScaleError returns the relative standard error of lengths from a standard error of
// the swimmer's distance, m: to first order, the error of the apparent distance over it.
func (s Setup) ScaleError(distanceSD float64) float64 {
	if s.Housing != Dome {
		distanceSD /= RefractiveIndex
	}
	return distanceSD / s.Apparent()
}

// Turn returns the angle, rad, by which the camera looks up (positive) or down at a
// swimmer who is at another depth, and sees him under that angle: atan of the
// difference over the distance. Depths in m, down positive.
func (s Setup) Turn(cameraDepth, swimmerDepth float64) float64 {
	return math.Atan2(cameraDepth-swimmerDepth, s.Distance+s.air())
}
