package camera

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// fitHomography returns the map from plane to picture that fits four or more
// points: normalised direct linear transform, then Levenberg-Marquardt on the
// picture distances. The result's third row is positive at every given point.
func fitHomography(plane, pic [][2]float64) (matrix, error) {
	tPln, nPln := normalise(plane)
	tPic, nPic := normalise(pic)
	h, err := dlt(nPln, nPic)
	if err != nil {
		return matrix{}, err
	}
	h = refine(h, nPln, nPic)
	inv, ok := tPic.inverse()
	if !ok {
		return matrix{}, pointsError("the points lie on one line or do not span a plane")
	}
	h = inv.mul(h).mul(tPln)
	return h, facing(&h, plane)
}

// facing scales h so that its denominator is positive at the given points and 1
// at their centroid, or says that the corners are crossed: a denominator of
// both signs means that the plane's horizon runs between the points.
func facing(h *matrix, plane [][2]float64) error {
	c := centroid(plane)
	w := h[6]*c[0] + h[7]*c[1] + h[8]
	for _, p := range plane {
		if !((h[6]*p[0]+h[7]*p[1]+h[8])/w > 0) {
			return pointsError("the points are not in the same order in the picture and in metres (go round the rectangle the same way in both)")
		}
	}
	for i := range h {
		h[i] /= w
	}
	return nil
}

// normalise moves the points' centroid to the origin and their root mean square
// distance from it to sqrt 2, which makes the linear system well conditioned
// (Hartley, IEEE PAMI 19, 580-593, 1997).
func normalise(p [][2]float64) (matrix, [][2]float64) {
	c := centroid(p)
	var ss float64
	for _, q := range p {
		ss += (q[0]-c[0])*(q[0]-c[0]) + (q[1]-c[1])*(q[1]-c[1])
	}
	k := math.Sqrt(2 * float64(len(p)) / ss)
	out := make([][2]float64, len(p))
	for i, q := range p {
		out[i] = [2]float64{k * (q[0] - c[0]), k * (q[1] - c[1])}
	}
	return matrix{k, 0, -k * c[0], 0, k, -k * c[1], 0, 0, 1}, out
}

// degenerate is the share of the largest singular value below which a second
// null direction counts as real: the points then do not fix a plane. Corners of
// a rectangle seen square give about 0.3, seen almost edge-on (1:50) about 0.01.
const degenerate = 1e-4

// dlt solves A h = 0 for the unit h by the singular value decomposition.
func dlt(plane, pic [][2]float64) (matrix, error) {
	n := len(plane)
	a := mat.NewDense(max(2*n, 9), 9, nil)
	for i := range plane {
		x, y, u, v := plane[i][0], plane[i][1], pic[i][0], pic[i][1]
		a.SetRow(2*i, []float64{x, y, 1, 0, 0, 0, -u * x, -u * y, -u})
		a.SetRow(2*i+1, []float64{0, 0, 0, x, y, 1, -v * x, -v * y, -v})
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		return matrix{}, pointsError("no plane fits them")
	}
	s := svd.Values(nil)
	if s[7] < degenerate*s[0] {
		return matrix{}, pointsError("three of four points, or all of them, lie on one line and do not span a plane")
	}
	var vt mat.Dense
	svd.VTo(&vt)
	var h matrix
	for i := range h {
		h[i] = vt.At(i, 8)
	}
	// The denominator at the centroid, where the origin now is, is the last
	// element; zero would put the middle of the points at infinity.
	if math.Abs(h[8]) < 1e-9 {
		return matrix{}, pointsError("the points are not in the same order in the picture and in metres (go round the rectangle the same way in both)")
	}
	for i := range h {
		h[i] /= h[8]
	}
	h[8] = 1
	return h, nil
}

// refine minimises the sum of squared picture distances over the eight free
// elements (the ninth stays 1) by Levenberg-Marquardt.
func refine(h matrix, plane, pic [][2]float64) matrix {
	lambda := 1e-3
	cost := sumSquares(h, plane, pic)
	for iter := 0; iter < 50 && cost > 0; iter++ {
		jtj, jtr := normalEquations(h, plane, pic)
		for i := 0; i < 8; i++ {
			jtj.SetSym(i, i, jtj.At(i, i)*(1+lambda))
		}
		var step mat.VecDense
		var chol mat.Cholesky
		if !chol.Factorize(jtj) || chol.SolveVecTo(&step, jtr) != nil {
			return h
		}
		next := h
		for i := 0; i < 8; i++ {
			next[i] += step.AtVec(i)
		}
		c := sumSquares(next, plane, pic)
		if !(c < cost) {
			if lambda *= 10; lambda > 1e6 {
				return h
			}
			continue
		}
		done := cost-c < 1e-14*cost
		h, cost, lambda = next, c, lambda/10
		if done {
			return h
		}
	}
	return h
}

