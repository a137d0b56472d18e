package wall

import (
	"math"
	"testing"

	"underkick/internal/hydro"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.6g, want %.6g within %g", what, got, want, tol)
	}
}

// reference is the swimmer of the specification's worked values: 75 kg, water carried 0.25,
// drag area gliding 0.045 and kicking 0.0865 m2, kicking speed 1.6 m/s.
func reference(glideArea float64) stretch {
	return stretch{
		glide: hydro.NewGlide(hydro.Density*glideArea/2, 75, 0.25*75),
		kick:  Kicking{Speed: 1.6, Length: 2 * 75 * 1.25 / (hydro.Density * 0.0865)},
		x0:    1, v0: 2.6, surface: 1.8, period: 1 / 2.2,
	}
}

// Worked values of an independent prototype of the model (test value table of the
// specification, hydrodynamics.md section 15): lengths and crossing speed to 1e-3.
func TestWorkedValues(t *testing.T) {
	s := reference(0.045)
	near(t, "glide length", s.glide.Length(), 4.175, 1e-3)
	near(t, "kick length", s.kick.Length, 2.172, 1e-3)
	near(t, "crossing speed", s.kick.Crossing(s.glide.Length()), 2.310, 1e-3)
	_, at := s.begin(2)
	v, _ := s.begin(2)
	total := at + s.kick.TimeTo(v, 8) + 5/1.8
	near(t, "time from 1 to 15 m", total, 8.035, 1e-3)
}

// Reference notes (f), checks 23 to 25, closed form of d7: k 23.5 kg/m (Narita, Nakashima
// and Takagi 2017, J Biomech 54:123-128), 70 kg, a quarter of it carried (Caspersen et al. 2010, J
// Biomech 43:2369-2373).
func TestGlideClosedForm(t *testing.T) {
	g := hydro.NewGlide(23.5, 70, 17.5)
	near(t, "rate", g.Rate, 0.26857, 1e-5)
	near(t, "length", g.Length(), 3.7234, 1e-4)
	s := stretch{glide: g, v0: 2.5, kick: Kicking{Speed: 1.5, Length: 2}}
	x, took := g.Slowing(2.5, 1.9)
	near(t, "distance from 2.5 to 1.9 m/s", x, 1.0218, 1e-3)
	v, at := s.begin(x)
	near(t, "its time", at, 0.4703, 1e-3)
	near(t, "its end", v, 1.9, 1e-9)
	near(t, "time again", took, at, 1e-9)
	near(t, "speed after 1 s", g.SpeedAfter(2.5, 1), 1.4957, 1e-3)
	near(t, "way after 1 s", g.DistanceAfter(2.5, 1), 1.9126, 1e-3)
}

// Check 26: apparent decay of the means 2.18 and 1.76 m/s over 2 m (Houel et al. 2013, J Appl
// Biomech 29:49-54, rows P03, P04): below the passive 0.27 per metre, so kicks are in it.
func TestApparentDecay(t *testing.T) {
	f, err := GlideBetween(Given{Value: 2.18, SD: 0.21}, Given{Value: 1.76, SD: 0.15}, 2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "decay", f.Rate, 0.1070, 1e-3)
	// With kicks, from 2.18 at 5.5 m, a swimmer of 1.6 to 1.7 m/s is at 7.5 m within the
	// printed 1.76 +- 0.15; without kicks he is not.
	s := reference(0.045)
	near(t, "7.5 m at 1.6", s.kick.SpeedAt(2.18, 2), 1.71, 0.005)
	s.kick.Speed = 1.7
	near(t, "7.5 m at 1.7", s.kick.SpeedAt(2.18, 2), 1.76, 0.15)
	if v := s.glide.SpeedAt(2.18, 2); v > 1.76-0.15 {
		t.Errorf("a pure glide keeps %.2f m/s", v)
	}
}

// Check 27: national swimmers' backstroke push-off glides (Trinidad-Morales et al. 2024, PLoS
// ONE, row P38): 1.01 m at a mean of 2.12 m/s take the printed 0.50 s within 6 %. Here the glide
// that begins at the speed which gives that mean.
func TestPushOffGlide(t *testing.T) {
	g := reference(0.045).glide
	v0 := 2.12
	for range 50 { // the starting speed whose mean over 1.01 m is 2.12
		v0 *= 2.12 / (1.01 / g.TimeTo(v0, 1.01))
	}
	near(t, "time", g.TimeTo(v0, 1.01), 0.50, 0.03)
	if v0 < 2.12 || v0 > 2.6 {
		t.Errorf("starting speed %.2f", v0)
	}
	// P34 to P37: those swimmers push off at 2.1 to 2.4 m/s and first kick 1.0 to 1.4 m on. By the
	// speed rule that is early for slow and right for fast kickers: at 1.37 m men still have
	// more speed than the published 1.9 m/s at which to begin.
	if v := g.SpeedAt(2.36, 1.37); v < 1.6 || v > 2.0 {
		t.Errorf("speed at the first kick %.2f", v)
	}
}

