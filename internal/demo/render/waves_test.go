package render

import (
	"math"
	"testing"
)

// Light is neither made nor lost by the waves: the pattern's mean is 1, and over flat
// water it is even.
func TestCausticsKeepTheLight(t *testing.T) {
	c := newCaustics()
	c.fill(waves(0.08, 5), 0.4, 1.6)
	sum, brightest := 0.0, 0.0
	for _, v := range c.cell {
		sum += float64(v)
		brightest = max(brightest, float64(v))
	}
	mean := sum / float64(len(c.cell))
	if mean < 0.97 || mean > 1.001 { // a few of the brightest cells are capped
		t.Errorf("mean brightness %.4f", mean)
	}
	if brightest < 1.8 {
		t.Errorf("brightest place %.2f: there is no pattern", brightest)
	}
	c.fill(waves(0, 5), 0.4, 1.6)
	for _, v := range c.cell {
		if math.Abs(float64(v)-1) > 1e-3 {
			t.Fatalf("flat water throws %.4f", v)
		}
	}
}

// The slopes have the root mean square asked for, and the pattern's quick cosine is one.
func TestWaves(t *testing.T) {
	list := waves(0.08, 7)
	sum := 0.0
	for i := range 4000 {
		x, z := hash(i, 0, 1)*patch, hash(i, 1, 1)*patch
		sx, sz := tilt(list, 0.3, x, z, 0, 0)
		sum += sx*sx + sz*sz
	}
	if rms := math.Sqrt(sum / 4000); math.Abs(rms-0.08) > 0.008 {
		t.Errorf("slopes of %.4f, asked for 0.08", rms)
	}
	for a := -50.0; a < 50; a += 0.37 {
		if math.Abs(quickCos(a)-math.Cos(a)) > 2e-3 {
			t.Fatalf("quickCos(%.2f) = %.4f, cos = %.4f", a, quickCos(a), math.Cos(a))
		}
	}
}

// Stripes drawn by covered share keep their area at every footprint.
func TestStripe(t *testing.T) {
	for _, foot := range []float64{0.001, 0.02, 0.1, 0.7} {
		sum := 0.0
		const n = 20000
		for i := range n {
			sum += stripe(3*(float64(i)+0.5)/n-1.5, 0.25, 0.02, foot)
		}
		if got := sum / n; math.Abs(got-0.02/0.25) > 0.002 {
			t.Errorf("footprint %.3f m: the stripes cover %.4f, want 0.08", foot, got)
		}
	}
	if stripe(0.25, 0.25, 0.02, 0.001) != 1 || stripe(0.125, 0.25, 0.02, 0.001) != 0 {
		t.Error("a stripe is not where it belongs")
	}
}

func TestFade(t *testing.T) {
	for x := 0.0; x < 7; x += 0.013 {
		if math.Abs(fade(x)-math.Exp(-x)) > 1e-6 {
			t.Fatalf("fade(%.3f) = %.8f", x, fade(x))
		}
	}
	if fade(-1) != 1 {
		t.Error("nothing is brighter than undimmed")
	}
}

// Softening spreads light but keeps it, and by the standard deviation asked for.
func TestSoften(t *testing.T) {
	p := newPicture(41, 41)
	p.r[20*41+20] = 1
	p.soften(1.5)
	sum, second := 0.0, 0.0
	for i, v := range p.r {
		x := float64(i%41 - 20)
		sum += float64(v)
		second += float64(v) * x * x
	}
	if math.Abs(sum-1) > 1e-4 || math.Abs(math.Sqrt(second)-1.5) > 0.08 {
		t.Errorf("light %.5f, spread %.3f px, want 1 and 1.5", sum, math.Sqrt(second))
	}
}

// A bubble rises at its final speed once it has lost the speed of its release.
func TestBubbleRises(t *testing.T) {
	b := Bubble{Born: 1, Y: -1.5, VX: 2, Rise: 0.2, Radius: 0.002}
	if _, ok := b.at(0.9); ok {
		t.Error("a bubble is seen before its release")
	}
	p, _ := b.at(3)
	q, _ := b.at(4)
	if math.Abs(q.y-p.y-0.2) > 1e-3 || math.Abs(p.x-2*bubbleDrag) > 1e-3 {
		t.Errorf("rises %.4f m in a second, drifts %.4f m", q.y-p.y, p.x)
	}
	if _, ok := b.at(20); ok {
		t.Error("a bubble has left the water")
	}
}
