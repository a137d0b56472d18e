package wall

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"underkick/internal/hydro"
	"underkick/internal/spread"
)

// Point is where the head was at a time.
type Point struct {
	T float64 `json:"t"` // s, from any zero
	X float64 `json:"x"` // m, from any zero, rising
}

// ErrGlide is wrapped by every error of FitGlide.
var ErrGlide = errors.New("no glide can be fitted")

// GlideFit is a swimmer's own glide.
type GlideFit struct {
	Rate    float64 `json:"rate"`    // 1/m: speed falls by exp(-Rate x)
	RateSE  float64 `json:"rate_se"` // its standard error, 1/m; half a 95 % band over 1.96
	Start   float64 `json:"start"`   // speed at the first point, m/s
	StartSE float64 `json:"start_se"`
	Points  int     `json:"points"`
	Scatter float64 `json:"scatter"` // of the positions about the curve, m; 0 for no more points than unknowns
}

// Given returns the rate as an input of a plan.
func (f GlideFit) Given(from string) Given { return Given{Value: f.Rate, SD: f.RateSE, From: from} }

// Length returns the distance over which the speed falls by the factor e, with its 95 %
// band, m.
func (f GlideFit) Length() Band {
	return Band{1 / f.Rate, 1 / (f.Rate + 1.96*f.RateSE), 1 / math.Max(f.Rate-1.96*f.RateSE, 1e-3)}
}

// GlideOptions are what else is known of a glide; the zero value is nothing.
type GlideOptions struct {
	SD    float64 // standard error of a position, m; 0 = 0.03
	Speed Given   // speed at the first point, m/s, if it is known by itself
}

// FitGlide fits position, never differentiated speed, with
//
//	x(t) = x0 + ln(1 + v0 Rate (t - t0))/Rate
//
// by least squares with x0, v0 and Rate unknown (displacement fit of Naemi R, Sanders RH.
// 2008. A hydrokinematic method of measuring the glide efficiency of a human swimmer. J
// Biomech Eng 130:061016: standard error below 2.5 %). Two points need Speed, three stand
// alone. Where there are more points than unknowns and they scatter more than SD, the
// scatter and Student's t widen the standard errors.
//
// Errors wrap ErrGlide: too few points, points out of order, or a speed that does not
// fall.
func FitGlide(points []Point, opt GlideOptions) (GlideFit, error) {
	if opt.SD == 0 {
		opt.SD = markSD
	}
	if err := checkGlide(points, opt); err != nil {
		return GlideFit{}, err
	}
	g := glideFit{points: points, opt: opt}
	g.begin()
	for range 60 {
		step, ok := g.step()
		if !ok {
			return GlideFit{}, fmt.Errorf("%w: the points do not hold a curve", ErrGlide)
		}
		if math.Abs(step[0])+math.Abs(step[1])+math.Abs(step[2]) < 1e-12 {
			break
		}
	}
	return g.result()
}

func checkGlide(points []Point, opt GlideOptions) error {
	need := 3
	if opt.Speed.Known() {
		need = 2
	}
	if len(points) < need {
		return fmt.Errorf("%w: %d points; it takes three positions of the head, or two and the speed at the first", ErrGlide, len(points))
	}
	for i, p := range points {
		if bad(p.T) || bad(p.X) {
			return fmt.Errorf("%w: point %d is not a number", ErrGlide, i+1)
		}
		if i > 0 && (p.T <= points[i-1].T || p.X <= points[i-1].X) {
			return fmt.Errorf("%w: point %d is not later and further than the one before", ErrGlide, i+1)
		}
	}
	return nil
}

func bad(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) }

// glideFit is a fit under way.
type glideFit struct {
	points       []Point
	opt          GlideOptions
	x0, v0, rate float64
}

// begin starts from a straight line that slows a little.
func (g *glideFit) begin() {
	a, b := g.points[0], g.points[len(g.points)-1]
	g.x0, g.rate = a.X, 0.2
	g.v0 = 1.1 * (b.X - a.X) / (b.T - a.T)
	if g.opt.Speed.Known() {
		g.v0 = g.opt.Speed.Value
	}
}

// way returns x - x0 after time t and its slopes by v0 and rate.
func (g *glideFit) way(t float64) (x, byV, byRate float64) {
	q := g.v0 * g.rate * t
	if math.Abs(q) < 1e-6 { // ln(1+q)/rate and its slopes, as series
		return g.v0 * t * (1 - q/2), t * (1 - q), -g.v0 * g.v0 * t * t / 2
	}
	l := math.Log1p(q)
	return l / g.rate, t / (1 + q), (g.v0*t/(1+q) - l/g.rate) / g.rate
}

