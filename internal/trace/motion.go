package trace

import (
	"fmt"
	"math"
	"slices"

	"underkick/internal/body"
)

// report gathers what the threads have to say.
func (f *Traces) report() {
	var kept []*thread
	for _, th := range f.threads {
		if th == nil {
			continue
		}
		kept = append(kept, th)
		rep := th.report
		f.Landmarks[th.landmark] = &rep
		f.Outliers = append(f.Outliers, th.outliers...)
		if n := len(th.outliers); n > 0 {
			f.Warnings = append(f.Warnings, fmt.Sprintf("%v: %d of %d marks do not fit the others and hardly count; look at them again", th.landmark, n, rep.Marks))
		}
	}
	f.threads = kept
	slices.Sort(f.Outliers)
}

// Motion returns the fitted traces at the frames, with analytic velocities and
// standard errors per axis, in the unit of the marks. A landmark is NaN more
// than half a kick before its first or after its last mark, and more than a kick
// from any mark; towards those limits its standard error grows. Landmarks that
// were not traced are nil.
func (f *Traces) Motion() body.Motion {
	return f.motion(func(th *thread) course { return th.course })
}

// motion lays the courses of all threads over the frames.
func (f *Traces) motion(of func(*thread) course) body.Motion {
	m := body.Motion{T: f.times}
	n := len(f.times)
	for _, th := range f.threads {
		p := &body.Path{X: blank(n), Y: blank(n), VX: blank(n), VY: blank(n), SD: blank(n)}
		co := of(th)
		shown := th.covers(f.clock.period)
		k := 0
		for i, t := range f.times {
			for k < len(th.chain.t) && th.chain.t[k] < t {
				k++
			}
			if k == len(th.chain.t) || th.chain.t[k] != t || !shown[k] {
				continue
			}
			p.X[i], p.Y[i] = co.pos[k][0], co.pos[k][1]
			p.VX[i], p.VY[i] = co.vel[k][0], co.vel[k][1]
			p.SD[i] = th.sd[k]
		}
		m.Paths[th.landmark] = p
	}
	return m
}

// blank returns n NaN.
func blank(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.NaN()
	}
	return out
}