func sumSquares(h matrix, plane, pic [][2]float64) (ss float64) {
	for i, p := range plane {
		u, v, ok := h.apply(p[0], p[1])
		if !ok {
			return math.Inf(1)
		}
		ss += (u-pic[i][0])*(u-pic[i][0]) + (v-pic[i][1])*(v-pic[i][1])
	}
	return ss
}

// normalEquations returns J'J and J'r, r = given minus mapped, for the first
// eight elements of h.
func normalEquations(h matrix, plane, pic [][2]float64) (*mat.SymDense, *mat.VecDense) {
	jtj := mat.NewSymDense(8, nil)
	jtr := mat.NewVecDense(8, nil)
	for i, p := range plane {
		for axis := 0; axis < 2; axis++ {
			g, r := elementGradient(h, p, axis)
			r = pic[i][axis] - r
			for a := 0; a < 8; a++ {
				jtr.SetVec(a, jtr.AtVec(a)+g[a]*r)
				for b := a; b < 8; b++ {
					jtj.SetSym(a, b, jtj.At(a, b)+g[a]*g[b])
				}
			}
		}
	}
	return jtj, jtr
}

// elementGradient returns the derivative of one mapped coordinate (0 = u, 1 = v)
// by the first eight elements of h, and the coordinate.
func elementGradient(h matrix, p [2]float64, axis int) (g [8]float64, value float64) {
	w := h[6]*p[0] + h[7]*p[1] + h[8]
	r := 3 * axis
	value = (h[r]*p[0] + h[r+1]*p[1] + h[r+2]) / w
	g[r], g[r+1], g[r+2] = p[0]/w, p[1]/w, 1/w
	g[6], g[7] = -value*p[0]/w, -value*p[1]/w
	return g, value
}

// planeErrors turns a fit's residual into errors of scale and roll at the
// middle of the points. The point error is the residual's standard deviation,
// SS/(2n - 8), and at least ClickPx; it goes through the fit's covariance.
func planeErrors(h matrix, plane, pic [][2]float64) Errors {
	n := len(plane)
	ss := sumSquares(h, plane, pic)
	e := Errors{Source: Rectangle, ResidualPx: math.Sqrt(ss / float64(n))}
	sd := ClickPx
	if dof := 2*n - 8; dof > 0 {
		sd = math.Max(sd, math.Sqrt(ss/float64(dof)))
	}
	varScale, varRoll := spreadAt(h, plane, pic, sd)
	e.ScaleRel = math.Sqrt(varScale + sq(PlanePlacementRel))
	e.Roll = math.Sqrt(varRoll + sq(RectangleRoll))
	return e
}

// spreadAt returns the variances of the log scale and of the roll at the middle
// of the picture points when each of them has a standard error of sd per axis:
// g' C g with C = sd^2 (J'J)^-1 the covariance of the fit's eight elements, in
// normalised coordinates, and g by finite differences.
func spreadAt(h matrix, plane, pic [][2]float64, sd float64) (scale, roll float64) {
	tPln, nPln := normalise(plane)
	tPic, nPic := normalise(pic)
	back, _ := tPln.inverse()
	hn := tPic.mul(h).mul(back)
	for i := range hn {
		hn[i] /= hn[8]
	}
	jtj, _ := normalEquations(hn, nPln, nPic)
	var chol mat.Cholesky
	var cov mat.SymDense
	if !chol.Factorize(jtj) || chol.InverseTo(&cov) != nil {
		return math.Inf(1), math.Inf(1)
	}
	const step = 1e-6
	scale0, roll0 := scaleAndRoll(hn)
	gScale, gRoll := mat.NewVecDense(8, nil), mat.NewVecDense(8, nil)
	for i := range 8 {
		moved := hn
		moved[i] += step
		s, r := scaleAndRoll(moved)
		gScale.SetVec(i, (s-scale0)/step)
		gRoll.SetVec(i, math.Remainder(r-roll0, 2*math.Pi)/step)
	}
	v := sq(sd * tPic[0])
	return v * mat.Inner(gScale, &cov, gScale), v * mat.Inner(gRoll, &cov, gRoll)
}

// scaleAndRoll returns the log of the plane's metres per picture unit and the
// turn of the plane against the picture, at the picture's origin.
func scaleAndRoll(h matrix) (logScale, roll float64) {
	inv, _ := h.inverse()
	d := inv.derivative(0, 0)
	return math.Log(areaOf(d)) / 2, math.Atan2(d[2], d[0])
}

func areaOf(d [4]float64) float64 { return math.Abs(d[0]*d[3] - d[1]*d[2]) }

func sq(x float64) float64 { return x * x }