// Where to begin after a dive: after 6 m (Houel et al. 2013, row P02; Elipot et al. 2009, quoted,
// about 6 m). From an assumed 3.6 m/s at 4 m the model gives 5.2 to 7.9 m for kicking speeds of
// 1.45 to 1.9 m/s and drag areas of 0.038 to 0.045 m2.
func TestWhereToBeginAfterADive(t *testing.T) {
	for _, vk := range []float64{1.45, 1.6, 1.75, 1.9} {
		for _, area := range []float64{0.040, 0.045} {
			s := reference(area)
			s.kick.Speed, s.x0, s.v0 = vk, 4, 3.6
			x, _ := s.glide.Slowing(3.6, s.kick.Crossing(s.glide.Length()))
			if at := 4 + x; at < 5.0 || at > 7.9 {
				t.Errorf("kicking speed %.2f, area %.3f: begin at %.2f m", vk, area, at)
			}
		}
	}
	s := reference(0.045)
	x, _ := s.glide.Slowing(3.6, s.kick.Crossing(s.glide.Length()))
	near(t, "begin at", 4+x, 5.95, 0.15) // published: 6
}

// Speed at which to begin: 1.9 to 2.2 m/s (Lyttle and Blanksby 2000, row P01), 1.75 to 2.0 (Li et
// al. 2017, CFD). The rule gives 1.9 to 2.5 for kicking speeds of 1.45 to 1.75 m/s: it
// overlaps the published range and reaches beyond its top. And 1.45 +- 0.06 kicking
// speeds is the specification's forward model over 27 kicks.
func TestSpeedAtWhichToBegin(t *testing.T) {
	low, high := math.Inf(1), 0.0
	for _, vk := range []float64{1.45, 1.75} {
		for _, area := range []float64{0.038, 0.045} {
			s := reference(area)
			s.kick.Speed = vk
			v := s.kick.Crossing(s.glide.Length())
			low, high = math.Min(low, v), math.Max(high, v)
			near(t, "crossing over kicking speed", v/vk, 1.45, 0.13)
		}
	}
	if low < 1.9 || low > 2.2 || high > 2.55 {
		t.Errorf("begin between %.2f and %.2f m/s", low, high)
	}
}

// Elite starts (100 m finalists, rows P15, P17: 5.64 +- 0.18 s to 15 m, underwater speed 2.49 +- 0.15
// m/s, breakout at 11.88 m, quoted). With the favourable inputs of the specification, 4.2
// m/s at 4 m after 0.95 s, kicking speed 1.9 m/s and a drag area of 0.030 m2, kicking from
// the crossing on to the printed breakout; 2.0 m/s at the surface is assumed. 5.79 s and
// 2.40 m/s: slower than the means, within one standard deviation.
func TestEliteStart(t *testing.T) {
	s := reference(0.030)
	s.kick.Speed, s.x0, s.v0, s.t0 = 1.9, 4, 4.2, 0.95
	s.kick.Length = 2 * 75 * 1.25 / (hydro.Density * 0.087)
	x, _ := s.glide.Slowing(4.2, s.kick.Crossing(s.glide.Length()))
	under := s.kickedTo(11.88, 4+x)
	near(t, "time to 15 m", under+(15-11.88)/2.0, 5.64, 0.18)
	near(t, "speed under water", (11.88-4)/(under-0.95), 2.49, 0.15)
}

// The flat optimum (specification, section 10: +-0.5 m costs 0.01 s, +-1 m 0.04 s, kicking at
// once 0.1 to 0.3 s after a dive; a push-off of 2.6 m/s is best kicked from 1.95 m).
func TestTheOptimumIsFlat(t *testing.T) {
	s := reference(0.038)
	s.surface = math.NaN()
	best, least := 0.0, math.Inf(1)
	for from := 1.0; from < 6; from += 0.01 {
		if v := s.kickedTo(12, from); v < least {
			best, least = from, v
		}
	}
	near(t, "best after a push-off", best, 1.95, 0.05)
	near(t, "0.5 m later", s.kickedTo(12, best+0.5)-least, 0.01, 0.006)
	near(t, "0.5 m earlier", s.kickedTo(12, best-0.5)-least, 0.01, 0.006)

	s = reference(0.045)
	s.surface, s.x0, s.v0 = math.NaN(), 4, 3.6
	best, least = 0, math.Inf(1)
	for from := 4.0; from < 9; from += 0.01 {
		if v := s.kickedTo(14.5, from); v < least {
			best, least = from, v
		}
	}
	near(t, "1 m later", s.kickedTo(14.5, best+1)-least, 0.04, 0.02)
	near(t, "1 m earlier", s.kickedTo(14.5, best-1)-least, 0.04, 0.02)
	if at := s.kickedTo(14.5, 4) - least; at < 0.1 || at > 0.3 {
		t.Errorf("kicking at once costs %.2f s", at)
	}
}

// The closed form of kicking against integration by small steps.
func TestKickingClosedForm(t *testing.T) {
	for _, v0 := range []float64{3.1, 1.6, 0.4} {
		k := Kicking{Speed: 1.6, Length: 2.1}
		v, x := v0, 0.0
		const dt = 1e-5
		for range 150_000 { // 1.5 s
			mid := v + dt/2*(k.Speed*k.Speed-v*v)/k.Length
			x += mid * dt
			v += dt * (k.Speed*k.Speed - mid*mid) / k.Length
		}
		near(t, "way", k.DistanceAfter(v0, 1.5), x, 1e-6)
		near(t, "speed", k.SpeedAfter(v0, 1.5), v, 1e-6)
		near(t, "speed by way", k.SpeedAt(v0, x), v, 1e-6)
		near(t, "time", k.TimeTo(v0, x), 1.5, 1e-6)
	}
	k := Kicking{Speed: 1.6, Length: 2.1}
	near(t, "long times", k.DistanceAfter(2.6, 1000)/1000, 1.6, 2e-3)
	if !math.IsInf(k.Crossing(2), 1) {
		t.Error("a glide that slows faster than kicking has no crossing")
	}
}
