package steady

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/raster"
	"underkick/internal/raster/rastertest"
)

const (
	width  = 480
	height = 270
)

// turned is the map of a camera that rolls, zooms, shifts and looks aside a little.
func turned(roll, zoom, dx, dy, yaw float64) Transform {
	sin, cos := math.Sincos(roll)
	c := [2]float64{width / 2, height / 2}
	m := Transform{zoom * cos, -zoom * sin, 0, zoom * sin, zoom * cos, 0, yaw / 600, 0, 1}
	m[2] = c[0] - m[0]*c[0] - m[1]*c[1] + dx
	m[5] = c[1] - m[3]*c[0] - m[4]*c[1] + dy
	return m
}

// hand is the wobble of a camera held by hand at picture n.
func hand(n int) Transform {
	t := float64(n) / 10
	return turned(0.01*math.Sin(0.7*t), 1+0.008*math.Sin(0.9*t), 14*math.Sin(t), 6*math.Sin(1.3*t+0.4)-6*math.Sin(0.4), 0.01*math.Sin(0.5*t))
}

// film draws pictures of a scene through maps, with a swimmer who crosses.
type film struct {
	scene, swimmer *rastertest.Scene
	noise          float64
}

func newFilm() *film {
	return &film{rastertest.NewScene(2600, -500, -150, 1400, 420, 11), rastertest.NewScene(900, -100, -40, 300, 90, 12), 2}
}

func (f *film) picture(n int, m Transform) *raster.Grey {
	back := m.Inverse()
	g := f.scene.Draw(width, height, back.at, f.noise, uint64(n))
	x0 := 20 + 3.1*float64(n) // a body of 120 by 40 px that moves by itself
	body := f.swimmer.Draw(120, 40, shift(0, 0), f.noise, uint64(n)+1e6)
	for y := range body.H {
		for x := range body.W {
			if u, v := int(x0)+x, 110+y; u < width {
				g.Pix[v*width+u] = body.Pix[y*body.W+x]
			}
		}
	}
	return g
}

func (m Transform) at(x, y float64) (float64, float64) { return m.At(x, y) }

func shift(dx, dy float64) raster.Place {
	return func(x, y float64) (float64, float64) { return x + dx, y + dy }
}

// off is the rms distance of two maps over the picture, px.
func off(a, b Transform) float64 {
	sum, n := 0.0, 0.0
	for x := 40.0; x < width; x += 80 {
		for y := 30.0; y < height; y += 60 {
			u, v := a.At(x, y)
			sum += math.Pow(miss(&b, &pair{x, y, u, v}), 2)
			n++
		}
	}
	return math.Sqrt(sum / n)
}

