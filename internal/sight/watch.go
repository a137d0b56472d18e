package sight

import (
	"underkick/internal/camera/steady"
	"underkick/internal/raster"
)

// Watch gathers the pictures of a clip in order of time.
type Watch struct {
	frames   []int     // numbers of the pictures in the clip
	times    []float64 // s
	pictures [][]uint8 // small
	w, h     int       // of the small pictures
	scale    float64   // px of the pictures handed in per small px
	steady   *steady.Steadier
	still    bool // nothing was found to follow: the camera is taken to stand
}

// Numbers of the watching.
const (
	smallWidth  = 400 // px; larger pictures are halved until they are not wider
	steadyEvery = 3   // pictures; the camera is followed in every third, which is smooth enough
)

// Add takes the picture of frame number n at time t, s. All pictures must have the
// same size, about 640 px wide, and times must rise; it panics otherwise.
func (w *Watch) Add(n int, t float64, g *raster.Grey) {
	if len(w.times) > 0 && t <= w.times[len(w.times)-1] {
		panic("sight: pictures in order of time are needed")
	}
	w.follow(g)
	small := g
	for small.W > smallWidth {
		small = small.Halve()
	}
	if w.pictures == nil {
		w.w, w.h, w.scale = small.W, small.H, float64(g.W)/float64(small.W)
	}
	if small.W != w.w || small.H != w.h {
		panic("sight: pictures of one size are needed")
	}
	b := make([]uint8, len(small.Pix))
	for i, v := range small.Pix {
		b[i] = uint8(min(max(v+0.5, 0), 255))
	}
	w.frames, w.times, w.pictures = append(w.frames, n), append(w.times, t), append(w.pictures, b)
}

func (w *Watch) follow(g *raster.Grey) {
	switch {
	case w.still || len(w.pictures)%steadyEvery != 0:
	case w.steady == nil:
		var err error
		w.steady, err = steady.New(g, steady.Options{})
		w.still = err != nil
	default:
		w.steady.Add(g)
	}
}

// stillPx is the way of the picture's middle, px of the pictures handed in, below
// which the camera stands.
const stillPx = 3.0

// maps returns the map from the first small picture to each, and whether the camera
// moved.
func (w *Watch) maps() (maps []steady.Transform, moved bool) {
	maps = make([]steady.Transform, len(w.pictures))
	for i := range maps {
		maps[i] = steady.Transform{1, 0, 0, 0, 1, 0, 0, 0, 1}
	}
	if w.still {
		return maps, false
	}
	r, err := w.steady.Result()
	if err != nil || r.TravelPx < max(stillPx, 4*r.DriftPx) {
		return maps, false
	}
	for i := range maps {
		a := i / steadyEvery
		b := min(a+1, len(r.Frames)-1)
		f := float64(i%steadyEvery) / steadyEvery
		for k := range maps[i] {
			maps[i][k] = (1-f)*r.Frames[a].Map[k] + f*r.Frames[b].Map[k]
		}
		maps[i] = maps[i].Resized(1 / w.scale)
	}
	return maps, true
}
