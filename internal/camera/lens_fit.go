package camera

import (
	"errors"
	"fmt"
	"math"
)

// ErrLens is wrapped by every error about a lens that cannot be found or used.
var ErrLens = errors.New("the lens cannot be told")

func lensError(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrLens, fmt.Sprintf(format, args...))
}

// Line is points of the picture, px, that lie on one straight line in the pool.
type Line [][2]float64

// LensFit is a lens found from lines.
type LensFit struct {
	Lens     Lens
	BeforePx float64 // rms distance of the points from straight lines as seen, px
	AfterPx  float64 // the same with the lens taken out, in px of the picture
	Notes    []string
}

// Numbers of the fit.
const (
	// LinePoints is how many points a line needs.
	LinePoints  = 5
	maxLines    = 100
	lensPrior1  = 0.5  // prior standard deviation of K1: a 120 degree lens of equal angles in air has 0.38 (tan series)
	lensPrior2  = 0.25 // of K2: the same lens has 0.17
	edgeLimit   = 0.01 // largest standard error at the picture's side that is taken, half diagonals
	lineScatter = 3.0  // px above which a line is not believed to be straight
	shortLine   = 0.5  // of the half diagonal: a line below it hardly bends
	nearCentre  = 0.12 // half diagonals: a line that passes so near the middle is straight through any lens
)

// FitLens finds the two radial terms from lines that are straight in the pool, by the
// plumb-line method: the terms are those for which the points' distances from straight
// lines, measured in the picture, are least (Brown 1971; Devernay and Faugeras 2001).
// Each distance in the straight picture is divided by how much the lens enlarges across
// the line there, so that shrinking the picture gains nothing. K1 and K2 have a prior
// of 0 with standard deviations 0.5 and 0.25, which only counts where the lines say
// little. The points' standard error is what is left, at least ClickPx.
//
// width and height are the picture's size, px. Errors wrap ErrLens: too few points,
// a line of no length, points outside the picture, lines that leave the lens open (short
// ones, ones through the picture's middle), a result that would fold the picture.
// The note tells of a bend that is within its error and of points that fit badly.
func FitLens(lines []Line, width, height float64) (LensFit, error) {
	if _, err := NewLens(width, height, 0, 0); err != nil {
		return LensFit{}, err
	}
	f, err := newPlumb(lines, width, height)
	if err != nil {
		return LensFit{}, err
	}
	lens, sd := f.solve()
	fit := LensFit{BeforePx: f.rms(0, 0), AfterPx: f.rms(lens.K1, lens.K2)}
	lens.ResidualPx = fit.AfterPx
	if _, err := NewLens(width, height, lens.K1, lens.K2); err != nil {
		return LensFit{}, lensError("the lines ask for a bend that no lens has (k1 = %.2f, k2 = %.2f); look whether each is straight in the pool and its points lie on one line", lens.K1, lens.K2)
	}
	shift, se := lens.EdgePx()
	if se > edgeLimit*lens.half() {
		return LensFit{}, f.undetermined(se)
	}
	fit.Lens = lens
	if math.Abs(shift) < 2*se {
		fit.Notes = append(fit.Notes, fmt.Sprintf("The lines are straight within the clicks: at the picture's side the lens moves %.1f px, give or take %.1f. It can be left out.", shift, 2*se))
	}
	if sd > lineScatter {
		fit.Notes = append(fit.Notes, fmt.Sprintf("The points lie %.1f px beside straight lines even so. One of them is not on its line, or a line is not straight in the pool.", fit.AfterPx))
	}
	return fit, nil
}

// plumb is the least squares problem, in half diagonals from the picture's middle.
type plumb struct {
	size   Lens // its size only
	lines  [][][2]float64
	points int
}

