package camera

import "math"

// Tilt returns how far the camera is turned out of the square view of the plane, rad,
// as the plane's foreshortening at a picture point (best its middle) shows it:
//
//	cos yaw = (px per m along X) / (px per m along Y), where that is below 1
//	cos pitch = its inverse, where that is below 1
//
// Exact on the line of sight of a pinhole camera that is turned one way; where it is
// turned both ways the larger one wins. The foreshortening grows with the square of
// the angle: an error of 1 % in a length is 8 degrees, so small angles only say that
// the camera is about square. Both are NaN for a view from a plain scale, which cannot
// know, and beyond the horizon.
func (v View) Tilt(t, xPx, yPx float64) (yaw, pitch float64) {
	x, y := v.ToPool(t, xPx, yPx)
	if v.errs.Source != Rectangle || math.IsNaN(x) {
		return math.NaN(), math.NaN()
	}
	d := v.at(t).toPic.derivative(x, y)
	along, up := math.Hypot(d[0], d[2]), math.Hypot(d[1], d[3])
	return math.Acos(min(along/up, 1)), math.Acos(min(up/along, 1))
}
