package poolside

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/record"
	"underkick/internal/trace"
)

// markedBy are marks of a coach before a set-up: frames at phases that differ, each
// landmark off by a click and by where in its smear it was put.
func markedBy(f filmed, times []float64, seed uint64) []body.Mark {
	rng := rand.New(rand.NewPCG(seed, 2))
	m := f.swimmer.Fitted(times)
	click, from := f.clickM(), rng.Float64()
	var marks []body.Mark
	used := map[int]bool{}
	for i := range f.marked(1) {
		k := int(math.Mod(from+float64(i)*math.Phi, 1) * float64(len(times)))
		if used[k] {
			continue
		}
		used[k] = true
		for l, p := range m.Paths {
			late := (rng.Float64() - 0.5) * f.shutter
			marks = append(marks, body.Mark{
				Frame: k, Time: times[k], Landmark: body.Landmark(l),
				X:  p.X[k] + click*rng.NormFloat64() + late*p.VX[k],
				Y:  p.Y[k] + click*rng.NormFloat64() + late*p.VY[k],
				SD: math.Hypot(click, math.Hypot(p.VX[k], p.VY[k])*f.shutter/math.Sqrt(24)),
			})
		}
	}
	return marks
}

// The bands that the card expects are those that marking, fit and measuring give, on
// the mean of five coaches, within a third for the primary measures and the angles.
// The card sees neither the marks nor the fit.
func TestExpectedBandsHold(t *testing.T) {
	skipShort(t)
	const coaches = 5
	for name, in := range map[string]FilmingInput{
		"dome, 120 Hz":      {FieldDeg: 85, Housing: "dome", FPS: 120},
		"flat port, 60 Hz":  {FieldDeg: 65, FPS: 60, DistanceM: 5.5, Light: "bright"},
		"flat port, 240 Hz": {FieldDeg: 70, FPS: 240, DistanceM: 6.5, Light: "bright", Level: record.National, HeightM: 1.85},
	} {
		f := in.Complete().film(1)
		expected, err := f.measure(t.Context(), 1)
		if err != nil {
			t.Fatal(err)
		}
		mean := map[string]float64{}
		ids := append([]string{"toe_amplitude", "knee_flexion_max", "ankle_min", "kick_length"}, primaryMeasures...)
		for seed := range uint64(coaches) {
			times := f.times()
			fit, err := trace.Fit(times, markedBy(f, times, seed), trace.Options{})
			if err != nil {
				t.Fatal(err)
			}
			noise := f.noise()
			noise.Draw = fit.Draw
			r, err := kick.MeasureRun(t.Context(), fit.Motion(), f.swimmer.Subject, kick.Options{Noise: noise, Clip: f.clip(), Seed: seed, Draws: cardDraws})
			if err != nil {
				t.Fatal(err)
			}
			for _, id := range ids {
				m, _ := r.Measure(id)
				mean[id] += (m.High - m.Low) / 2 / coaches
			}
		}
		for _, id := range ids {
			m, _ := expected.Measure(id)
			ratio := (m.High - m.Low) / 2 / mean[id]
			t.Logf("%s: %s expected over measured %.2f", name, id, ratio)
			if !(ratio > 0.67 && ratio < 1.5) {
				t.Errorf("%s: the band of %s is expected %.2f times as wide as it comes out", name, id, ratio)
			}
		}
	}
}

