package filming

import (
	"math"
	"testing"
)

const deg = math.Pi / 180

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.6g, want %.6g within %g", what, got, want, tolerance)
	}
}

// Angles of view of rectilinear lenses on a 36 x 24 mm picture, horizontal: closed form
// 2 atan(18/f); 24, 28, 50 mm give 73.7, 65.5, 39.6 deg in any lens table.
func TestFieldOfLens(t *testing.T) {
	for _, c := range []struct{ mm, deg float64 }{{24, 73.74}, {28, 65.47}, {50, 39.60}} {
		near(t, "field", FieldOfLens(c.mm, FullFrameWidth)/deg, c.deg, 0.01)
	}
	near(t, "a lens half as long as its picture is wide", FieldOfLens(1, 2)/deg, 90, 1e-9)
}

// Check 31: the field in water; what it spans at 3 m is 2 d tan(w). Check 32: edge over
// centre at 45 deg in air is 1.199, of the angles' tangents; the local scale across the
// plane follows from Snell's law by hand below.
func TestFlatPortView(t *testing.T) {
	s := Setup{Field: 90 * deg, WidthPx: 1920, HeightPx: 1080, Distance: 3}
	v := s.View()
	near(t, "field in water", v.FieldInWater/deg, 64.07, 0.02)
	near(t, "width", v.Width, 2*3*math.Tan(32.035*deg), 0.002)
	near(t, "px per m", v.PxPerM, 960/(3/1.333), 1e-9) // focal length 960 px at 90 deg
	// Whole way: the picture's half width 960 px for half the width seen.
	near(t, "path", 1+v.PathStretch, 1.199, 0.001) // check 32: the same ratio of tangents
	// Local: dx_px/dX = f sec2(a) da / (d sec2(w) dw), cos(a) da = n cos(w) dw.
	w := math.Asin(math.Sin(45*deg) / 1.333)
	local := 960 / 3.0 * 1.333 * math.Pow(math.Cos(w), 3) / math.Pow(math.Cos(45*deg), 3)
	near(t, "edge", (1+v.EdgeStretch)*v.PxPerM, local, 0.05)
	near(t, "edge of the picture", s.Offset(v.Width/2), 960, 0.01)
	near(t, "to the left", s.Offset(-v.Width/2), -960, 0.01)
}

func TestDomeAndWindow(t *testing.T) {
	s := Setup{Field: 90 * deg, WidthPx: 1920, HeightPx: 1080, Distance: 3, Housing: Dome}
	v := s.View()
	near(t, "dome's field", v.FieldInWater/deg, 90, 1e-9) // it keeps the field (reference notes d13)
	near(t, "dome's width", v.Width, 6, 1e-9)
	near(t, "dome's height", v.Height, 6*1080.0/1920, 1e-9)
	near(t, "dome bends nothing", v.EdgeStretch, 0, 1e-6)
	near(t, "dome bends nothing on the way", v.PathStretch, 0, 1e-12)

	// A window right before the lens is a flat port; one without water would be air.
	flat := Setup{Field: 70 * deg, WidthPx: 1920, HeightPx: 1080, Distance: 4}
	window := flat
	window.Housing = Window
	if flat.View() != window.View() {
		t.Errorf("window at the lens %+v, flat port %+v", window.View(), flat.View())
	}
	window.Behind, window.Distance = 4, 1e-9
	near(t, "all air", window.View().Width, 2*4*math.Tan(35*deg), 1e-6)
	window.PaneWidth = 2
	near(t, "seen through a pane of 2 m right at the swimmer", window.View().Width, 2, 1e-6)
}

// Objects look n times nearer behind a flat port (reference notes d13): 0.3 m nearer
// at 3 m is 10 % of the way in water as in air. Out of plane 0.2 m at 5 m is 4 % (d14).
func TestCloser(t *testing.T) {
	s := Setup{Field: 70 * deg, WidthPx: 1920, HeightPx: 1080, Distance: 5}
	near(t, "0.2 m farther at 5 m", s.Closer(-0.2), 5/5.2-1, 1e-12)
	near(t, "0.2 m nearer at 5 m", s.Closer(0.2), 5/4.8-1, 1e-12)
	near(t, "first order", s.ScaleError(0.2), 0.04, 1e-12)
	s.Housing = Dome
	near(t, "dome", s.ScaleError(0.2), 0.04, 1e-12)
	s.Housing, s.Behind, s.Distance = Window, 2, 3
	near(t, "window", s.ScaleError(0.2), 0.15/(2+2.25), 1e-4)
	if !math.IsNaN(s.Closer(3)) {
		t.Error("a swimmer at the window has a scale")
	}
	near(t, "camera 1 m lower", s.Turn(2, 1), math.Atan(1.0/5), 1e-12)
}

// Reference notes d12: one frame of a kick of 0.45 s is 8.9, 4.4, 3.7, 1.9, 0.9 % at
// 25, 50, 60, 120, 240 Hz; an event lies within half of it.
func TestTiming(t *testing.T) {
	for _, c := range []struct{ rate, percent float64 }{{25, 8.9}, {50, 4.4}, {60, 3.7}, {120, 1.9}, {240, 0.9}} {
		s, share := Timing(c.rate, 1/0.45)
		near(t, "half of one frame", 200*share, c.percent, 0.05)
		near(t, "in seconds", s, 0.5/c.rate, 1e-12)
	}
	// Check 36: a toe on a sine of 2 Hz and 0.46 m peaks at 2.890 m/s; with 1/100 s and a
	// foot of 0.25 m it smears over 0.1156 foot lengths.
	near(t, "blur", Blur(2.890, 0.01, 0.25), 0.1156, 1e-4)
}

// Whole kicks counted on a grid of phases, against the two numbers given.
func TestKicks(t *testing.T) {
	for way := 0.05; way < 6; way += 0.1 {
		least, most := math.MaxInt, 0
		for phase := 0.005; phase < 1; phase += 0.01 {
			tops := 0
			for x := phase; x <= way; x++ {
				tops++
			}
			n := max(tops-1, 0)
			least, most = min(least, n), max(most, n)
		}
		if l, m := Kicks(way); l != least || m != most {
			t.Errorf("a way of %.2f kicks: %d to %d, counted %d to %d", way, l, m, least, most)
		}
	}
	if l, m := Kicks(math.NaN()); l != 0 || m != 0 {
		t.Error("an unknown way holds kicks")
	}
}

// ISO 2720: 250 lx s at f/2 and ISO 1600 in 250 lx is 1/400 s.
func TestShutterIn(t *testing.T) {
	near(t, "bright hall", Lights()[1].ShutterIn(60), 1.0/400, 1e-9)
	near(t, "capped by the rate", Light{Lux: 1}.ShutterIn(120), 1.0/120, 1e-9)
	near(t, "capped by the shutter", Light{Lux: 1e6}.ShutterIn(120), 1.0/8000, 1e-12)
}

func TestNoCamera(t *testing.T) {
	for _, s := range []Setup{{}, {Field: 4, WidthPx: 1, HeightPx: 1, Distance: 1}, {Field: 1, WidthPx: 1, HeightPx: 1, Distance: math.NaN()}} {
		if v := s.View(); !math.IsNaN(v.Width) || !math.IsNaN(s.Offset(1)) || !math.IsNaN(s.Closer(0.1)) {
			t.Errorf("%+v sees %+v", s, v)
		}
	}
}
