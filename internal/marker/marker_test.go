package marker

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/body"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > rel*math.Abs(want) {
		t.Errorf("%s = %.6g, want %.6g within %.2g %%", what, got, want, 100*rel)
	}
}

func TestNothingSeenGivesTheDefaults(t *testing.T) {
	e := Fit(nil)
	near(t, "offset", e.Offset, DefaultOffset, 0.002)
	near(t, "spread", e.Spread, DefaultSpread, 0.002)
	near(t, "default offset of a swimmer of 1.80 m", e.Offset*1.33*1.80, 0.008, 0.01) // hydrodynamics.md, section 9
	// Quantiles of the scaled inverse chi-square distribution of 8 degrees of freedom:
	// sqrt(6 / chi2) with chi2 quantiles 17.535 and 2.180 (any table of chi-square).
	near(t, "low end", e.OffsetBand[0], DefaultOffset*math.Sqrt(6/17.535), 0.02)
	near(t, "high end", e.OffsetBand[1], DefaultOffset*math.Sqrt(6/2.180), 0.02)
}

// simulate marks each of clips frames times, in two sittings, all landmarks given.
func simulate(rng *rand.Rand, clips, frames int, offset, spread float64) []Difference {
	var all []Difference
	for c := range clips {
		for _, l := range []body.Landmark{body.Ankle, body.Toe, body.Knee, body.Hip, body.Shoulder, body.Heel, body.Fingertip} {
			bx, by := (rng.NormFloat64()-rng.NormFloat64())*offset, (rng.NormFloat64()-rng.NormFloat64())*offset
			for range frames {
				all = append(all, Difference{
					Landmark: l, Sitting: fmt.Sprint(c), Later: true,
					Along:  bx + (rng.NormFloat64()-rng.NormFloat64())*spread,
					Across: by + (rng.NormFloat64()-rng.NormFloat64())*spread,
				})
			}
		}
	}
	return all
}

// Conjugate closed form: where every group is so large that clicks average out, the
// offset's variance has the posterior of known means, (8 s^2 + sum m^2/2) / (8 + n - 2).
func TestClosedFormOfManyFramesPerSitting(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	all := simulate(rng, 3, 400, 0.002, 0.0004)
	e := Fit(all)
	means, n := 0.0, 0.0
	by := map[group][2]float64{}
	for _, d := range all {
		m := by[group{d.Sitting, d.Landmark}]
		by[group{d.Sitting, d.Landmark}] = [2]float64{m[0] + d.Along/400, m[1] + d.Across/400}
	}
	for _, m := range by {
		means += m[0]*m[0] + m[1]*m[1]
		n += 2
	}
	want := math.Sqrt((6*DefaultOffset*DefaultOffset + means/2) / (weight + n - 2))
	near(t, "offset", e.Offset, want, 0.003)
	near(t, "spread", e.Spread, 0.0004, 0.03)
}

// With much seen, what was put in comes out.
func TestManyRepeatsForgetTheDefault(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	e := Fit(simulate(rng, 100, 4, 0.002, 0.004)) // standard errors: 4 % of the offset, 1 % of the spread
	near(t, "offset", e.Offset, 0.002, 0.12)
	near(t, "spread", e.Spread, 0.004, 0.03)
}

// One frame per clip tells the sum of both variances and not its parts.
func TestOneFramePerClipTellsTheSumAlone(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	one := Fit(simulate(rng, 400, 1, 0.006, 0.002))
	other := Fit(simulate(rng, 400, 1, 0.002, 0.006))
	total := math.Hypot(0.006, 0.002)
	near(t, "sum", math.Hypot(one.Offset, one.Spread), total, 0.03)
	near(t, "sum", math.Hypot(other.Offset, other.Spread), total, 0.03)
	near(t, "the same parts whichever it was", one.Offset, other.Offset, 0.06)
	if wide := one.OffsetBand[1] - one.OffsetBand[0]; wide < 0.002 {
		t.Errorf("the offset's band %v claims to know what it cannot", one.OffsetBand)
	}
}