func newPlumb(lines []Line, width, height float64) (*plumb, error) {
	f := &plumb{size: Lens{Width: width, Height: height}}
	if len(lines) == 0 {
		return nil, lensError("no line is marked; mark %d points or more along a line that is straight in the pool, best near the picture's edge", LinePoints)
	}
	if len(lines) > maxLines {
		return nil, lensError("%d lines are given; at most %d can be used", len(lines), maxLines)
	}
	h := f.size.half()
	for i, line := range lines {
		if len(line) < LinePoints {
			return nil, lensError("line %d has %d points; mark at least %d, spread over the whole line", i+1, len(line), LinePoints)
		}
		if len(line) > maxPlanePoints {
			return nil, lensError("line %d has %d points; at most %d can be used", i+1, len(line), maxPlanePoints)
		}
		var own [][2]float64
		for j, p := range line {
			if !(p[0] >= 0 && p[0] <= width && p[1] >= 0 && p[1] <= height) {
				return nil, lensError("point %d of line %d lies outside the picture", j+1, i+1)
			}
			own = append(own, [2]float64{(p[0] - width/2) / h, (p[1] - height/2) / h})
		}
		if length(own) < 20/h {
			return nil, lensError("the points of line %d lie within %.0f px; spread them over the whole line", i+1, length(own)*h)
		}
		f.lines = append(f.lines, own)
		f.points += len(own)
	}
	return f, nil
}

// length is the largest distance of a line's points from its first point.
func length(line [][2]float64) (most float64) {
	for _, p := range line {
		most = max(most, dist(p, line[0]))
	}
	return most
}

// distances returns, for every point of a line, its distance from the straight line
// through all of them with the terms k1, k2 taken out, in units of the bent picture.
// The line is that of the least weighted squares.
func (f *plumb) distances(line [][2]float64, k1, k2 float64, out []float64) []float64 {
	l := Lens{K1: k1, K2: k2}
	straight := make([][2]float64, len(line))
	for i, p := range line {
		k := l.factor(math.Hypot(p[0], p[1]))
		straight[i] = [2]float64{p[0] * k, p[1] * k}
	}
	weights := make([]float64, len(line))
	for i := range weights {
		weights[i] = 1
	}
	var nx, ny, d float64
	for range 3 { // the enlargement hangs on the line's direction, weakly
		nx, ny, d = straightLine(straight, weights)
		for i, p := range line {
			weights[i] = 1 / l.across(p, nx, ny)
		}
	}
	for i, s := range straight {
		out = append(out, (nx*s[0]+ny*s[1]-d)*weights[i])
	}
	return out
}

// across returns how much the lens enlarges in the direction (nx, ny) of the straight
// picture: the length of the gradient of n . straight(p).
func (l Lens) across(p [2]float64, nx, ny float64) float64 {
	q := p[0]*p[0] + p[1]*p[1]
	f, g := 1+q*(l.K1+q*l.K2), 2*l.K1+4*q*l.K2 // factor, and d factor/d p = g p
	along := nx*p[0] + ny*p[1]
	return math.Hypot(f*nx+g*along*p[0], f*ny+g*along*p[1])
}

// straightLine returns the line n . p = d of the least weighted squared distances.
func straightLine(p [][2]float64, w []float64) (nx, ny, d float64) {
	var sum, mx, my float64
	for i, q := range p {
		v := w[i] * w[i]
		sum, mx, my = sum+v, mx+v*q[0], my+v*q[1]
	}
	mx, my = mx/sum, my/sum
	var xx, xy, yy float64
	for i, q := range p {
		v, x, y := w[i]*w[i], q[0]-mx, q[1]-my
		xx, xy, yy = xx+v*x*x, xy+v*x*y, yy+v*y*y
	}
	a := math.Atan2(2*xy, xx-yy) / 2 // direction of the line
	nx, ny = -math.Sin(a), math.Cos(a)
	return nx, ny, nx*mx + ny*my
}

func (f *plumb) all(k1, k2 float64) []float64 {
	out := make([]float64, 0, f.points)
	for _, line := range f.lines {
		out = f.distances(line, k1, k2, out)
	}
	return out
}

// rms returns the root mean square distance, px.
func (f *plumb) rms(k1, k2 float64) float64 {
	return math.Sqrt(squares(f.all(k1, k2))/float64(f.points)) * f.size.half()
}

