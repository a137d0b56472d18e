package steady

import (
	"fmt"
	"math"
	"runtime"
	"sync"
)

// Result is how the camera moved through all pictures.
type Result struct {
	Frames []Frame // in the order in which the pictures came, the base first
	Keys   int     // key pictures made
	// DriftPx is the residual drift: the rms over the pictures of the map's standard
	// error and of what is left between the map and the plane's points, px.
	DriftPx float64
	// ParallaxPx is the largest shift of the plane's points against the background, px; with
	// no points of the plane it is not known and 0.
	ParallaxPx float64
	PlaneSeen  float64 // share of the pictures in which points of the plane were found
	TravelPx   float64 // largest way of the picture's middle from the base, px
	Lost       int     // pictures in which too little was found again
}

// Result returns what was found so far. The error wraps ErrNothingStill where too
// many pictures were lost.
func (s *Steadier) Result() (Result, error) {
	r := Result{Frames: s.frames, Keys: len(s.keys)}
	sum, n, seen := 0.0, 0, 0
	for i := range s.frames[1:] {
		f := &s.frames[1+i]
		r.TravelPx = max(r.TravelPx, s.way(f.Map))
		if f.Lost {
			r.Lost++
			continue
		}
		sum += f.Random*f.Random + f.Bend*f.Bend
		n++
		if f.InPlane > 0 {
			seen++
		}
		r.ParallaxPx = max(r.ParallaxPx, math.Hypot(f.Parallax[0], f.Parallax[1]))
	}
	if n > 0 {
		r.DriftPx, r.PlaneSeen = math.Sqrt(sum/float64(n)), float64(seen)/float64(n)
	}
	if float64(r.Lost) > mostLost*float64(len(s.frames)) {
		return r, fmt.Errorf("%w: in %d of %d pictures too little of what stands still was found again", ErrNothingStill, r.Lost, len(s.frames))
	}
	return r, nil
}

// each runs fn for 0..n-1 on all cores.
func each(n int, fn func(i int)) {
	workers := max(1, min(runtime.GOMAXPROCS(0), n/32))
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for i := w; i < n; i += workers {
				fn(i)
			}
		})
	}
	wg.Wait()
}