func expected(t *testing.T, in FilmingInput) FilmingBands {
	t.Helper()
	b, err := ExpectBands(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// What helps most is what is plainly wrong with a set-up.
func TestTheBestChange(t *testing.T) {
	skipShort(t)
	for name, c := range map[string]struct {
		in   FilmingInput
		want []string
	}{
		"too near":      {FilmingInput{FieldDeg: 65, DistanceM: 2.5, FPS: 120}, []string{"farther", "wider", "dome"}},
		"too slow":      {FilmingInput{FieldDeg: 85, Housing: "dome", DistanceM: 3.5, FPS: 20, ShutterS: 0.001}, []string{"rate"}},
		"smeared":       {FilmingInput{FieldDeg: 85, Housing: "dome", DistanceM: 3.5, FPS: 30, ShutterS: 1.0 / 30}, []string{"shutter", "rate"}},
		"looking down":  {FilmingInput{FieldDeg: 85, Housing: "dome", FPS: 120, CameraDepthM: 0.1, SwimmerDepthM: 1.6}, []string{"depth"}},
		"body's height": {FilmingInput{FieldDeg: 85, Housing: "dome", FPS: 120, Scale: "height"}, []string{"rectangle", "length"}},
	} {
		b := expected(t, c.in)
		found := false
		for _, id := range c.want {
			found = found || b.Changes[0].ID == id
		}
		if !found || b.Changes[0].Drop <= 0.05 {
			t.Errorf("%s: the best change is %+v, want one of %v", name, b.Changes[0], c.want)
		}
	}
}

func TestExpectedBandsSayWhatCannotBe(t *testing.T) {
	skipShort(t)
	b := expected(t, FilmingInput{FieldDeg: 40, DistanceM: 1})
	if b.Kicks != 0 || len(b.Bands) != 0 || b.Problem == "" {
		t.Errorf("a view of less than a body: %+v", b)
	}
	b = expected(t, FilmingInput{FieldDeg: 85, Housing: "dome", FPS: 20})
	for _, m := range b.Bands {
		if m.ID == "build" && (!m.Withheld || m.Half != -1 || len(m.Doubts) == 0) {
			t.Errorf("build at 20 frames per second: %+v", m)
		}
	}
	again := expected(t, FilmingInput{FieldDeg: 85, Housing: "dome", FPS: 20})
	if b.Bands[0].Half != again.Bands[0].Half || b.Changes[0].Drop != again.Changes[0].Drop {
		t.Error("the same set-up gives other bands a second time")
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := ExpectBands(ctx, FilmingInput{}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// More distance behind a flat port bends the way less and costs scale; a dome bends
// nothing.
func TestBentPicture(t *testing.T) {
	skipShort(t)
	off := func(in FilmingInput) float64 {
		for _, m := range expected(t, in).Bands {
			if m.ID == "speed" {
				return m.Off / m.Value
			}
		}
		return math.NaN()
	}
	flat, dome := off(FilmingInput{FieldDeg: 90, DistanceM: 4, FPS: 60}), off(FilmingInput{FieldDeg: 90, DistanceM: 4, FPS: 60, Housing: "dome"})
	if !(flat > 0.01) || math.Abs(dome) > 1e-6 {
		t.Errorf("speed is off by %.4f behind a flat port and by %.6f behind a dome", flat, dome)
	}
}

func TestPlanFilming(t *testing.T) {
	c, err := PlanFilming(FilmingInput{FieldDeg: 90, DistanceM: 3, FPS: 120, ShutterS: 1.0 / 250, HeightM: 1.80, Level: record.National})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(c.FieldWaterDeg-64.07) > 0.02 || math.Abs(c.WidthM-3.755) > 0.01 { // check 31
		t.Errorf("90 degrees are %.2f in water and %.3f m at 3 m", c.FieldWaterDeg, c.WidthM)
	}
	if math.Abs(c.BodyM-2.394) > 1e-3 || math.Abs(c.WayM-(c.WidthM-c.BodyM)) > 1e-9 {
		t.Errorf("body %.3f m, way %.3f m", c.BodyM, c.WayM)
	}
	if way := c.WayM / (1.42 / 2.1); c.KicksLeast != int(way)-1 || c.KicksMost != int(way) {
		t.Errorf("%d to %d kicks on a way of %.2f", c.KicksLeast, c.KicksMost, way)
	}
	// The toe is faster than a sine of the same travel (check 37's bound is pi/2 below it).
	if c.ToeSpeed < 0.30*1.8*2.1*2 || c.ToeSpeed > 6 || math.Abs(c.BlurM-c.ToeSpeed/250) > 1e-9 {
		t.Errorf("the fastest toe goes %.2f m/s and smears %.3f m", c.ToeSpeed, c.BlurM)
	}
	if c.Checks[1].Cost == "" || c.Checks[0].Cost != "" {
		t.Errorf("%+v", c.Checks)
	}
	var faults record.Faults
	if _, err := PlanFilming(FilmingInput{Housing: "jar", FPS: 5, Light: "candle", Level: "expert", Scale: "eye", FocalMM: 4}); !errors.As(err, &faults) || len(faults) != 6 {
		t.Errorf("%v", err)
	}
	for _, p := range FilmingPresets() {
		if _, err := PlanFilming(p.Input); err != nil {
			t.Errorf("%s: %v", p.ID, err)
		}
	}
	for _, l := range record.Levels() {
		if usualSwim(l).speed == 0 {
			t.Errorf("nothing is known of the level %s", l)
		}
	}
}

func BenchmarkExpectBands(b *testing.B) {
	in := FilmingInput{FieldDeg: 85, Housing: "dome", FPS: 120}
	for b.Loop() {
		if _, err := ExpectBands(b.Context(), in); err != nil {
			b.Fatal(err)
		}
	}
}
