package kick

import (
	"context"
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick/kicktest"
)

// measured runs a motion without error draws and fails on an error.
func measured(t *testing.T, m body.Motion, s body.Subject, opt Options) *Result {
	t.Helper()
	if opt.Draws == 0 {
		opt.Draws = -1
	}
	r, err := MeasureRun(t.Context(), m, s, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// value returns a summary value that must be there.
func value(t *testing.T, r *Result, id string) float64 {
	t.Helper()
	m, ok := r.Measure(id)
	if !ok {
		t.Fatalf("no measure %q", id)
	}
	return m.Value
}

func within(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.5f, want %.5f +- %.5f", name, got, want, tol)
	}
}

// board is a swimmer reduced to closed forms: everything glides at U, knee, ankle
// and toe as told relative to that.
func board(times []float64, u float64, toe, ankle func(t float64) (x, y, vx, vy float64)) body.Motion {
	m := body.Motion{T: times}
	n := len(times)
	still := func(x, y float64) func(float64) (float64, float64, float64, float64) {
		return func(float64) (float64, float64, float64, float64) { return x, y, 0, 0 }
	}
	for l, at := range map[body.Landmark]func(float64) (x, y, vx, vy float64){
		body.Fingertip: still(1.3, 0), body.Shoulder: still(0.5, 0), body.Hip: still(0, 0),
		body.Knee: still(-0.45, 0), body.Ankle: ankle, body.Toe: toe,
	} {
		p := &body.Path{X: make([]float64, n), Y: make([]float64, n), VX: make([]float64, n), VY: make([]float64, n)}
		for i, t := range times {
			x, y, vx, vy := at(t)
			p.X[i], p.Y[i], p.VX[i], p.VY[i] = u*t+x, y, u+vx, vy
		}
		m.Paths[l] = p
	}
	return m
}

// Check 36 of the reference notes (analytic): a toe on a sine of 2 Hz and 0.46 m
// peaks at pi f A = 2.890 m/s and has a mean absolute speed of 2 f A = 1.840 m/s.
// Ankle and toe together: v is a half sine in each phase, B = pi^2/8, half of
// the squared speed after half of the path, fastest in the middle.
func TestSinusoidalToe(t *testing.T) {
	const f, a, u = 2.0, 0.46, 1.4
	w := 2 * math.Pi * f
	wave := func(x float64) func(float64) (float64, float64, float64, float64) {
		return func(t float64) (float64, float64, float64, float64) {
			return x, a / 2 * math.Cos(w*t), 0, -a / 2 * w * math.Sin(w*t)
		}
	}
	m := board(kicktest.Times(0.1, 2.9, 120), u, wave(-1.1), wave(-0.88))
	r := measured(t, m, body.Subject{Height: 1.8, Mass: 75, Sex: body.Male}, Options{})
	if r.Counted != 4 || !r.Steady {
		t.Fatalf("%d kicks, steady %v", r.Counted, r.Steady)
	}
	within(t, "speed", value(t, r, "speed"), u, 1e-4)
	within(t, "frequency", value(t, r, "kick_frequency"), f, 1e-4)
	within(t, "distance per kick", value(t, r, "kick_length"), u/f, 1e-4)
	within(t, "toe travel", value(t, r, "toe_amplitude"), a, 1e-4)
	within(t, "Strouhal", value(t, r, "strouhal"), f*a/u, 2e-4)
	within(t, "peak toe speed down", value(t, r, "toe_peak_speed_down"), 2.890, 0.001)
	within(t, "peak toe speed up", value(t, r, "toe_peak_speed_up"), 2.890, 0.001)
	mean := value(t, r, "toe_amplitude") / value(t, r, "downkick_duration")
	within(t, "mean absolute toe speed", mean, 1.840, 0.001)
	within(t, "downkick part", value(t, r, "downkick_share"), 0.5, 1e-3)
	within(t, "path", value(t, r, "foot_path"), a, 1e-3)
	// The speed has a kink at top and bottom here (a real foot never stands
	// still), which the cubics of the integral round off: 0.2 %.
	within(t, "build", value(t, r, "build"), math.Pi*math.Pi/8, 3e-3)
	within(t, "late", value(t, r, "build_late"), 0.5, 2e-3)
	within(t, "build, upkick", value(t, r, "build_upkick"), math.Pi*math.Pi/8, 3e-3)
	if m, _ := r.Measure("build_peak"); m.Text != "middle" {
		t.Errorf("fastest in the %q", m.Text)
	}
	// The same from positions alone, filtered: the filter takes a little.
	for _, p := range m.Paths {
		if p != nil {
			p.VX, p.VY = nil, nil
		}
	}
	r = measured(t, m, body.Subject{Height: 1.8}, Options{})
	within(t, "filtered travel", value(t, r, "toe_amplitude"), a, 0.01*a)
	within(t, "filtered peak", value(t, r, "toe_peak_speed_down"), 2.890, 0.02*2.890)
	if r.Cutoff < 8 || !r.Filtered {
		t.Errorf("cut-off %g Hz, filtered %v", r.Cutoff, r.Filtered)
	}
}

// A rigid foot held at beta, toe up, on a leg that moves up and down as a sine:
// w = U sin beta + v_y cos beta, and the foot faces back (c = sin beta) exactly
// while w < 0. The reference value comes from a fine Simpson sum of these closed
// forms, apart from the code under test.
func TestFacingOfAHeldFoot(t *testing.T) {
	const f, a, u = 2.0, 0.5, 0.8
	w := 2 * math.Pi * f
	for _, betaDeg := range []float64{10, 30, 50} {
		beta := betaDeg * degree
		leg := func(x, y float64) func(float64) (float64, float64, float64, float64) {
			return func(t float64) (float64, float64, float64, float64) {
				return x, y + a/2*math.Cos(w*t), 0, -a / 2 * w * math.Sin(w*t)
			}
		}
		m := board(kicktest.Times(0.1, 2.4, 240), u, leg(-0.9-0.2*math.Cos(beta), 0.2*math.Sin(beta)), leg(-0.9, 0))
		r := measured(t, m, body.Subject{Height: 1.8}, Options{})
		// th = -beta: sin th = -sin beta, n = (sin beta, cos beta).
		normal := func(t float64) float64 { return u*math.Sin(beta) - a/2*w*math.Sin(w*t)*math.Cos(beta) }
		want := simpson(0, 1/(2*f), func(t float64) float64 {
			if n := normal(t); n < 0 {
				return math.Sin(beta) * n * n
			}
			return 0
		}) / simpson(0, 1/(2*f), func(t float64) float64 { return normal(t) * normal(t) })
		within(t, "facing of the foot", value(t, r, "facing_foot"), want, 2e-3)
		// In the upkick the same foot, toe up, faces back only while it still moves down.
		wantUp := simpson(1/(2*f), 1/f, func(t float64) float64 {
			if n := normal(t); n < 0 {
				return math.Sin(beta) * n * n
			}
			return 0
		}) / simpson(1/(2*f), 1/f, func(t float64) float64 { return normal(t) * normal(t) })
		within(t, "facing in the upkick", value(t, r, "facing_foot_upkick"), wantUp, 2e-3)
	}
}

func simpson(a, b float64, f func(float64) float64) float64 {
	const n = 20000
	h := (b - a) / n
	sum := f(a) + f(b)
	for i := 1; i < n; i++ {
		sum += f(a+float64(i)*h) * float64(2+2*(i%2))
	}
	return sum * h / 3
}

// A swimmer by forward kinematics: joint angles are known exactly.
func TestKnownAngles(t *testing.T) {
	s := kicktest.Reference()
	s.Climb = 4 * degree
	for _, c := range []struct {
		name            string
		m               body.Motion
		knee, ankle     float64 // tolerance, deg
		speed, tempo, a float64 // relative tolerance
	}{
		{"fitted 120", s.Fitted(kicktest.Times(0, 3, 120)), 0.15, 0.15, 1e-3, 1e-3, 2e-3},
		{"filtered 120", s.Motion(kicktest.Times(0, 3, 120)), 0.5, 0.5, 1e-3, 1e-3, 5e-3},
		{"filtered 60", s.Motion(kicktest.Times(0, 3, 60)), 0.8, 0.8, 2e-3, 1e-3, 1e-2},
		{"filtered 50", s.Motion(kicktest.Times(0, 3, 50)), 1.5, 1.5, 2e-3, 1e-3, 1e-2},
	} {
		r := measured(t, c.m, s.Subject, Options{})
		if r.Counted != 6 && r.Counted != 5 {
			t.Errorf("%s: %d kicks", c.name, r.Counted)
		}
		low, high := s.Joints[body.KneeJoint].Extremes()
		within(t, c.name+" knee max", value(t, r, "knee_flexion_max"), high/degree, c.knee)
		within(t, c.name+" knee min", value(t, r, "knee_flexion_min"), low/degree, c.knee)
		within(t, c.name+" knee range", value(t, r, "knee_range"), (high-low)/degree, 2*c.knee)
		low, high = s.Joints[body.AnkleJoint].Extremes()
		within(t, c.name+" ankle min", value(t, r, "ankle_min"), low/degree, c.ankle)
		within(t, c.name+" ankle max", value(t, r, "ankle_max"), high/degree, c.ankle)
		low, high = s.Joints[body.HipJoint].Extremes()
		within(t, c.name+" hip min", value(t, r, "hip_flexion_min"), low/degree, c.knee)
		within(t, c.name+" hip max", value(t, r, "hip_flexion_max"), high/degree, c.knee)
		low, high = s.Pitch.Extremes()
		within(t, c.name+" pitch min", value(t, r, "trunk_pitch_min"), low/degree, 0.3)
		within(t, c.name+" pitch max", value(t, r, "trunk_pitch_max"), high/degree, 0.3)
		within(t, c.name+" climb", value(t, r, "climb"), 4, 0.05)
		within(t, c.name+" speed", value(t, r, "speed")/s.Speed, 1, c.speed)
		within(t, c.name+" tempo", value(t, r, "kick_frequency")/s.Frequency, 1, c.tempo)
		within(t, c.name+" travel", value(t, r, "toe_amplitude")/toeTravel(s), 1, c.a)
		// u = U + ripple cos(2 w t): SD = ripple / sqrt 2, swing = 2 ripple.
		within(t, c.name+" speed variation", value(t, r, "speed_variation"), s.Ripple/math.Sqrt2/s.Speed, 0.004)
		within(t, c.name+" speed swing", value(t, r, "speed_swing"), 2*s.Ripple/s.Speed, 0.012)
	}
}

// toeTravel is the true toe travel across the line, from a fine scan of one kick.
func toeTravel(s kicktest.Swimmer) float64 {
	m := s.Motion(kicktest.Times(0, 1/s.Frequency, 5000))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range m.T {
		p := m.Paths[body.Toe]
		y := -math.Sin(s.Climb)*p.X[i] + math.Cos(s.Climb)*p.Y[i]
		lo, hi = math.Min(lo, y), math.Max(hi, y)
	}
	return hi - lo
}

// Peak angular speeds against the derivative of the known curves.
func TestKnownAngularSpeeds(t *testing.T) {
	s := kicktest.Reference()
	r := measured(t, s.Fitted(kicktest.Times(0, 3, 240)), s.Subject, Options{})
	for _, c := range []struct {
		up, down string
		w        kicktest.Wave
	}{
		{"knee_flexion_speed", "knee_extension_speed", s.Joints[body.KneeJoint]},
		{"ankle_bending_speed", "ankle_pointing_speed", s.Joints[body.AnkleJoint]},
		{"hip_flexion_speed", "hip_extension_speed", s.Joints[body.HipJoint]},
	} {
		const h = 1e-5
		up, down := math.Inf(-1), math.Inf(1)
		for p := 0.0; p < 1; p += 1e-4 {
			d := (c.w.At(p+h) - c.w.At(p-h)) / (2 * h) * s.Frequency / degree
			up, down = math.Max(up, d), math.Min(down, d)
		}
		within(t, c.up, value(t, r, c.up)/up, 1, 2e-3)
		within(t, c.down, value(t, r, c.down)/-down, 1, 2e-3)
	}
}

// A leg that carries a travelling wave of known speed.
func TestBodyWave(t *testing.T) {
	const f, c, u = 2.0, 4.0, 1.4
	w := 2 * math.Pi * f
	times := kicktest.Times(0.05, 2.6, 120)
	m := body.Motion{T: times}
	for l, at := range map[body.Landmark][2]float64{ // distance from hip, amplitude
		body.Fingertip: {-1.2, 0}, body.Shoulder: {-0.5, 0}, body.Hip: {0, 0.015}, body.Knee: {0.43, 0.03},
		body.Ankle: {0.87, 0.06}, body.Toe: {1.1, 0.08},
	} {
		p := &body.Path{}
		for _, t := range times {
			ph := w * (t - at[0]/c)
			p.X, p.VX = append(p.X, u*t-at[0]), append(p.VX, u)
			p.Y, p.VY = append(p.Y, at[1]*math.Cos(ph)), append(p.VY, -w*at[1]*math.Sin(ph))
		}
		m.Paths[l] = p
	}
	r := measured(t, m, body.Subject{Height: 1.8}, Options{})
	// The leg is measured along its bent line, which is up to 1 % longer than its
	// shadow on the travel line here.
	within(t, "wave speed", value(t, r, "wave_speed"), c, 0.01*c)
	within(t, "wavelength", value(t, r, "wavelength"), c/f, 0.01*c/f)
	within(t, "slip", value(t, r, "slip"), u/c, 0.01*u/c)
	within(t, "efficiency", value(t, r, "slender_body_efficiency"), (1+u/value(t, r, "wave_speed"))/2, 1e-3)
}

// Moments of the reference kick against a fine scan of the known curves.
func TestMoments(t *testing.T) {
	s := kicktest.Reference()
	r := measured(t, s.Fitted(kicktest.Times(0, 3, 120)), s.Subject, Options{})
	fine := s.Fitted(kicktest.Times(0, 1.6/s.Frequency, 4000))
	hip, ankle, toe := fine.Paths[body.Hip], fine.Paths[body.Ankle], fine.Paths[body.Toe]
	v := func(i int) float64 {
		return math.Hypot((ankle.VX[i]+toe.VX[i])/2-hip.VX[i], (ankle.VY[i]+toe.VY[i])/2-hip.VY[i])
	}
	scan := func(from, to float64, score func(i int) float64) float64 {
		best, at := math.Inf(-1), math.NaN()
		for i, tt := range fine.T {
			if tt >= from && tt <= to && score(i) > best {
				best, at = score(i), tt
			}
		}
		return at
	}
	T := 1 / s.Frequency
	top := scan(0.7*T, 1.3*T, func(i int) float64 { return toe.Y[i] })
	bottom := scan(top+0.2*T, top+0.8*T, func(i int) float64 { return -toe.Y[i] })
	var k Kick
	for _, c := range r.Kicks {
		if c.Number > 0 && math.Abs(c.Start-top) < 0.1*T {
			k = c
		}
	}
	if k.Number == 0 {
		t.Fatalf("no kick starts at %g s: %+v", top, r.Kicks)
	}
	knee := func(i int) float64 { return s.Joints[body.KneeJoint].At(s.Phase(fine.T[i])) }
	set := scan(top-0.2*T, top+0.2*T, knee)
	fastest := scan(top, bottom, v)
	peak := 0.0
	for i, tt := range fine.T {
		if tt >= top && tt <= bottom {
			peak = math.Max(peak, v(i))
		}
	}
	drive := math.NaN()
	for i, tt := range fine.T {
		if tt >= math.Max(set, top) && v(i) >= peak/2 {
			drive = tt
			break
		}
	}
	within(t, "top", k.Start, top, 0.001)
	within(t, "bottom", k.Bottom, bottom, 0.001)
	within(t, "set", k.Moments.Set, set, 0.003)
	within(t, "drive", k.Moments.Drive, drive, 0.003)
	within(t, "fastest", k.Moments.Fastest, fastest, 0.004)
	within(t, "finish", k.Moments.Finish, bottom, 0.001)
	within(t, "finish-up", k.Moments.FinishUp, k.End, 1e-12)
	if n := len(k.Moments.List()); n != 8 {
		t.Errorf("%d moments listed", n)
	}
}

func TestStoppedByContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	s := kicktest.Reference()
	if _, err := MeasureRun(ctx, s.Motion(kicktest.Times(0, 3, 120)), s.Subject, Options{}); err == nil {
		t.Error("a stopped measurement gives a result")
	}
}

func BenchmarkMeasureRun(b *testing.B) {
	s := kicktest.Reference()
	m := s.Motion(kicktest.Times(0, 2.6, 120)) // five kicks, 200 draws of each kind
	for b.Loop() {
		if _, err := MeasureRun(b.Context(), m, s.Subject, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
