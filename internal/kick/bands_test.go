package kick

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick/kicktest"
)

// The stated 95 % band must hold the truth about as often as it says. Clips of one
// known swimmer are marked with a constant offset per landmark in its segment's
// axes, a wrong scale and white noise, of the sizes that Noise states.
func TestBandsHoldTheTruth(t *testing.T) {
	if testing.Short() {
		t.Skip("measures 60 clips with bands")
	}
	s := uneven()
	times := kicktest.Times(0.05, 2.7, 120)
	exact := s.Fitted(times)
	truth := measured(t, exact, s.Subject, Options{})
	ids := []string{"speed", "kick_length", "toe_amplitude", "strouhal", "toe_above_hip", "end_lead", "knee_flexion_max", "ankle_min", "ankle_max", "facing", "facing_foot", "hip_amplitude"}
	held := map[string]int{}
	const clips = 60
	for c := range clips {
		rng := rand.New(rand.NewPCG(uint64(c), 99))
		m := withOffsets(exact, 0.008, rng).Scale(1 + 0.015*rng.NormFloat64()).Rotate(degree * rng.NormFloat64())
		for _, p := range m.Paths {
			p.VX, p.VY = nil, nil
		}
		r := measured(t, jittered(m, 0.004, uint64(c)), s.Subject, Options{Draws: 60, Seed: uint64(c)})
		for _, id := range ids {
			got, _ := r.Measure(id)
			want := value(t, truth, id)
			if got.Low <= want && want <= got.High {
				held[id]++
			}
		}
	}
	total := 0
	for _, id := range ids {
		total += held[id]
		if share := float64(held[id]) / clips; share < 0.86 {
			t.Errorf("%s: the band held the truth in %.0f %% of clips", id, 100*share)
		}
	}
	if share := float64(total) / float64(clips*len(ids)); share < 0.90 || share > 0.995 {
		t.Errorf("all bands together held the truth in %.1f %%", 100*share)
	} else {
		t.Logf("all bands together held the truth in %.1f %%", 100*share)
	}
}

// withOffsets moves each landmark by a constant in the axes of its segment,
// computed from the exact landmarks, apart from the code under test.
func withOffsets(m body.Motion, sd float64, rng *rand.Rand) body.Motion {
	out := m.Transform(1, 0, 0, 1)
	ends := map[body.Landmark][2]body.Landmark{
		body.Fingertip: {body.Fingertip, body.Shoulder}, body.Wrist: {body.Fingertip, body.Shoulder}, body.Elbow: {body.Fingertip, body.Shoulder},
		body.Shoulder: {body.Shoulder, body.Hip}, body.Head: {body.Shoulder, body.Hip}, body.Rib: {body.Shoulder, body.Hip}, body.Hip: {body.Shoulder, body.Hip},
		body.Knee: {body.Hip, body.Knee}, body.Ankle: {body.Knee, body.Ankle}, body.Heel: {body.Knee, body.Ankle}, body.Toe: {body.Ankle, body.Toe},
	}
	for l := range out.Paths {
		e := ends[body.Landmark(l)]
		a, b := m.Paths[e[0]], m.Paths[e[1]]
		along, across := sd*rng.NormFloat64(), sd*rng.NormFloat64()
		for i := range m.T {
			dx, dy := a.X[i]-b.X[i], a.Y[i]-b.Y[i]
			d := math.Hypot(dx, dy)
			out.Paths[l].X[i] += (along*dx - across*dy) / d
			out.Paths[l].Y[i] += (along*dy + across*dx) / d
		}
	}
	return out
}

func TestSameSeedSameBands(t *testing.T) {
	s := uneven()
	m := jittered(s.Motion(kicktest.Times(0, 2.5, 60)), 0.004, 3)
	a := measured(t, m, s.Subject, Options{Seed: 9, Draws: 40})
	b := measured(t, m, s.Subject, Options{Seed: 9, Draws: 40})
	if !reflect.DeepEqual(comparable64(a), comparable64(b)) {
		t.Error("the same seed gives other bands")
	}
	c := measured(t, m, s.Subject, Options{Seed: 10, Draws: 40})
	if reflect.DeepEqual(comparable64(a), comparable64(c)) {
		t.Error("another seed gives exactly the same bands")
	}
}

// comparable64 turns bands into bits, because NaN is not equal to itself.
func comparable64(r *Result) []uint64 {
	var out []uint64
	for _, m := range r.Summary {
		out = append(out, math.Float64bits(m.Value), math.Float64bits(m.Low), math.Float64bits(m.High))
	}
	return out
}

// Scale error alone: a length's half band is 1.96 times it, an angle's is nil.
func TestScaleErrorGoesIntoLengthsOnly(t *testing.T) {
	s := kicktest.Reference()
	m := s.Fitted(kicktest.Times(0, 3, 120))
	r := measured(t, m, s.Subject, Options{Draws: 400, Noise: Noise{ScaleRel: 0.02, Roll: -1, OffsetM: -1, PointM: -1}})
	half := func(id string) float64 {
		m, _ := r.Measure(id)
		return (m.High - m.Low) / 2
	}
	for _, id := range []string{"toe_amplitude", "kick_length", "foot_path"} {
		within(t, id, half(id)/value(t, r, id), 1.96*0.02, 0.006)
	}
	for _, id := range []string{"knee_flexion_max", "ankle_min", "end_lead"} {
		if half(id) > 0.25 { // from half a frame of timing
			t.Errorf("%s: half band %g deg from a scale error", id, half(id))
		}
	}
	if h := half("strouhal") / value(t, r, "strouhal"); h > 0.02 { // timing only
		t.Errorf("strouhal: relative half band %g from a scale error", h)
	}
}

// A fitted motion brings its own draws: what they say goes into the band when the
// kicks themselves scatter less.
func TestPosteriorDraws(t *testing.T) {
	s := kicktest.Reference()
	m := s.Fitted(kicktest.Times(0, 3, 120))
	draw := func(rng *rand.Rand) body.Motion { return m.Scale(1 + 0.03*rng.NormFloat64()) }
	r := measured(t, m, s.Subject, Options{Draws: 400, Noise: Noise{ScaleRel: -1, Roll: -1, OffsetM: -1, Draw: draw}})
	got, _ := r.Measure("toe_amplitude")
	within(t, "half band", (got.High-got.Low)/2/got.Value, 1.96*0.03, 0.008)
	if got.SD > 0.01*got.Value {
		t.Errorf("kick to kick SD %g of equal kicks", got.SD)
	}
}

// A height that is not known is measured and widens what is relative to it.
func TestAssumedHeight(t *testing.T) {
	s := kicktest.Reference()
	m := s.Motion(kicktest.Times(0, 3, 120))
	known := measured(t, m, s.Subject, Options{Draws: 100})
	guessed := measured(t, m, body.Subject{}, Options{Draws: 100})
	a, _ := known.Measure("toe_amplitude_height")
	b, _ := guessed.Measure("toe_amplitude_height")
	within(t, "height from the film", guessed.Height, 1.80, 0.02)
	if b.High-b.Low <= a.High-a.Low {
		t.Errorf("band with assumed height %g, with known %g", b.High-b.Low, a.High-a.Low)
	}
	if !hasReason(b, "assumed-height") || hasReason(a, "assumed-height") {
		t.Errorf("reasons %v and %v", b.Reasons, a.Reasons)
	}
	if len(guessed.Warnings) < 3 {
		t.Errorf("warnings %q", guessed.Warnings)
	}
}

func hasReason(m Measure, code string) bool {
	for _, r := range m.Reasons {
		if r.Code == code {
			return true
		}
	}
	return false
}