// normal returns the normal equations at the present values and the sum of squares.
func (g *glideFit) normal() (a *mat.SymDense, b *mat.VecDense, sum float64) {
	a, b = mat.NewSymDense(3, nil), mat.NewVecDense(3, nil)
	add := func(row [3]float64, miss, sd float64) {
		sum += miss * miss / sd / sd
		for i := range row {
			b.SetVec(i, b.AtVec(i)+row[i]*miss/sd/sd)
			for j := i; j < 3; j++ {
				a.SetSym(i, j, a.At(i, j)+row[i]*row[j]/sd/sd)
			}
		}
	}
	for _, p := range g.points {
		x, byV, byRate := g.way(p.T - g.points[0].T)
		add([3]float64{1, byV, byRate}, p.X-g.x0-x, g.opt.SD)
	}
	if s := g.opt.Speed; s.Known() {
		add([3]float64{0, 1, 0}, s.Value-g.v0, math.Max(s.SD, 1e-3))
	}
	return a, b, sum
}

// step takes one Gauss-Newton step, halved while it makes the sum larger or leaves the
// formula's range.
func (g *glideFit) step() (step [3]float64, ok bool) {
	a, b, sum := g.normal()
	var chol mat.Cholesky
	var d mat.VecDense
	if !chol.Factorize(a) || chol.SolveVecTo(&d, b) != nil {
		return step, false
	}
	from := *g
	for part := 1.0; part > 1e-6; part /= 2 {
		g.x0, g.v0, g.rate = from.x0+part*d.AtVec(0), from.v0+part*d.AtVec(1), from.rate+part*d.AtVec(2)
		last := g.points[len(g.points)-1].T - g.points[0].T
		if g.v0 <= 0 || 1+g.v0*g.rate*last <= 0.05 {
			continue
		}
		if _, _, now := g.normal(); now <= sum*(1+1e-12) {
			return [3]float64{g.x0 - from.x0, g.v0 - from.v0, g.rate - from.rate}, true
		}
	}
	*g = from
	return step, true // as good as it gets
}

func (g *glideFit) result() (GlideFit, error) {
	a, _, sum := g.normal()
	var chol mat.Cholesky
	if !chol.Factorize(a) || chol.Cond() > 1e12 {
		return GlideFit{}, fmt.Errorf("%w: the points do not hold a curve", ErrGlide)
	}
	var cov mat.SymDense
	if err := chol.InverseTo(&cov); err != nil {
		return GlideFit{}, fmt.Errorf("%w: the points do not hold a curve", ErrGlide)
	}
	known := len(g.points)
	if g.opt.Speed.Known() {
		known++
	}
	f := GlideFit{Rate: g.rate, Start: g.v0, Points: len(g.points)}
	wider := 1.0
	if df := known - 3; df > 0 {
		f.Scatter = g.opt.SD * math.Sqrt(sum/float64(df))
		if scatter := math.Sqrt(sum / float64(df)); scatter > 1 {
			wider = scatter * spread.T95(df) / 1.96
		}
	}
	f.RateSE, f.StartSE = wider*math.Sqrt(cov.At(2, 2)), wider*math.Sqrt(cov.At(1, 1))
	if f.Rate <= 0 {
		return f, fmt.Errorf("%w: the speed does not fall from point to point; look for kicks in the glide, or for points out of place", ErrGlide)
	}
	return f, nil
}

// GlideBetween returns the glide between two points of known speed, its standard error
// from theirs:
//
//	Rate = ln(v0/v1)/x
//
// The error wraps ErrGlide when the speed does not fall.
func GlideBetween(v0, v1 Given, x float64) (GlideFit, error) {
	if !v0.Known() || !v1.Known() || !(x > 0) || !(v0.Value > v1.Value) {
		return GlideFit{}, fmt.Errorf("%w: it takes a speed that falls over a distance", ErrGlide)
	}
	g := hydro.GlideBetween(v0.Value, v1.Value, x)
	return GlideFit{
		Rate: g.Rate, RateSE: math.Hypot(v0.SD/v0.Value, v1.SD/v1.Value) / x,
		Start: v0.Value, StartSE: v0.SD, Points: 2,
	}, nil
}
