package drawing

import (
	"math"
	"testing"
)

// waters are what film is drawn on: pool water by day, deep or evening water, pale tiles
// and the white of bubbles. Our choice; no source.
var waters = map[string]Colour{
	"blue water": {0x3c, 0x8c, 0xb4, 255}, "light water": {0x7f, 0xc4, 0xd8, 255}, "dark water": {0x0c, 0x2a, 0x3c, 255},
	"pale tiles": {0xd8, 0xe6, 0xe4, 255}, "bubbles": {0xff, 0xff, 0xff, 255},
}

// WCAG 2.2 (W3C Recommendation, 2023), 1.4.11: parts of drawings that carry meaning need
// a contrast of 3 against what is beside them.
const leastContrast = 3.0

// TestEveryStrokeShowsOnAnyWater: a stroke is told from its casing, and of the two at
// least one from the water.
func TestEveryStrokeShowsOnAnyWater(t *testing.T) {
	for role := range palette {
		if role == Casing {
			continue
		}
		for name, water := range waters {
			casing, stroke := over(Casing.Colour(), water), over(role.Colour(), water)
			if c := contrast(stroke, casing); c < leastContrast {
				t.Errorf("%s on its casing on %s has contrast %.2f", role, name, c)
			}
			if c := math.Max(contrast(stroke, water), contrast(casing, water)); c < leastContrast {
				t.Errorf("%s with casing on %s has contrast %.2f", role, name, c)
			}
		}
	}
}

// blindness are the simulation matrices for full protanopia, deuteranopia and
// tritanopia, applied to linear RGB: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes,
// A Physiologically-based Model for Simulation of Color Vision Deficiency, IEEE
// Transactions on Visualization and Computer Graphics 15(6), 2009,
// doi:10.1109/TVCG.2009.113, severity 1.0.
var blindness = map[string][9]float64{
	"full vision": {1, 0, 0, 0, 1, 0, 0, 0, 1},
	"protan":      {0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998},
	"deutan":      {0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881},
	"tritan":      {1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900},
}

// leastApart is the distance in CIE L*a*b* (CIE76) that two colours of the drawing keep;
// about 2.3 is just seen (M. Mahy et al., Color Research and Application 19, 1994). Ten
// times that is our choice for thin lines.
const leastApart = 23

// TestColoursAreToldApartByColourBlindEyes holds each pair of different colours apart
// under every kind of vision.
func TestColoursAreToldApartByColourBlindEyes(t *testing.T) {
	colours := []Colour{pale, dark, orange, blue}
	for kind, m := range blindness {
		for i, a := range colours {
			for _, b := range colours[i+1:] {
				if d := apart(see(a, m), see(b, m)); d < leastApart {
					t.Errorf("%s: %s and %s are %.1f apart", kind, a.Hex(), b.Hex(), d)
				} else if testing.Verbose() {
					t.Logf("%s: %s and %s are %.1f apart", kind, a.Hex(), b.Hex(), d)
				}
			}
		}
	}
}

// TestVisionArithmetic holds the arithmetic against known values: contrast of black on
// white is 21 (definition in WCAG 2.2), white is L* 100, sRGB red is L* 53.24, a* 80.09,
// b* 67.20 (D65; from memory), and every matrix leaves grey as it is.
func TestVisionArithmetic(t *testing.T) {
	black, white := Colour{0, 0, 0, 255}, Colour{255, 255, 255, 255}
	if c := contrast(black, white); math.Abs(c-21) > 0.001 {
		t.Errorf("contrast of black on white is %v", c)
	}
	if got := lab(linear(Colour{255, 0, 0, 255})); math.Abs(got[0]-53.24) > 0.05 || math.Abs(got[1]-80.09) > 0.1 || math.Abs(got[2]-67.20) > 0.1 {
		t.Errorf("red is %v in L*a*b*", got)
	}
	for kind, m := range blindness {
		for row := range 3 {
			if sum := m[3*row] + m[3*row+1] + m[3*row+2]; math.Abs(sum-1) > 1e-5 {
				t.Errorf("%s: row %d sums to %v", kind, row, sum)
			}
		}
	}
}

func TestEveryRoleHasAColour(t *testing.T) {
	for _, r := range []Role{Casing, Body, Halo, Travel, Hatch, Path, Speed, Lead, Label} {
		if r.Colour().A == 0 {
			t.Errorf("role %s is not seen", r)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("an unknown role has a colour")
		}
	}()
	Role("glow").Colour()
}

// over is a colour laid over another one by its opacity.
func over(c, ground Colour) Colour {
	mix := func(a, b uint8) uint8 {
		return uint8(math.Round((float64(a)*float64(c.A) + float64(b)*float64(255-c.A)) / 255))
	}
	return Colour{mix(c.R, ground.R), mix(c.G, ground.G), mix(c.B, ground.B), 255}
}

func linear(c Colour) (out [3]float64) {
	for i, v := range []uint8{c.R, c.G, c.B} {
		if x := float64(v) / 255; x <= 0.04045 {
			out[i] = x / 12.92
		} else {
			out[i] = math.Pow((x+0.055)/1.055, 2.4)
		}
	}
	return out
}

func luminance(c Colour) float64 {
	l := linear(c)
	return 0.2126*l[0] + 0.7152*l[1] + 0.0722*l[2]
}

func contrast(a, b Colour) float64 {
	hi, lo := luminance(a), luminance(b)
	if hi < lo {
		hi, lo = lo, hi
	}
	return (hi + 0.05) / (lo + 0.05)
}

// see is a colour as a kind of vision sees it, linear RGB within 0..1.
func see(c Colour, m [9]float64) (out [3]float64) {
	l := linear(c)
	for i := range out {
		out[i] = math.Min(math.Max(m[3*i]*l[0]+m[3*i+1]*l[1]+m[3*i+2]*l[2], 0), 1)
	}
	return out
}

// lab is a linear sRGB colour in CIE L*a*b*, D65.
func lab(l [3]float64) [3]float64 {
	x := (0.4124564*l[0] + 0.3575761*l[1] + 0.1804375*l[2]) / 0.95047
	y := 0.2126729*l[0] + 0.7151522*l[1] + 0.0721750*l[2]
	z := (0.0193339*l[0] + 0.1191920*l[1] + 0.9503041*l[2]) / 1.08883
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	return [3]float64{116*f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))}
}

func apart(a, b [3]float64) float64 {
	p, q := lab(a), lab(b)
	return math.Sqrt(math.Pow(p[0]-q[0], 2) + math.Pow(p[1]-q[1], 2) + math.Pow(p[2]-q[2], 2))
}