func squares(x []float64) (ss float64) {
	for _, v := range x {
		ss += v * v
	}
	return ss
}

// solve finds the terms by Gauss-Newton with halved steps, and their covariance.
// sd is the standard deviation of a point across its line, px.
func (f *plumb) solve() (lens Lens, sd float64) {
	h := f.size.half()
	lens = f.size
	sd = ClickPx
	for range 2 { // with the clicks' usual error first, then with what is left
		n := f.minimise(&lens, sd/h)
		if dof := float64(f.points - 2*len(f.lines) - 2); dof > 0 {
			sd = max(ClickPx, math.Sqrt(squares(f.all(lens.K1, lens.K2))/dof)*h)
		}
		lens.Cov = n.inverse()
	}
	return lens, sd
}

// minimise moves the lens's terms to the least cost and returns the normal matrix there.
func (f *plumb) minimise(lens *Lens, sd float64) (n normal2) {
	cost := func(k1, k2 float64) float64 {
		return squares(f.all(k1, k2))/(sd*sd) + sq(k1/lensPrior1) + sq(k2/lensPrior2)
	}
	at := cost(lens.K1, lens.K2)
	for range 40 {
		n = f.normal(lens.K1, lens.K2, sd)
		s1, s2 := n.step()
		moved := false
		for scale := 1.0; scale > 1e-4; scale /= 2 {
			if c := cost(lens.K1+scale*s1, lens.K2+scale*s2); c < at {
				lens.K1, lens.K2, at, moved = lens.K1+scale*s1, lens.K2+scale*s2, c, true
				break
			}
		}
		if !moved || math.Hypot(s1, s2) < 1e-10 {
			break
		}
	}
	return n
}

// normal2 is a symmetric 2 x 2 system.
type normal2 struct{ a11, a12, a22, b1, b2 float64 }

func (f *plumb) normal(k1, k2, sd float64) normal2 {
	const step = 1e-5
	r := f.all(k1, k2)
	p1, m1 := f.all(k1+step, k2), f.all(k1-step, k2)
	p2, m2 := f.all(k1, k2+step), f.all(k1, k2-step)
	n := normal2{a11: 1 / sq(lensPrior1), a22: 1 / sq(lensPrior2), b1: -k1 / sq(lensPrior1), b2: -k2 / sq(lensPrior2)}
	w := 1 / (sd * sd)
	for i := range r {
		d1, d2 := (p1[i]-m1[i])/(2*step), (p2[i]-m2[i])/(2*step)
		n.a11, n.a12, n.a22 = n.a11+w*d1*d1, n.a12+w*d1*d2, n.a22+w*d2*d2
		n.b1, n.b2 = n.b1-w*d1*r[i], n.b2-w*d2*r[i]
	}
	return n
}

func (n normal2) step() (x1, x2 float64) {
	c := n.inverse()
	return c[0]*n.b1 + c[1]*n.b2, c[1]*n.b1 + c[2]*n.b2
}

func (n normal2) inverse() [3]float64 {
	d := n.a11*n.a22 - n.a12*n.a12
	return [3]float64{n.a22 / d, -n.a12 / d, n.a11 / d}
}

// undetermined says why the lines leave the lens open and what to do.
func (f *plumb) undetermined(se float64) error {
	longest, farthest := 0.0, 0.0
	for _, line := range f.lines {
		longest = max(longest, length(line))
		w := make([]float64, len(line))
		for i := range w {
			w[i] = 1
		}
		_, _, d := straightLine(line, w)
		farthest = max(farthest, math.Abs(d))
	}
	switch {
	case farthest < nearCentre:
		return lensError("the lines pass through the middle of the picture, where every lens leaves them straight; mark a line along the upper or lower edge")
	case longest < shortLine:
		return lensError("the lines are too short to show a bend (%.0f px); mark a line over most of the picture's width, near its edge", longest*f.size.half())
	}
	return lensError("the lines leave %.0f px open at the picture's side; mark more points, farther apart, or one more line near the other edge", se)
}
