package trace

import "math"

// The residual of a coordinate has seven states: the slow amplitudes u and w of
// the cosine and sine of the kick phase with their rates (Matern 3/2 each), and
// the smooth residual with its first and second derivative (Matern 5/2).
const states = 7

type (
	vec [states]float64
	sym [states]vec
)

// wander holds the sizes of the random part of one landmark.
type wander struct {
	slowSD   float64 // SD of the amplitudes u and w, unit of the marks
	slowTime float64 // their time scale, s
	restSD   float64 // SD of the smooth residual, unit of the marks
	restTime float64 // its time scale, s
}

// transition carries the states over one step of time: x -> A x + noise(Q).
type transition struct {
	slow  [2][2]float64
	rest  [3][3]float64
	slowQ [2][2]float64
	restQ [3][3]float64
	slowL [2][2]float64 // lower factors of slowQ and restQ
	restL [3][3]float64
}

// stationary returns the covariance of the states when nothing is known.
// Matern processes as linear systems: Hartikainen and Sarkka, IEEE MLSP 2010;
// Rasmussen and Williams, Gaussian Processes for Machine Learning, eq. 4.14-4.17.
func (w wander) stationary() sym {
	var p sym
	ls := math.Sqrt(3) / w.slowTime
	for _, i := range []int{0, 2} {
		p[i][i] = w.slowSD * w.slowSD
		p[i+1][i+1] = p[i][i] * ls * ls
	}
	lr := math.Sqrt(5) / w.restTime
	v := w.restSD * w.restSD
	p[4][4] = v
	p[5][5] = v * lr * lr / 3
	p[4][6], p[6][4] = -p[5][5], -p[5][5]
	p[6][6] = v * lr * lr * lr * lr
	return p
}

// step returns the transition over dt seconds.
func (w wander) step(dt float64) *transition {
	tr := &transition{}
	l := math.Sqrt(3) / w.slowTime
	e := math.Exp(-l * dt)
	tr.slow = [2][2]float64{{e * (1 + l*dt), e * dt}, {-e * l * l * dt, e * (1 - l*dt)}}
	l = math.Sqrt(5) / w.restTime
	e = math.Exp(-l * dt)
	a := l * dt
	tr.rest = [3][3]float64{
		{e * (1 + a + a*a/2), e * dt * (1 + a), e * dt * dt / 2},
		{-e * l * a * a / 2, e * (1 + a - a*a), e * dt * (1 - a/2)},
		{e * l * l * a * (a/2 - 1), e * l * a * (a - 3), e * (1 - 2*a + a*a/2)},
	}
	// Q = P - A P A' keeps the process stationary.
	p := w.stationary()
	for i := range 2 {
		for j := range 2 {
			tr.slowQ[i][j] = p[i][j]
			for k := range 2 {
				tr.slowQ[i][j] -= tr.slow[i][k] * p[k][k] * tr.slow[j][k]
			}
		}
	}
	for i := range 3 {
		for j := range 3 {
			tr.restQ[i][j] = p[4+i][4+j]
			for k := range 3 {
				for m := range 3 {
					tr.restQ[i][j] -= tr.rest[i][k] * p[4+k][4+m] * tr.rest[j][m]
				}
			}
		}
	}
	tr.slowL = factor2(tr.slowQ)
	tr.restL = factor3(tr.restQ)
	return tr
}

// factor2 and factor3 return the lower Cholesky factor of a covariance. Over
// very short steps rounding can make a pivot negative; it then counts as zero.
func factor2(q [2][2]float64) [2][2]float64 {
	f := factor3([3][3]float64{{q[0][0], q[0][1]}, {q[1][0], q[1][1]}})
	return [2][2]float64{{f[0][0], 0}, {f[1][0], f[1][1]}}
}

func factor3(q [3][3]float64) [3][3]float64 {
	var l [3][3]float64
	for i := range 3 {
		for j := range i + 1 {
			s := q[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			switch {
			case i == j:
				l[i][i] = math.Sqrt(max(s, 0))
			case l[j][j] > 0:
				l[i][j] = s / l[j][j]
			}
		}
	}
	return l
}

// apply returns A x.
func (tr *transition) apply(x *vec) vec {
	s, r := &tr.slow, &tr.rest
	return vec{
		s[0][0]*x[0] + s[0][1]*x[1],
		s[1][0]*x[0] + s[1][1]*x[1],
		s[0][0]*x[2] + s[0][1]*x[3],
		s[1][0]*x[2] + s[1][1]*x[3],
		r[0][0]*x[4] + r[0][1]*x[5] + r[0][2]*x[6],
		r[1][0]*x[4] + r[1][1]*x[5] + r[1][2]*x[6],
		r[2][0]*x[4] + r[2][1]*x[5] + r[2][2]*x[6],
	}
}

// back returns A' x.
func (tr *transition) back(x *vec) vec {
	s, r := &tr.slow, &tr.rest
	return vec{
		s[0][0]*x[0] + s[1][0]*x[1],
		s[0][1]*x[0] + s[1][1]*x[1],
		s[0][0]*x[2] + s[1][0]*x[3],
		s[0][1]*x[2] + s[1][1]*x[3],
		r[0][0]*x[4] + r[1][0]*x[5] + r[2][0]*x[6],
		r[0][1]*x[4] + r[1][1]*x[5] + r[2][1]*x[6],
		r[0][2]*x[4] + r[1][2]*x[5] + r[2][2]*x[6],
	}
}

// spread replaces p by A p A' + Q.
func (tr *transition) spread(p *sym) {
	for i := range p {
		p[i] = tr.apply(&p[i]) // rows of p A'; p is symmetric
	}
	transpose(p)
	for i := range p {
		p[i] = tr.apply(&p[i])
	}
	for i := range 2 {
		for j := range 2 {
			p[i][j] += tr.slowQ[i][j]
			p[2+i][2+j] += tr.slowQ[i][j]
		}
	}
	for i := range 3 {
		for j := range 3 {
			p[4+i][4+j] += tr.restQ[i][j]
		}
	}
}

// gather replaces n by A' n A.
func (tr *transition) gather(n *sym) {
	for i := range n {
		n[i] = tr.back(&n[i])
	}
	transpose(n)
	for i := range n {
		n[i] = tr.back(&n[i])
	}
}

func transpose(p *sym) {
	for i := range p {
		for j := range i {
			p[i][j], p[j][i] = p[j][i], p[i][j]
		}
	}
}

func dot(a, b *vec) float64 {
	return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] + a[3]*b[3] + a[4]*b[4] + a[5]*b[5] + a[6]*b[6]
}

func (p *sym) times(x *vec) vec {
	var y vec
	for i := range p {
		y[i] = dot(&p[i], x)
	}
	return y
}
