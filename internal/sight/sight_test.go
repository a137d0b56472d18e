package sight

import (
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/raster"
	"underkick/internal/raster/rastertest"
)

const (
	wide = 400
	high = 225
	rate = 30.0
)

// swim is a dark body of 150 px that crosses the picture once.
type swim struct {
	from      float64 // s, when its head is at the picture's middle
	left      bool
	frequency float64
	pan       float64 // px/s of the camera, along with a swimmer to the right
}

const (
	bodyLong = 150.0
	speed    = 95.0 // px/s over the ground
)

// watch draws seconds of film and lets a Watch see it.
func (s swim) watch(seconds float64) *Watch {
	scene := rastertest.NewScene(1500, -100, -20, 900, high+20, 21)
	rng := rand.New(rand.NewPCG(5, 5))
	var w Watch
	for n := range int(seconds * rate) {
		t := float64(n) / rate
		shift := s.pan * t
		g := scene.Draw(wide, high, func(x, y float64) (float64, float64) { return x + shift, y }, 1.5, rng.Uint64())
		s.draw(g, t, shift)
		w.Add(10+n, t, g)
	}
	return &w
}

// draw paints the body: a bar that tapers to feet which go up and down.
func (s swim) draw(g *raster.Grey, t, shift float64) {
	head := wide/2 + speed*(t-s.from)
	for along := 0.0; along < bodyLong; along += 0.5 {
		x := head - along - shift
		if s.left {
			x = wide - (head - along) - shift
		}
		swing := math.Max(along/bodyLong-0.35, 0) * 28
		y := 110 + swing*math.Sin(2*math.Pi*(s.frequency*t-along/bodyLong*0.7))
		thick := 11 - 7*along/bodyLong
		for d := -thick; d <= thick; d++ {
			if c, r := int(math.Floor(x)), int(math.Floor(y+d)); c >= 0 && c < wide && r >= 0 && r < high {
				g.Pix[r*wide+c] = 35 + 12*float32(math.Sin(along/5))
			}
		}
	}
}

func TestRunIsFoundWhereTheWholeBodyIsInThePicture(t *testing.T) {
	for name, s := range map[string]swim{
		"to the right": {from: 2, frequency: 2.2},
		"to the left":  {from: 2, frequency: 1.8, left: true},
	} {
		t.Run(name, func(t *testing.T) {
			r := s.watch(4.8).Report()
			if len(r.Runs) != 1 {
				t.Fatalf("%d runs, want 1: %+v", len(r.Runs), r.Runs)
			}
			run := r.Runs[0]
			// the feet come in as the head has gone a body's length; the head leaves at the far side
			first := s.from + (bodyLong-wide/2)/speed
			last := s.from + (wide/2)/speed
			gotFirst, gotLast := float64(run.First-10)/rate, float64(run.Last-10)/rate
			t.Logf("%+v; true %.2f to %.2f s, found %.2f to %.2f", run, first, last, gotFirst, gotLast)
			if gotFirst < first-0.1 || gotFirst > first+0.35 || gotLast > last+0.1 || gotLast < last-0.35 {
				t.Errorf("found from %.2f to %.2f s, the body is whole from %.2f to %.2f", gotFirst, gotLast, first, last)
			}
			if run.Right == s.left {
				t.Error("the direction is wrong")
			}
			if math.Abs(run.Frequency/s.frequency-1) > 0.04 {
				t.Errorf("%.2f kicks per second, want %.2f", run.Frequency, s.frequency)
			}
			if want := s.frequency * (gotLast - gotFirst); float64(run.Kicks) > want || float64(run.Kicks) < want-2 {
				t.Errorf("%d kicks in %.2f s", run.Kicks, gotLast-gotFirst)
			}
		})
	}
}

// A camera that goes along keeps the swimmer at one place of the picture.
func TestRunIsFoundByACameraThatGoesAlong(t *testing.T) {
	s := swim{from: 0.2, frequency: 2, pan: 90}
	r := s.watch(3.5).Report()
	if len(r.Runs) != 1 || !r.Moved {
		t.Fatalf("%+v, camera moved %v", r.Runs, r.Moved)
	}
	if run := r.Runs[0]; !run.Right || math.Abs(run.Frequency/2-1) > 0.05 {
		t.Errorf("%+v", run)
	}
}

func TestEmptyPoolHasNoRun(t *testing.T) {
	s := swim{from: 1e6}
	if r := s.watch(2).Report(); len(r.Runs) != 0 {
		t.Errorf("%+v", r.Runs)
	}
	var none Watch
	if r := none.Report(); len(r.Runs) != 0 {
		t.Errorf("%+v", r.Runs)
	}
}

// A body that glides through has a run but no rhythm.
func TestGlideHasNoKicks(t *testing.T) {
	s := swim{from: 2, frequency: 0}
	r := s.watch(4).Report()
	if len(r.Runs) != 1 {
		t.Fatalf("%+v", r.Runs)
	}
	if run := r.Runs[0]; run.Kicks != 0 || !math.IsNaN(run.Frequency) {
		t.Errorf("%+v", run)
	}
}
