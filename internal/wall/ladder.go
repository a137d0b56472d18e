package wall

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"underkick/internal/spread"
)

// Step is one run of a tempo ladder.
type Step struct {
	Tempo float64 `json:"tempo_hz"` // kicks per second
	Speed float64 `json:"speed"`    // m/s
	Run   string  `json:"run,omitempty"`
}

// ErrLadder is wrapped by the errors of Climb.
var ErrLadder = errors.New("no tempo ladder can be read")

// fewestRuns is what a parabola with an error needs.
const fewestRuns = 4

// Shape is what a ladder shows.
type Shape string

// The shapes.
const (
	Peak    Shape = "peak"    // speed rises and falls again within the steps
	Rising  Shape = "rising"  // still rising at the highest tempo
	Falling Shape = "falling" // highest at the lowest tempo
	Flat    Shape = "flat"    // no tempo is shown to be faster
)

// Ladder is what a tempo ladder shows.
type Ladder struct {
	Steps   []Step     `json:"steps"`
	Shape   Shape      `json:"shape"`
	Best    [2]float64 `json:"best_hz"`  // range of tempos that are not shown to be slower than the best
	Top     Given      `json:"speed"`    // speed at the middle of that range, m/s
	Tempo   Given      `json:"tempo_hz"` // middle of that range, Hz
	Scatter float64    `json:"scatter"`  // of the runs about the curve, m/s
	Pure    bool       `json:"pure"`     // repeats at one tempo gave a larger scatter, which counts
	DF      int        `json:"df"`       // degrees of freedom of Scatter
	Curve   Curve      `json:"curve"`    // X is the tempo, Hz
	Length  Band       `json:"length"`   // change of distance per kick for 1 % more tempo, %
	Held    string     `json:"held"`     // "held", "fell", "not shown"
	Words   string     `json:"words"`    // what it shows
	Train   string     `json:"train"`    // what to train
	Reasons []Reason   `json:"reasons"`
}

// Climb fits speed against tempo,
//
//	v = a + b (f - m) + c (f - m)2,  m the mean tempo
//
// by least squares, with 95 % bands from Student's t on the scatter about the curve, or on the
// pure error of repeats at one tempo where that is larger. The best range holds every tempo within
// the steps whose speed is not shown to be lower than the fastest point's. Distance per kick is
// judged by the slope of ln(v/f) on ln f.
//
// Errors wrap ErrLadder: fewer than four runs or three tempos, numbers out of range.
func Climb(steps []Step) (*Ladder, error) {
	if err := checkSteps(steps); err != nil {
		return nil, err
	}
	l := &Ladder{Steps: steps}
	f, err := fitParabola(steps)
	if err != nil {
		return nil, err
	}
	f.scatter(steps)
	l.Scatter, l.DF, l.Pure = f.sd, f.df, f.pure
	l.read(f)
	l.lengths()
	l.say()
	return l, nil
}

func checkSteps(steps []Step) error {
	tempos := map[float64]bool{}
	for i, s := range steps {
		if bad(s.Tempo) || s.Tempo < tempoRange[0] || s.Tempo > tempoRange[1] {
			return fmt.Errorf("%w: run %d has %g kicks per second; they lie between %g and %g (kicks per minute divide by 60)", ErrLadder, i+1, s.Tempo, tempoRange[0], tempoRange[1])
		}
		if bad(s.Speed) || s.Speed < speedRange[0] || s.Speed > 3 {
			return fmt.Errorf("%w: run %d has %g m/s; kicking speeds lie between %g and 3", ErrLadder, i+1, s.Speed, speedRange[0])
		}
		tempos[math.Round(s.Tempo*50)] = true // steps of 0.02 Hz are one tempo
	}
	if len(steps) < fewestRuns || len(tempos) < 3 {
		return fmt.Errorf("%w: %d runs at %d tempos; it takes four runs or more at three tempos or more, best two at each", ErrLadder, len(steps), len(tempos))
	}
	return nil
}

// parabola is a fit with the covariance of its coefficients over the variance of one run.
type parabola struct {
	middle    float64
	c         [3]float64
	cov       mat.SymDense
	sum       float64 // of squares about the curve
	df        int
	sd        float64
	pure      bool
	low, high float64 // tempos swum
}

func fitParabola(steps []Step) (*parabola, error) {
	p := &parabola{low: math.Inf(1), high: math.Inf(-1), df: len(steps) - 3}
	for _, s := range steps {
		p.middle += s.Tempo / float64(len(steps))
		p.low, p.high = math.Min(p.low, s.Tempo), math.Max(p.high, s.Tempo)
	}
	a, b := mat.NewSymDense(3, nil), mat.NewVecDense(3, nil)
	for _, s := range steps {
		row := p.row(s.Tempo)
		for i := range row {
			b.SetVec(i, b.AtVec(i)+row[i]*s.Speed)
			for j := i; j < 3; j++ {
				a.SetSym(i, j, a.At(i, j)+row[i]*row[j])
			}
		}
	}
	var chol mat.Cholesky
	var x mat.VecDense
	if !chol.Factorize(a) || chol.SolveVecTo(&x, b) != nil || chol.InverseTo(&p.cov) != nil {
		return nil, fmt.Errorf("%w: the tempos lie too close together", ErrLadder)
	}
	p.c = [3]float64{x.AtVec(0), x.AtVec(1), x.AtVec(2)}
	for _, s := range steps {
		miss := s.Speed - p.at(s.Tempo)
		p.sum += miss * miss
	}
	return p, nil
}

func (p *parabola) row(f float64) [3]float64 {
	d := f - p.middle
	return [3]float64{1, d, d * d}
}

func (p *parabola) at(f float64) float64 {
	r := p.row(f)
	return p.c[0] + p.c[1]*r[1] + p.c[2]*r[2]
}

// leastScatter is the scatter below which no run repeats, m/s: points that lie on a curve by
// chance do not make it certain (our choice; two runs of one swimmer differ more).
const leastScatter = 0.01

// scatter takes the larger of the scatter about the curve and the pure error of repeats.
func (p *parabola) scatter(steps []Step) {
	p.sd = math.Sqrt(p.sum / float64(p.df))
	groups := map[float64][]float64{}
	for _, s := range steps {
		groups[math.Round(s.Tempo*50)] = append(groups[math.Round(s.Tempo*50)], s.Speed)
	}
	var repeats [][]float64
	for _, g := range groups {
		repeats = append(repeats, g)
	}
	if te, df := spread.TypicalError(repeats); df > 0 && te > p.sd {
		p.sd, p.df, p.pure = te, df, true
	}
	p.sd = math.Max(p.sd, leastScatter)
}

// error returns the standard error of w0 + w1 (f-m) + w2 (f-m)2 for a row of weights.
func (p *parabola) error(w [3]float64) float64 {
	sum := 0.0
	for i := range w {
		for j := range w {
			sum += w[i] * p.cov.At(i, j) * w[j]
		}
	}
	return p.sd * math.Sqrt(math.Max(0, sum))
}
