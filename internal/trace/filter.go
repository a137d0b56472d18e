package trace

import "math"

// layout is one landmark laid out over instants in order of time, some of which
// carry a mark. Column c of the basis is a function of time whose coefficient is
// fitted (travel and Fourier terms); the residual states add to it.
type layout struct {
	t        []float64
	cos, sin []float64 // of the kick phase
	rate     []float64 // of the kick phase, rad/s; used for velocities only
	noise    []float64 // variance of the mark at the instant; 0 = no mark there
	basis    []float64 // len(t) rows of cols values
	slope    []float64 // time derivative of basis; nil when no velocity is wanted
	cols     int
}

// chain is one coordinate of a landmark on its layout.
type chain struct {
	*layout
	data  []float64     // the mark at the instant, where there is one
	prior []float64     // variance of each coefficient around 0; +Inf = free
	start sym           // covariance of the states before anything is known
	moves []*transition // from the instant before; the first is nil
}

// wanders sets the random part of the chain's movement.
func (c *chain) wanders(w wander) {
	c.start = w.stationary()
	c.moves = make([]*transition, len(c.t))
	known := map[int64]*transition{}
	for i := 1; i < len(c.t); i++ {
		dt := c.t[i] - c.t[i-1]
		// Film frames are mostly evenly spaced: one transition serves all steps
		// that are alike to a tenth of a microsecond.
		key := int64(math.Round(dt * 1e7))
		if known[key] == nil {
			known[key] = w.step(dt)
		}
		c.moves[i] = known[key]
	}
}

// filtered is what the forward pass leaves behind. The first of its columns is
// the data, the rest the basis.
type filtered struct {
	width  int       // cols + 1
	gain   []vec     // Kalman gain at each instant with a mark
	f      []float64 // variance of the innovation there
	innov  []float64 // innovations, len(t) rows of width
	logDet float64   // sum of log f

	// For the backward pass; nil when only innovations were asked for.
	posP, velP []vec     // covariance of the predicted states with position and velocity
	posVar     []float64 // predicted variance of the residual's position
	pos        []float64 // predicted position of each basis column, rows of cols
}

// newFiltered makes room for a forward pass. keep also makes room for what the
// backward passes need.
func (c *chain) newFiltered(keep bool) *filtered {
	n, width := len(c.t), c.cols+1
	f := &filtered{width: width, gain: make([]vec, n), f: make([]float64, n), innov: make([]float64, n*width)}
	if keep {
		f.posP, f.velP = make([]vec, n), make([]vec, n)
		f.posVar, f.pos = make([]float64, n), make([]float64, n*c.cols)
	}
	return f
}

// forward runs the Kalman filter over the columns of c. keep also stores what
// the backward passes need.
func (c *chain) forward(keep bool) *filtered {
	f := c.newFiltered(keep)
	c.pass(f)
	return f
}

// pass is forward into room made before, at the same instants with marks.
func (c *chain) pass(f *filtered) {
	n, width := len(c.t), f.width
	keep := f.posP != nil
	f.logDet = 0
	p := c.start
	a := make([]vec, width)
	for i := range n {
		if i > 0 {
			tr := c.moves[i]
			tr.spread(&p)
			for k := range a {
				a[k] = tr.apply(&a[k])
			}
		}
		cos, sin := c.cos[i], c.sin[i]
		ph := observe(&p, cos, sin)
		variance := cos*ph[0] + sin*ph[2] + ph[4]
		if keep {
			c.store(f, i, &p, &ph, variance, a)
		}
		if c.noise[i] == 0 {
			continue
		}
		total := variance + c.noise[i]
		f.f[i] = total
		f.logDet += math.Log(total)
		gain := &f.gain[i]
		for k := range gain {
			gain[k] = ph[k] / total
		}
		for r := range p {
			for k := range p[r] {
				p[r][k] -= gain[r] * ph[k]
			}
		}
		row := f.innov[i*width : (i+1)*width]
		row[0] = c.data[i]
		copy(row[1:], c.basis[i*c.cols:(i+1)*c.cols])
		for k := range a {
			row[k] -= c.position(i, &a[k])
			for s := range gain {
				a[k][s] += gain[s] * row[k]
			}
		}
	}
}

// observe returns P h for h = (cos, 0, sin, 0, 1, 0, 0).
func observe(p *sym, cos, sin float64) vec {
	var y vec
	for i := range p {
		y[i] = cos*p[i][0] + sin*p[i][2] + p[i][4]
	}
	return y
}

func (c *chain) store(f *filtered, i int, p *sym, ph *vec, variance float64, a []vec) {
	h := c.velocityOf(i)
	f.posP[i], f.velP[i], f.posVar[i] = *ph, p.times(&h), variance
	row := f.pos[i*c.cols : (i+1)*c.cols]
	for k := range row {
		row[k] = c.position(i, &a[1+k])
	}
}

// position returns what the states x add to a coordinate at instant i.
func (c *layout) position(i int, x *vec) float64 {
	return c.cos[i]*x[0] + c.sin[i]*x[2] + x[4]
}

// velocityOf returns the weights that make the residual's velocity of the states
// at instant i: the derivative of u cos + w sin + rest.
func (c *layout) velocityOf(i int) vec {
	r := c.rate[i]
	return vec{-r * c.sin[i], c.cos[i], r * c.cos[i], c.sin[i], 0, 1, 0}
}
