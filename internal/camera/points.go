package camera

import (
	"errors"
	"fmt"
	"math"
)

// ErrPoints is wrapped by every error about unusable calibration points.
var ErrPoints = errors.New("calibration points cannot be used")

func pointsError(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrPoints, fmt.Sprintf(format, args...))
}

// FromPoints returns the view given by points seen in the picture, px, and
// their places in the swimmer's plane, m, in the same order.
//
// Two points give a plain scale and the tilt of the given axes. Four or more, no
// three of any four on one line, give a homography by normalised DLT refined by
// least squares of the picture distances (d14 of the reference notes; Hartley &
// Zisserman, Multiple View Geometry, 2nd ed. 2004, ch. 4). Three are refused.
//
// X is expected along the pool, positive to the right of the picture, Y up. A
// rectangle counted the other way round (Y down, or X to the left) is accepted
// and turned; Errors().Mirrored and Note then say so. Axes turned by about a
// quarter turn are refused, as it is not clear which way is up.
//
// Errors wrap ErrPoints: unequal or wrong numbers, values that are not finite,
// coinciding points, points on a line, corners listed crosswise.
func FromPoints(px, m [][2]float64) (View, error) {
	if err := checkPoints(px, m); err != nil {
		return View{}, err
	}
	if len(px) == 2 {
		return fromTwo(px, m)
	}
	return fromPlane(px, m)
}

func checkPoints(px, m [][2]float64) error {
	if len(px) != len(m) {
		return pointsError("%d points in the picture but %d in metres; give one for each", len(px), len(m))
	}
	switch n := len(px); {
	case n < 2:
		return pointsError("%d given; two are needed for a scale, four for a plane", n)
	case n == 3:
		return pointsError("three given; they are too few for a plane, give two for a scale or four corners")
	}
	for i := range px {
		for _, c := range []float64{px[i][0], px[i][1], m[i][0], m[i][1]} {
			if math.IsNaN(c) || math.Abs(c) > 1e7 {
				return pointsError("point %d holds %v, which is not a usable coordinate", i+1, c)
			}
		}
		for j := 0; j < i; j++ {
			if dist(px[i], px[j]) < 1 {
				return pointsError("points %d and %d are less than one pixel apart in the picture", j+1, i+1)
			}
			if dist(m[i], m[j]) < 1e-6 {
				return pointsError("points %d and %d are the same place in metres", j+1, i+1)
			}
		}
	}
	return nil
}

func dist(a, b [2]float64) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// axisSigns are the ways to count the plane's axes, the expected one first.
var axisSigns = [4][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}}

var axisNotes = [4]string{
	"",
	"Y was given downwards and has been turned to point up",
	"X was given to the left and has been turned to point right",
	"the axes were given turned by half a turn and have been turned back",
}

// fromTwo makes a similarity. Two points leave the handedness open, so the way
// of counting the axes that needs the least tilt is taken, the expected one
// where it needs less than an eighth of a turn.
func fromTwo(px, m [][2]float64) (View, error) {
	dPx := [2]float64{px[1][0] - px[0][0], px[0][1] - px[1][1]} // picture with y up
	dM := [2]float64{m[1][0] - m[0][0], m[1][1] - m[0][1]}
	tilt := func(s [2]float64) float64 {
		a := math.Atan2(s[1]*dM[1], s[0]*dM[0]) - math.Atan2(dPx[1], dPx[0])
		return math.Remainder(a, 2*math.Pi)
	}
	best := 0
	for i := range axisSigns {
		if math.Abs(tilt(axisSigns[i])) < math.Abs(tilt(axisSigns[best]))-1e-12 && math.Abs(tilt(axisSigns[0])) > math.Pi/4 {
			best = i
		}
	}
	a := tilt(axisSigns[best])
	if math.Abs(a) > math.Pi/4 {
		return View{}, pointsError("the two points lie level in one description and upright in the other; " +
			"points_m wants X along the pool and Y up, and the picture must stand upright")
	}
	// The same points with axes turned right, seen from a picture with y up.
	s := axisSigns[best]
	x0, y0 := s[0]*m[0][0], s[1]*m[0][1]
	k := math.Hypot(dPx[0], dPx[1]) / math.Hypot(dM[0], dM[1]) // px per m
	c, n := k*math.Cos(a), k*math.Sin(a)
	// Picture with y up = k R(-a) (plane - p0) + q0; then y is turned down.
	h := matrix{
		c, n, px[0][0] - c*x0 - n*y0,
		n, -c, px[0][1] - n*x0 + c*y0,
		0, 0, 1,
	}
	v := single(h)
	v.errs = Errors{
		ScaleRel: KnownLengthScaleRel, Roll: DefaultRoll, Source: KnownLength,
		Mirrored: best == 1 || best == 2, Note: axisNotes[best],
	}
	// The clicks on the two ends count where they are the larger error.
	v.errs.ScaleRel = math.Max(v.errs.ScaleRel, math.Sqrt2*ClickPx/math.Hypot(dPx[0], dPx[1]))
	return v, nil
}

// fromPlane makes a homography from four or more points.
func fromPlane(px, m [][2]float64) (View, error) {
	h, err := fitHomography(m, px)
	if err != nil {
		return View{}, err
	}
	cPx := centroid(px)
	inv, ok := h.inverse()
	if !ok {
		return View{}, pointsError("the points lie on one line or do not span a plane")
	}
	d := inv.derivative(cPx[0], cPx[1])
	if math.Abs(d[0]) < math.Abs(d[2]) {
		return View{}, pointsError("X of points_m runs up or down the picture; X is along the pool, Y up, and the picture must stand upright")
	}
	turn := 0
	for i, s := range axisSigns {
		if s[0]*d[0] > 0 && -s[1]*d[3] > 0 {
			turn = i
		}
	}
	s := axisSigns[turn]
	h = h.mul(matrix{s[0], 0, 0, 0, s[1], 0, 0, 0, 1})
	v := single(h)
	turned := make([][2]float64, len(m))
	for i := range m {
		turned[i] = [2]float64{s[0] * m[i][0], s[1] * m[i][1]}
	}
	v.errs = planeErrors(h, turned, px)
	v.errs.Mirrored, v.errs.Note = turn == 1 || turn == 2, axisNotes[turn]
	return v, nil
}

func centroid(p [][2]float64) (c [2]float64) {
	for _, q := range p {
		c[0] += q[0] / float64(len(p))
		c[1] += q[1] / float64(len(p))
	}
	return c
}
