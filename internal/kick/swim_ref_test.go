package kick

import (
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick/kicktest"
	"underkick/internal/swim"
)

// filmedReference is the reference kick swum by the planar model with a rigid foot.
func filmedReference(t *testing.T) (*swim.Orbit, body.Subject) {
	t.Helper()
	subject := body.Subject{Height: 1.80, Mass: 75, Sex: body.Male}
	orbit, err := swim.NewModel(subject, swim.ModelOptions{}).Swim(swim.Reference(), swim.Options{RigidFoot: true})
	if err != nil {
		t.Fatal(err)
	}
	return orbit, subject
}

// The reference kick filmed virtually. Speed, toe travel, Strouhal number and
// downkick part are the automated-test values of an independent prototype of the
// model (model specification, section 15: 1.80 m, 75 kg, male, 2.2 Hz, rigid
// foot); the end lead is from its section 6, to the rounding printed there.
// Tolerances: 1 % for the way through film and filter.
//
// Not reproduced from section 6: its facing 0.23, foot path 0.63 m, build 1.28,
// late build 0.54, toes in front 0.25 m and arc 52 deg for 'the reference kick'
// belong to a kick that is not written down; the fine sums below give 0.21, 0.60,
// 1.20, 0.50, 0.27 and 51 for the one that is. Its build belongs to a downkick cut in the
// body's frame (docs/methods/qualities.md).
func TestReferenceKickOfTheModel(t *testing.T) {
	orbit, subject := filmedReference(t)
	for _, rate := range []float64{60, 120, 240} {
		r := measured(t, orbit.Motion(kicktest.Times(0, 2.9, rate), 0.1), subject, Options{})
		if r.Counted < 5 || !r.Steady || len(r.Warnings) > 0 {
			t.Fatalf("%d kicks, steady %v, %q", r.Counted, r.Steady, r.Warnings)
		}
		for _, c := range []struct {
			id        string
			want, tol float64
		}{
			{"speed", 1.40897, 0.003},
			{"kick_frequency", 2.2, 0.002},
			{"toe_amplitude", 0.5138, 0.005},
			{"strouhal", 0.8022, 0.008},
			{"downkick_share", 0.461, 0.006},
			{"end_lead", 22, 0.6},
		} {
			within(t, c.id, value(t, r, c.id), c.want, c.tol)
		}
	}
}

// The three qualities against their definitions, summed straight over 5000
// instants of one downkick of the orbit, with velocities by differences.
func TestQualitiesByFineSums(t *testing.T) {
	orbit, subject := filmedReference(t)
	const n = 10000
	dt := 2 * orbit.Period() / n
	times := make([]float64, n+1)
	for i := range times {
		times[i] = float64(i) * dt
	}
	p := orbit.Motion(times, 0).Paths
	hip, knee, ankle, toe := p[body.Hip], p[body.Knee], p[body.Ankle], p[body.Toe]
	top := n / 4
	for !(toe.Y[top] > toe.Y[top-1] && toe.Y[top] >= toe.Y[top+1]) {
		top++
	}
	bottom := top + 1
	for !(toe.Y[bottom] < toe.Y[bottom-1] && toe.Y[bottom] <= toe.Y[bottom+1]) {
		bottom++
	}
	d := func(x []float64, i int) float64 { return (x[i+1] - x[i-1]) / (2 * dt) }
	// normal velocity at mid-segment and sine of its angle, from the two ends
	segment := func(a, b *body.Path, i int) (w, sin float64) {
		ex, ey := a.X[i]-b.X[i], a.Y[i]-b.Y[i]
		l := math.Hypot(ex, ey)
		vx, vy := (d(a.X, i)+d(b.X, i))/2, (d(a.Y, i)+d(b.Y, i))/2
		return (-ey*vx + ex*vy) / l, ey / l
	}
	chain := orbit.Chain()
	area := map[*body.Path]float64{ankle: chain[body.Feet].Breadth.Area(), knee: chain[body.Shanks].Breadth.Area()}
	var up, down, path, square float64
	v := make([]float64, n)
	for i := top; i < bottom; i++ {
		for a, b := range map[*body.Path]*body.Path{ankle: toe, knee: ankle} {
			w, sin := segment(a, b, i)
			c := math.Max(0, math.Copysign(1, w)*sin)
			up, down = up+area[a]*c*w*w, down+area[a]*w*w
		}
		v[i] = math.Hypot((d(ankle.X, i)+d(toe.X, i))/2-d(hip.X, i), (d(ankle.Y, i)+d(toe.Y, i))/2-d(hip.Y, i))
		path, square = path+v[i]*dt, square+v[i]*v[i]*dt
	}
	late, done := 0.0, 0.0
	for i := top; i < bottom; i++ {
		if done += v[i] * dt; done > path/2 {
			late += v[i] * v[i] * dt
		}
	}
	r := measured(t, orbit.Motion(kicktest.Times(0, 2.9, 120), 0.1), subject, Options{})
	within(t, "facing", value(t, r, "facing"), up/down, 0.004)
	within(t, "foot path", value(t, r, "foot_path"), path, 0.004)
	within(t, "build", value(t, r, "build"), float64(bottom-top)*dt*square/(path*path), 0.006)
	within(t, "late", value(t, r, "build_late"), late/square, 0.004)
	within(t, "toes in front", value(t, r, "toe_below_hip"), hip.Y[bottom]-toe.Y[bottom], 0.003)
	within(t, "toes behind", value(t, r, "toe_above_hip"), toe.Y[top]-hip.Y[top], 0.003)
}

// All kicks of the template file: measured as in the table of section 6 of the
// model specification (an independent prototype, six unnamed kicks: mean and
// spread between kicks), the mean over the templates lies within that spread.
func TestTemplatesLookLikeThePrototypes(t *testing.T) {
	subject := body.Subject{Height: 1.80, Mass: 75, Sex: body.Male}
	model := swim.NewModel(subject, swim.ModelOptions{})
	sum, n := map[string]float64{}, 0.0
	table := map[string][2]float64{
		"toe_above_hip": {0.36, 0.05}, "toe_below_hip": {0.28, 0.03}, "sweep_arc": {51, 3.2}, "end_lead": {23, 2.3},
		"foot_path": {0.60, 0.04}, "build": {1.23, 0.06}, "foot_peak_speed_down": {4.2, 0.4},
	}
	for _, k := range swim.Templates() {
		orbit, err := model.Swim(k, swim.Options{RigidFoot: true})
		if err != nil {
			t.Fatal(err)
		}
		r := measured(t, orbit.Motion(kicktest.Times(0, 2.9, 120), 0), subject, Options{})
		n++
		for id := range table {
			sum[id] += value(t, r, id)
		}
	}
	for id, c := range table {
		within(t, id, sum[id]/n, c[0], c[1])
	}
}
