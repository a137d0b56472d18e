package poolside

import (
	"context"
	"errors"
	"fmt"
	"math"

	"underkick/internal/camera"
	"underkick/internal/camera/steady"
	"underkick/internal/film"
	"underkick/internal/raster"
)

// Steadied is how a clip's camera moved, with the view that follows it.
type Steadied struct {
	View       camera.View
	DriftPx    float64 // residual drift, px of the clip
	ParallaxPx float64 // largest shift of the swimmer's plane against the background, px of the clip
	TravelPx   float64 // largest way of the picture's middle, px of the clip
	PlaneSeen  float64 // share of the pictures in which the points of the plane were found
	Keys, Lost int     // key pictures made; pictures in which too little was found again

	steps []camera.Step
}

// steadyRequest says what to steady.
type steadyRequest struct {
	engine   *film.Engine
	path     string
	index    *film.Index
	first    int          // frames first to last
	last     int          //
	base     int          // frame that the view was given for, in first..last
	view     camera.View  // of the base frame
	plane    [][2]float64 // points of the plane in the base frame, px of the clip
	factor   float64      // from film time to true time
	progress func(done, total int)
}

// steadyWidth is the width, px, to which pictures are reduced: an error of a tenth
// of its pixels is a few millimetres in the pool.
const steadyWidth = 640

// steadyRate is how many pictures per second of true time are looked at, about:
// hands are slower, and wandering light has changed from one to the next.
const steadyRate = 25.0

// mostBefore bounds the pictures held in memory because they come before the base.
const mostBefore = 720

// steadyView follows the camera through the run, from the base frame forwards and
// backwards.
func steadyView(ctx context.Context, req steadyRequest) (*Steadied, error) {
	if req.base-req.first > mostBefore {
		return nil, inputf("the plane's frame %d is more than %d frames after the start of the run; give the plane for an earlier frame", req.base, mostBefore)
	}
	width := min(req.index.Info.Width, steadyWidth)
	k := &steadying{
		req: req, scale: float64(req.index.Info.Width) / float64(width),
		step: max(1, int(math.Round(req.index.Info.FPS/req.factor/steadyRate))),
	}
	wanted := film.Request{From: req.first, To: req.last + 1, Width: width}
	_, err := req.engine.Decode(ctx, req.path, wanted, k.take)
	switch {
	case errors.Is(err, steady.ErrNothingStill):
		return nil, inputf("steady %s: %w", req.index.Info.Name, err)
	case err != nil:
		return nil, fmt.Errorf("steady %s: %w", req.index.Info.Name, err)
	}
	return k.result()
}

// steadying takes the pictures as they are decoded.
type steadying struct {
	req      steadyRequest
	scale    float64      // clip px per px of the reduced pictures
	step     int          // every so many pictures are looked at; between them the camera goes evenly
	bent     [][2]float64 // of every pixel of a straight picture its place in the bent one; nil until needed
	before   []*raster.Grey
	forward  *steady.Steadier
	backward *steady.Steadier
}

func (k *steadying) take(p film.Picture) error {
	defer func() {
		if k.req.progress != nil {
			k.req.progress(p.N-k.req.first+1, k.req.last-k.req.first+1)
		}
	}()
	if (p.N-k.req.base)%k.step != 0 {
		return nil
	}
	g := k.straight(raster.FromBytes(p.Width, p.Height, p.Data))
	switch {
	case p.N < k.req.base:
		k.before = append(k.before, g)
		return nil
	case p.N > k.req.base:
		k.forward.Add(g)
		return nil
	}
	opt := steady.Options{Plane: make([][2]float64, len(k.req.plane))}
	lens := k.req.view.Lens()
	for i, q := range k.req.plane {
		x, y := lens.Straight(q[0], q[1])
		opt.Plane[i] = [2]float64{x / k.scale, y / k.scale}
	}
	var err error
	if k.forward, err = steady.New(g, opt); err != nil {
		return err
	}
	if len(k.before) == 0 {
		return nil
	}
	if k.backward, err = steady.New(g, opt); err != nil {
		return err
	}
	for i := len(k.before) - 1; i >= 0; i-- {
		k.backward.Add(k.before[i])
	}
	k.before = nil
	return nil
}

// straight undoes the view's lens in a picture, since the camera's motion is a
// projective map only between pictures in which straight lines are straight. What the
// lens did not show repeats the picture's edge.
func (k *steadying) straight(g *raster.Grey) *raster.Grey {
	lens := k.req.view.Lens()
	if !lens.Bends() {
		return g
	}
	if k.bent == nil {
		k.bent = make([][2]float64, g.W*g.H)
		for i := range k.bent {
			x, y := lens.Bent((float64(i%g.W)+0.5)*k.scale, (float64(i/g.W)+0.5)*k.scale)
			k.bent[i] = [2]float64{x / k.scale, y / k.scale}
		}
	}
	out := raster.New(g.W, g.H)
	for i, p := range k.bent {
		if !math.IsNaN(p[0]) {
			out.Pix[i] = float32(g.At(p[0], p[1]))
		}
	}
	return out
}

func (k *steadying) result() (*Steadied, error) {
	out := &Steadied{}
	var steps []camera.Step
	var square, pictures float64
	add := func(s *steady.Steadier, direction int) error {
		if s == nil {
			return nil
		}
		r, err := s.Result()
		if err != nil {
			return inputf("steady %s: %w", k.req.index.Info.Name, err)
		}
		n := float64(len(r.Frames))
		square, pictures = square+n*r.DriftPx*r.DriftPx, pictures+n
		out.PlaneSeen += n * r.PlaneSeen
		out.Keys, out.Lost = out.Keys+r.Keys, out.Lost+r.Lost
		out.TravelPx = max(out.TravelPx, r.TravelPx*k.scale)
		out.ParallaxPx = max(out.ParallaxPx, r.ParallaxPx*k.scale)
		for i, f := range r.Frames {
			if i == 0 && direction < 0 {
				continue // the base is in the other
			}
			frame := k.req.base + direction*i*k.step
			steps = append(steps, camera.Step{Time: k.req.index.Frames[frame].Time * k.req.factor, Map: f.Map.Resized(k.scale)})
		}
		return nil
	}
	if err := errors.Join(add(k.forward, 1), add(k.backward, -1)); err != nil {
		return nil, err
	}
	out.DriftPx, out.PlaneSeen = math.Sqrt(square/pictures)*k.scale, out.PlaneSeen/pictures
	out.steps = steps
	var err error
	out.View, err = camera.Steadied(k.req.view, steps, out.DriftPx, float64(k.req.index.Info.Width)/2)
	return out, err
}
