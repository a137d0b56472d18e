package hydro

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.6g, want %.6g +- %g", what, got, want, tol)
	}
}

// Reference-notes (f) check 20: Narita, Nakashima and Takagi 2017 (J Biomech
// 54:123-128) measured 23.5 v2 N; a drag area of 47/998 m2 is the same law. The tows
// of Haskins et al. 2024 (20 N at 1 m/s, 100 N at 2 m/s) agree within 18 and 6 %.
func TestPassiveDragPublished(t *testing.T) {
	area := 2 * 23.5 / Density
	near(t, "1.0 m/s", Drag(Density, area, 1.0), 23.5, 0.05)
	near(t, "1.5 m/s", Drag(Density, area, 1.5), 52.9, 0.05)
	near(t, "2.0 m/s", Drag(Density, area, 2.0), 94.0, 0.05)
	near(t, "tow at 1 m/s", Drag(Density, area, 1)/20, 1, 0.18)
	near(t, "tow at 2 m/s", Drag(Density, area, 2)/100, 1, 0.061)
	near(t, "against the swim", Drag(Density, area, -1), -23.5, 0.05)
	// The default area lies in the span of those sources, and all of them in the range.
	for _, a := range []float64{area, 2 * 20 / Density, 2 * 100 / (4 * Density), Default().PassiveArea} {
		if a < PassiveAreaRange[0]-1e-3 || a > PassiveAreaRange[1]+1e-3 {
			t.Errorf("area %.4f m2 outside %v", a, PassiveAreaRange)
		}
	}
}

// Check 21: wave drag of 11.5 N was 12.1 % of the total at 1.89 m/s (Toussaint, van
// Stralen and Stevens 2002, ISBS XX, 279-282): 95.0 N in front crawl. The drag area
// that belongs to it must lie above the passive one of Narita et al. by no more than
// the factor that separates crawl at the surface from a streamline below it.
func TestFrontCrawlDragPublished(t *testing.T) {
	total := 11.5 / 0.121
	near(t, "total drag", total, 95.0, 0.5)
	area := total / Drag(Density, 1, 1.89)
	near(t, "area", area, 0.0533, 0.0003)
	if area < PassiveAreaRange[1] || area > PassiveAreaRange[1]*1.5 {
		t.Errorf("area %.4f m2 is not that of an active swimmer", area)
	}
}

// Checks 15, 17, 18: Zamparo et al. 2002 printed 0.61 and Zamparo et al. 2006 0.62
// for flutter kicking at 0.8 m/s and 1.6 Hz, c = 2.33 f; the rest is the formula, and
// Shimojo et al. 2019 gave 0.77 (as quoted elsewhere), c/v = 1.85.
func TestSlenderEfficiencyPublished(t *testing.T) {
	c := 2.33 * 1.6
	near(t, "wave speed", c, 3.728, 1e-9)
	near(t, "flutter", SlenderEfficiency(0.8, c), 0.607, 5e-4)
	for _, printed := range []float64{0.61, 0.62} {
		near(t, "printed", SlenderEfficiency(0.8, c), printed, 0.015)
	}
	for ratio, want := range map[float64]float64{1.5: 0.8333, 2: 0.75, 2.8: 0.6786} {
		near(t, "ratio", SlenderEfficiency(1, ratio), want, 1e-4)
		near(t, "and back", WaveOverSpeed(SlenderEfficiency(1, ratio)), ratio, 1e-12)
	}
	near(t, "0.77 back to c/v", WaveOverSpeed(0.77), 1.852, 0.001)
}

// Check 35, reference-notes d4: the worked example of Lighthill's small-amplitude theory.
func TestSlenderExample(t *testing.T) {
	v := Wave{A: 0.25, F: 2.2, C: 3, U: 1.5, S: 0.20}
	thrust, power := v.Slender(1000)
	near(t, "m", 1000*math.Pi*0.2*0.2/4, 31.416, 0.01)
	near(t, "thrust", thrust, 70.35, 0.01)
	near(t, "power", power, 140.69, 0.01)
	near(t, "efficiency", thrust*v.U/power, 0.750, 1e-6)
	near(t, "formula", SlenderEfficiency(v.U, v.C), thrust*v.U/power, 1e-12)
}

// Checks 23-26, reference-notes d7: k 23.5 kg/m, 70 kg and 17.5 kg of water.
func TestGlideExample(t *testing.T) {
	g := NewGlide(23.5, 70, 17.5)
	near(t, "rate", g.Rate, 0.26857, 1e-4)
	near(t, "length", g.Length(), 3.7234, 1e-4)
	x, dt := g.Slowing(2.5, 1.9)
	near(t, "way from 2.5 to 1.9", x, 1.0218, 1e-3)
	near(t, "time from 2.5 to 1.9", dt, 0.4703, 1e-3)
	near(t, "speed after 1 s", g.SpeedAfter(2.5, 1), 1.4957, 1e-3)
	near(t, "way after 1 s", g.DistanceAfter(2.5, 1), 1.9126, 1e-3)
	// A streamlined adult of 75 kg: 2 M (1 + added)/(rho CdA), by hand 4.175 m.
	near(t, "adult", NewGlide(Density*0.045/2, 75, GlideAdded*75).Length(), 2*75*1.25/(998*0.045), 1e-3)
	// Elite dives, 2.18 to 1.76 m/s in 2 m: slower decay than a glide's 0.27 per m.
	near(t, "apparent rate", GlideBetween(2.18, 1.76, 2).Rate, 0.1070, 1e-3)
}