// Markers drawn from what is assumed of markers: the bands hold the truth in 95 %.
func TestBandsHoldTheTruth(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 1))
	chi := func() float64 { // chi-square of 8 degrees of freedom
		sum := 0.0
		for range weight {
			x := rng.NormFloat64()
			sum += x * x
		}
		return sum
	}
	for _, design := range []struct{ clips, frames int }{{1, 1}, {3, 1}, {2, 6}} {
		var offsets, spreads int
		const markers = 300
		for range markers {
			offset := DefaultOffset * math.Sqrt(6/chi())
			spread := DefaultSpread * math.Sqrt(6/chi())
			e := Fit(simulate(rng, design.clips, design.frames, offset, spread))
			if e.OffsetBand[0] <= offset && offset <= e.OffsetBand[1] {
				offsets++
			}
			if e.SpreadBand[0] <= spread && spread <= e.SpreadBand[1] {
				spreads++
			}
		}
		// 95 % of 300 with a standard deviation of 3.8: 273 is six of them away, 296 and above three.
		for what, n := range map[string]int{"offset": offsets, "spread": spreads} {
			if n < 273 || n > 297 {
				t.Errorf("%d clips, %d frames: the band holds the %s in %d of %d", design.clips, design.frames, what, n, markers)
			}
		}
		t.Logf("%+v: offset %d, spread %d of %d", design, offsets, spreads, markers)
	}
}

func TestOneSittingCannotMakeTheOffsetSmall(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	all := simulate(rng, 12, 4, 0.0001, 0.001)
	if e := Fit(all); e.Held || e.Offset >= LeastOffset {
		t.Errorf("later sittings: %+v", e)
	}
	for i := range all {
		all[i].Later = false
	}
	if e := Fit(all); !e.Held || e.Offset != LeastOffset {
		t.Errorf("one sitting: %+v", e)
	}
}

// An offset that turns with the segment is the same in every frame, whichever way
// the segment points.
func TestDifferencesLieInTheSegmentsAxes(t *testing.T) {
	const along, across, bodyPx = 6.0, -2.0, 700.0
	for _, deg := range []float64{0, 35, 120, -80, 179} {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		toe := body.Mark{Frame: 3, Landmark: body.Toe, X: 100, Y: 50}
		ankle := body.Mark{Frame: 3, Landmark: body.Ankle, X: 100 + 60*cos, Y: 50 + 60*sin}
		again := toe
		again.X += along*cos - across*sin
		again.Y += along*sin + across*cos
		ds := Differences([]body.Mark{ankle, toe}, []body.Mark{again, {Frame: 4, Landmark: body.Toe}}, bodyPx)
		if len(ds) != 1 {
			t.Fatalf("%d differences", len(ds))
		}
		near(t, "along", ds[0].Along*bodyPx, along, 1e-9)
		near(t, "across", ds[0].Across*bodyPx, across, 1e-9)
		near(t, "size", ds[0].Size()*bodyPx, math.Hypot(along, across), 1e-9)
	}
}

// A body of usual proportions, laid out straight, is as long as it is.
func TestBodyLength(t *testing.T) {
	usual := body.Subject{Height: 1.7}.Lengths()
	var marks []body.Mark
	x := 50.0
	for g := range body.Segment(body.NumSegments) {
		from, to := g.Ends()
		marks = append(marks, body.Mark{Landmark: from, X: x, Y: 9})
		x += 300 * usual[g]
		marks = append(marks, body.Mark{Landmark: to, X: x, Y: 9})
	}
	near(t, "whole body, 300 px per m", BodyLength(marks), 300*1.33*1.7, 0.01) // 1.33: measures.md
	near(t, "legs alone", BodyLength(marks[4:]), 300*1.33*1.7, 0.01)
	if l := BodyLength(marks[:1]); l != 0 {
		t.Errorf("one mark gives a length of %g", l)
	}
}

func BenchmarkFit(b *testing.B) {
	all := simulate(rand.New(rand.NewPCG(6, 1)), 50, 2, 0.003, 0.003)
	for b.Loop() {
		Fit(all)
	}
}