func TestHandHeldCameraIsFollowed(t *testing.T) {
	f := newFilm()
	s, err := New(f.picture(0, hand(0)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	base := hand(0).Inverse()
	var square, still float64
	const pictures = 40
	for n := 1; n < pictures; n++ {
		s.Add(f.picture(n, hand(n)))
		want := hand(n).After(base)
		square += math.Pow(off(s.frames[n].Map, want), 2)
		still += math.Pow(off(identity, want), 2)
	}
	r, err := s.Result()
	if err != nil {
		t.Fatal(err)
	}
	rms := math.Sqrt(square / (pictures - 1))
	t.Logf("rms %.3f px of %.1f; said %.3f", rms, math.Sqrt(still/(pictures-1)), r.DriftPx)
	if rms > 0.15 {
		t.Errorf("rms error %.3f px", rms)
	}
	if r.DriftPx < rms/3 || r.DriftPx > 3*rms {
		t.Errorf("the residual drift is said to be %.3f px and is %.3f", r.DriftPx, rms)
	}
	if r.Lost > 0 || r.Keys != 1 {
		t.Errorf("%d lost, %d keys", r.Lost, r.Keys)
	}
}

// A pan by more than a picture's width and back must end where it began: the first
// key is used again.
func TestPanClosesItsLoop(t *testing.T) {
	f := newFilm()
	f.noise = 1
	pan := func(n int) Transform { return turned(0, 1, -250*(1-math.Cos(math.Pi*float64(n)/35)), 0, 0) }
	s, err := New(f.picture(0, pan(0)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for n := 1; n <= 70; n++ {
		s.Add(f.picture(n, pan(n)))
		worst = max(worst, off(s.frames[n].Map, pan(n)))
	}
	r, err := s.Result()
	if err != nil {
		t.Fatal(err)
	}
	back := off(s.frames[70].Map, identity)
	t.Logf("worst %.3f px, back at the start %.3f px, %d keys, way %.0f px", worst, back, r.Keys, r.TravelPx)
	if back > 0.15 || worst > 1 || r.Keys < 3 || math.Abs(r.TravelPx-500) > 2 {
		t.Errorf("worst %.3f px, back at the start %.3f px, %d keys, way %.0f px", worst, back, r.Keys, r.TravelPx)
	}
}

// rod draws a banded rod in a plane of its own onto a picture.
func rod(g *raster.Grey, plane Transform, ends [2][2]float64) {
	back := plane.Inverse()
	const sub = 4 // samples of a pixel along each axis
	for i := range g.Pix {
		if u, v := back.At(float64(i%g.W), float64(i/g.W)); toSegment(ends[0], ends[1], u, v) > 6 {
			continue
		}
		sum, covered := float32(0), float32(0)
		for k := range sub * sub {
			u, v := back.At(float64(i%g.W)+(float64(k%sub)+0.5)/sub, float64(i/g.W)+(float64(k/sub)+0.5)/sub)
			if toSegment(ends[0], ends[1], u, v) < 3 {
				covered++
				sum += 30 + 180*float32(int(u/40)%2)
			}
		}
		g.Pix[i] += (sum - covered*g.Pix[i]) / (sub * sub)
	}
}

// A camera that moves sees the swimmer's plane shift against the background; the
// rod must tell.
func TestPlaneIsFollowedAgainstTheBackground(t *testing.T) {
	f := newFilm()
	ends := [2][2]float64{{90, 220}, {390, 225}}
	plane := func(n int) Transform { // nearer than the background: half as much again
		p := float64(n) / 9
		return turned(0, 1+0.006*math.Sin(p), 7*math.Sin(p), 3*math.Sin(1.4*p), 0).After(hand(n).After(hand(0).Inverse()))
	}
	draw := func(n int) *raster.Grey {
		g := f.picture(n, hand(n).After(hand(0).Inverse()))
		rod(g, plane(n), ends)
		return g
	}
	s, err := New(draw(0), Options{Plane: ends[:]})
	if err != nil {
		t.Fatal(err)
	}
	var square, without float64
	const pictures = 40
	for n := 1; n < pictures; n++ {
		s.Add(draw(n))
		square += math.Pow(off(s.frames[n].Map, plane(n)), 2)
		without += math.Pow(off(hand(n).After(hand(0).Inverse()), plane(n)), 2)
	}
	r, err := s.Result()
	if err != nil {
		t.Fatal(err)
	}
	rms := math.Sqrt(square / (pictures - 1))
	t.Logf("rms %.3f px, by the background alone %.1f; said %.3f, parallax %.1f", rms, math.Sqrt(without/(pictures-1)), r.DriftPx, r.ParallaxPx)
	if rms > 0.25 || r.PlaneSeen < 0.95 {
		t.Errorf("rms %.3f px, rod seen in %.2f of the pictures", rms, r.PlaneSeen)
	}
}

func TestBlankPicturesAreRefused(t *testing.T) {
	if _, err := New(raster.New(width, height), Options{}); !errors.Is(err, ErrNothingStill) {
		t.Errorf("a blank wall: %v", err)
	}
	f := newFilm()
	s, err := New(f.picture(0, identity), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for range 10 { // then the lamp goes out
		s.Add(raster.New(width, height))
	}
	r, err := s.Result()
	if !errors.Is(err, ErrNothingStill) || r.Lost != 10 {
		t.Errorf("ten black pictures: %v, %d lost", err, r.Lost)
	}
}

// The robust fit gets exact pairs back from among many wrong ones.
func TestFitLeavesOutWhatMovesOtherwise(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	want := turned(0.01, 1.01, 7, -3, 0.02)
	var pairs []pair
	for i := range 200 {
		p := pair{x: rng.Float64() * width, y: rng.Float64() * height}
		p.u, p.v = want.At(p.x, p.y)
		if i%5 < 3 { // three of five are wrong
			p.u, p.v = p.u+40*rng.NormFloat64(), p.v+40*rng.NormFloat64()
		}
		pairs = append(pairs, p)
	}
	got, agree := fitTransform(pairs, [2]float64{width / 2, height / 2}, width/2)
	if e := off(got, want); e > 0.05 || agree < 60 {
		t.Errorf("off by %.3f px with %d agreeing", e, agree)
	}
}

func TestMapsGoBackAndResize(t *testing.T) {
	m := turned(0.03, 1.1, 12, -8, 0.05)
	if e := off(m.After(m.Inverse()), identity); e > 1e-9 {
		t.Errorf("there and back is off by %g px", e)
	}
	big := m.Resized(3)
	x, y := m.At(100, 50)
	u, v := big.At(300, 150)
	if math.Hypot(u-3*x, v-3*y) > 1e-9 {
		t.Errorf("three times the size: (%g, %g), want (%g, %g)", u, v, 3*x, 3*y)
	}
}

func BenchmarkAdd(b *testing.B) {
	f := newFilm()
	s, err := New(f.picture(0, hand(0)), Options{Plane: [][2]float64{{90, 220}, {390, 225}}})
	if err != nil {
		b.Fatal(err)
	}
	g := f.picture(1, hand(1))
	for b.Loop() {
		s.Add(g)
		s.frames = s.frames[:2]
	}
}
