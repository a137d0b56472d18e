package kick

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick/kicktest"
	"underkick/internal/series"
)

func TestSteadyRule(t *testing.T) {
	for _, c := range []struct {
		name   string
		speeds []float64
		want   bool
	}{
		{"none", nil, true},
		{"one", []float64{1.4}, true},
		{"two alike", []float64{1.4, 1.38}, true},
		{"two, 12 % apart", []float64{1.5, 1.33}, false},
		{"even", []float64{1.4, 1.41, 1.39, 1.4}, true},
		{"rising", []float64{1.2, 1.3, 1.4, 1.5}, true},
		// 3 % of 1.4 per kick, straight: the band of the slope does not reach 0.
		{"3 % per kick, straight", []float64{1.442, 1.400, 1.358}, false},
		// 1.5 % per kick, straight, 4.5 % over the run: allowed.
		{"1.5 % per kick", []float64{1.43, 1.41, 1.39, 1.37}, true},
		// 1.5 % per kick over nine kicks is 12 % over the run.
		{"1.5 % per kick, long", []float64{1.48, 1.46, 1.44, 1.42, 1.40, 1.38, 1.36, 1.34, 1.32}, false},
		// 2.5 % per kick in the mean, but so scattered that the band reaches 0.
		{"scattered", []float64{1.45, 1.36, 1.40}, true},
	} {
		if got := steady(c.speeds); got != c.want {
			t.Errorf("%s: steady %v", c.name, got)
		}
	}
	if d := dropUntilSteady([]float64{2.0, 1.7, 1.45, 1.40, 1.41, 1.40}); d != 2 {
		t.Errorf("%d leading kicks dropped, want 2", d)
	}
}

func TestPushOffIsDropped(t *testing.T) {
	s := kicktest.Reference()
	s.PushOff = 1.2
	r := measured(t, s.Fitted(kicktest.Times(0, 4.5, 120)), s.Subject, Options{})
	dropped := 0
	for _, k := range r.Kicks {
		if k.Number > 0 && !k.Counted {
			dropped++
			if k.Why == "" || k.Values == nil || math.IsNaN(k.Values["speed"]) {
				t.Errorf("dropped kick %+v", k)
			}
		}
	}
	if dropped < 1 || r.Counted < 4 || !r.Steady || !r.Verdicts {
		t.Errorf("%d dropped, %d counted, steady %v", dropped, r.Counted, r.Steady)
	}
	within(t, "speed after the push-off", value(t, r, "speed"), s.Speed, 0.03*s.Speed)
	// The same push-off seen over three kicks only: numbers, but no verdict.
	r = measured(t, s.Fitted(kicktest.Times(0, 1.65, 120)), s.Subject, Options{})
	if r.Verdicts {
		t.Errorf("verdicts on %d kicks of a push-off", r.Counted)
	}
	m, _ := r.Measure("speed")
	if !m.Known() || !(hasReason(m, "few-kicks") || hasReason(m, "not-steady")) {
		t.Errorf("speed %+v", m)
	}
}

func TestTurnings(t *testing.T) {
	// Two tops of 1, a bottom of -1, and a wiggle of 0.05 that does not count.
	y := []float64{0, 0.5, 1, 0.5, 0.2, 0.25, 0.2, -0.5, -1, -0.5, 0.5, 1, 0.9, 0.8}
	got := turnings(y, 0, len(y), 0.1)
	want := []turning{{2, true}, {8, false}, {11, true}}
	if !slices.Equal(got, want) {
		t.Errorf("turnings %v, want %v", got, want)
	}
	if got := turnings([]float64{1, 0.9, 0.5, 0, 0, 0}, 0, 6, 0.1); len(got) != 0 {
		t.Errorf("the start of a fall is taken for a top: %v", got)
	}
	if got := turnings([]float64{0, 0.01, 0, 0.01, 0}, 0, 5, 0.1); len(got) != 0 {
		t.Errorf("noise: %v", got)
	}
}

func TestEventsBetweenSamples(t *testing.T) {
	g := grid{dt: 0.02}
	var y []float64
	for i := range 120 {
		g.t = append(g.t, float64(i)*g.dt)
		y = append(y, 0.25*math.Cos(2*math.Pi*2*(g.t[i]-0.207)))
	}
	kicks := g.search(y, 0.09)
	whole := 0
	for _, k := range kicks {
		if !k.whole {
			continue
		}
		top := 0.207 + 0.5*float64(whole)
		within(t, "top", k.top.T, top, 5e-4)
		within(t, "bottom", k.bottom.T, top+0.25, 5e-4)
		within(t, "height", k.top.X, 0.25, 1e-3)
		whole++
	}
	if whole != 4 || kicks[0].whole || kicks[0].why == "" || kicks[len(kicks)-1].whole {
		t.Errorf("%d whole kicks of %+v", whole, kicks)
	}
}

func TestOddKicksAreShownNotCounted(t *testing.T) {
	for _, c := range []struct {
		f    float64
		says string
	}{{4.6, "shorter"}, {0.6, "longer"}} {
		s := kicktest.Reference()
		s.Frequency = c.f
		r := measured(t, s.Fitted(kicktest.Times(0, 4, 240)), s.Subject, Options{})
		if r.Counted != 0 || len(r.Kicks) < 2 {
			t.Errorf("%g Hz: %d counted of %d", c.f, r.Counted, len(r.Kicks))
		}
		said := slices.ContainsFunc(r.Kicks, func(k Kick) bool { return strings.Contains(k.Why, c.says) })
		if !said {
			t.Errorf("%g Hz: no kick says %q", c.f, c.says)
		}
	}
}

func TestFewKicks(t *testing.T) {
	s := kicktest.Reference()
	for n, seconds := range map[int]float64{0: 0.42, 1: 0.95, 2: 1.4} {
		r := measured(t, s.Fitted(kicktest.Times(0.02, seconds, 120)), s.Subject, Options{Draws: 50})
		if r.Counted != n || r.Verdicts {
			t.Errorf("%g s: %d kicks, want %d; verdicts %v", seconds, r.Counted, n, r.Verdicts)
			continue
		}
		for _, m := range r.Summary {
			switch {
			case len(m.Reasons) == 0:
				t.Errorf("%d kicks: %s has no reasons", n, m.ID)
			case n == 0 && (m.Known() || !hasReason(m, "no-kicks")):
				t.Errorf("no kick, but %s = %g", m.ID, m.Value)
			case n == 1 && (!math.IsNaN(m.SD) || math.IsNaN(m.Low)):
				t.Errorf("one kick: %s sd %g band %g", m.ID, m.SD, m.Low)
			case n == 2 && (math.IsNaN(m.SD) || math.IsNaN(m.Low)):
				t.Errorf("two kicks: %s sd %g band %g", m.ID, m.SD, m.Low)
			}
		}
		if n == 0 && len(r.Warnings) == 0 {
			t.Error("no kick and no warning")
		}
		if len(r.Kicks) == 0 {
			t.Error("partial kicks are not shown")
		}
	}
}

// Nothing may be NaN without a reason, whatever is missing.
func TestMissingLandmarks(t *testing.T) {
	s := kicktest.Reference()
	full := s.Motion(kicktest.Times(0, 3, 120))
	base := measured(t, full, s.Subject, Options{})
	for _, c := range []struct {
		drop []body.Landmark
		lost []string // among others
		kept []string
	}{
		{[]body.Landmark{body.Knee}, []string{"knee_flexion_max", "facing", "hip_range", "ankle_min"}, []string{"toe_amplitude", "build", "end_lead", "speed", "strouhal"}},
		{[]body.Landmark{body.Ankle}, []string{"ankle_min", "build", "facing_shank", "end_lead"}, []string{"toe_amplitude", "kick_frequency", "hip_range", "sweep"}},
		{[]body.Landmark{body.Hip}, []string{"sweep", "knee_range", "build", "trunk_pitch_max"}, []string{"toe_amplitude", "ankle_min", "facing", "speed"}},
		{[]body.Landmark{body.Shoulder}, []string{"hip_range", "trunk_pitch_range", "sweep_arc", "shoulder_amplitude"}, []string{"knee_range", "facing", "build"}},
		{[]body.Landmark{body.Toe}, []string{"toe_amplitude", "strouhal", "sweep", "facing_foot"}, []string{"kick_frequency", "speed", "knee_range", "ankle_amplitude"}},
		{[]body.Landmark{body.Fingertip, body.Wrist}, []string{"hand_amplitude"}, []string{"toe_amplitude", "knee_range", "build", "facing"}},
		{[]body.Landmark{body.Fingertip}, nil, []string{"speed", "speed_variation", "shoulder_amplitude"}},
		{[]body.Landmark{body.Elbow, body.Head, body.Rib, body.Heel}, nil, []string{"speed", "facing", "build", "wave_speed"}},
	} {
		m := full
		for _, l := range c.drop {
			m.Paths[l] = nil
		}
		r := measured(t, m, s.Subject, Options{Draws: 20})
		if r.Counted != base.Counted {
			t.Errorf("without %v: %d kicks", c.drop, r.Counted)
			continue
		}
		for _, id := range c.lost {
			got, _ := r.Measure(id)
			if got.Known() || !hasReason(got, "missing-landmark") {
				t.Errorf("without %v: %s = %g %v", c.drop, id, got.Value, got.Reasons)
			}
		}
		for _, id := range c.kept {
			within(t, id, value(t, r, id)/value(t, base, id), 1, 0.05)
		}
		for _, m := range r.Summary {
			if !m.Known() && len(m.Reasons) == 0 {
				t.Errorf("without %v: %s is missing without a reason", c.drop, m.ID)
			}
		}
		centre, _ := r.Measure("speed_variation")
		if needed := slices.ContainsFunc(c.drop, func(l body.Landmark) bool {
			return slices.Contains([]body.Landmark{body.Shoulder, body.Hip, body.Knee, body.Ankle, body.Toe}, l)
		}) || len(c.drop) == 2; needed != hasReason(centre, "hip-for-centre") {
			t.Errorf("without %v: speed variation says %v", c.drop, centre.Reasons)
		}
	}
}

// A short gap is bridged, a long one costs its kick and says so.
func TestGaps(t *testing.T) {
	s := kicktest.Reference()
	full := s.Motion(kicktest.Times(0, 3, 120))
	base := measured(t, full, s.Subject, Options{})
	cut := func(l body.Landmark, from, to float64) body.Motion {
		m := full.Transform(1, 0, 0, 1)
		for i, tt := range m.T {
			if tt > from && tt < to {
				m.Paths[l].X[i], m.Paths[l].Y[i] = math.NaN(), math.NaN()
			}
		}
		return m
	}
	top := firstWhole(base).End
	short := measured(t, cut(body.Toe, top-0.045, top+0.045), s.Subject, Options{})
	if short.Counted != base.Counted {
		t.Fatalf("a short gap leaves %d kicks of %d", short.Counted, base.Counted)
	}
	for i := range base.Kicks {
		a, b := base.Kicks[i], short.Kicks[i]
		if a.Number > 0 {
			within(t, "toe travel across the gap", b.Values["toe_amplitude"]/a.Values["toe_amplitude"], 1, 0.01)
			within(t, "top in the gap", b.End, a.End, 0.004)
		}
	}
	long := measured(t, cut(body.Toe, top+0.02, top+0.2), s.Subject, Options{})
	if long.Counted >= base.Counted || long.Counted < base.Counted-2 {
		t.Errorf("a long gap of the toe leaves %d kicks of %d", long.Counted, base.Counted)
	}
	knee := measured(t, cut(body.Knee, top+0.05, top+0.25), s.Subject, Options{})
	m, _ := knee.Measure("knee_flexion_max")
	if knee.Counted != base.Counted || m.N != base.Counted-1 || !m.Known() || !hasReason(m, "gap") {
		t.Errorf("a long gap of the knee: %d kicks, %+v", knee.Counted, m)
	}
	within(t, "knee without that kick", m.Value, value(t, base, "knee_flexion_max"), 0.5)
	if toe, _ := knee.Measure("toe_amplitude"); toe.N != base.Counted {
		t.Errorf("the knee's gap costs toe travel: %+v", toe)
	}
}

func TestClipLimits(t *testing.T) {
	s := kicktest.Reference()
	at := func(rate float64, o Options) *Result {
		return measured(t, s.Motion(kicktest.Times(0, 3.5, rate)), s.Subject, o)
	}
	reason := func(r *Result, id, code string, withheld bool) {
		t.Helper()
		m, _ := r.Measure(id)
		if !hasReason(m, code) || m.Known() == withheld {
			t.Errorf("%s at %g Hz: %q is missing or wrong in %+v", id, r.FrameRate, code, m)
		}
	}
	clean := at(120, Options{})
	for _, m := range clean.Summary {
		if len(m.Reasons) > 0 || !m.Known() {
			t.Errorf("a clean clip: %s %v", m.ID, m.Reasons)
		}
	}
	slow := at(20, Options{})
	for _, id := range []string{"toe_peak_speed_down", "build", "ankle_pointing_speed", "foot_path"} {
		reason(slow, id, "frame-rate", true)
	}
	reason(slow, "build", "filter", true)
	reason(slow, "build_peak", "frame-rate", true)
	reason(slow, "facing", "filter", false)
	within(t, "tempo at 20 Hz", value(t, slow, "kick_frequency"), s.Frequency, 0.01*s.Frequency)
	for _, k := range slow.Kicks {
		if k.Number > 0 && !math.IsNaN(k.Values["build"]) {
			t.Error("build is withheld for the run but not for its kicks")
		}
	}
	thirty := at(30, Options{})
	reason(thirty, "knee_flexion_speed_at", "frame-rate", true)
	if m, _ := thirty.Measure("toe_peak_speed_down"); !m.Known() {
		t.Errorf("toe speed at 30 Hz: %+v", m)
	}
	// The frame rate of the film counts, not that of the grid.
	reason(at(120, Options{Clip: Clip{FrameRate: 24}}), "build", "frame-rate", true)
	doubtful := at(120, Options{Clip: Clip{ToeBlur: 0.7, Yaw: 12 * degree, Pitch: -11 * degree, ScaleFromHeight: true}})
	reason(doubtful, "facing", "toe-blur", false)
	reason(doubtful, "speed", "camera-yaw", false)
	reason(doubtful, "knee_flexion_max", "camera-yaw", false)
	reason(doubtful, "toe_amplitude", "camera-pitch", false)
	reason(doubtful, "speed", "scale-from-height", false)
	for id, code := range map[string]string{"kick_frequency": "camera-yaw", "strouhal": "scale-from-height", "downkick_duration": "camera-pitch"} {
		if m, _ := doubtful.Measure(id); hasReason(m, code) {
			t.Errorf("%s needs no %s", id, code)
		}
	}
	corrected := at(120, Options{Clip: Clip{Yaw: 12 * degree, PlaneCorrected: true}})
	if m, _ := corrected.Measure("speed"); hasReason(m, "camera-yaw") {
		t.Error("a plane corrects the yaw")
	}
}

// A swimmer in a flume: no way to follow, the horizontal stands in.
func TestStandingStill(t *testing.T) {
	s := kicktest.Reference()
	s.Speed, s.Ripple = 0, 0
	r := measured(t, s.Fitted(kicktest.Times(0, 3, 120)), s.Subject, Options{})
	if r.Counted < 5 || !slices.ContainsFunc(r.Warnings, func(w string) bool { return strings.Contains(w, "horizontal") }) {
		t.Errorf("%d kicks, warnings %q", r.Counted, r.Warnings)
	}
	within(t, "tempo", value(t, r, "kick_frequency"), s.Frequency, 0.005)
	for id, known := range map[string]bool{"speed": false, "strouhal": false, "facing": false, "toe_amplitude": true, "knee_range": true, "build": true} {
		if m, _ := r.Measure(id); m.Known() != known || hasReason(m, "no-travel") == known {
			t.Errorf("%s in a flume: %+v", id, m)
		}
	}
	if r.Verdicts {
		t.Error("a verdict without speed")
	}
}

func TestUnusableMotions(t *testing.T) {
	s := kicktest.Reference()
	good := s.Motion(kicktest.Times(0, 2, 60))
	repeat := good
	repeat.T = slices.Clone(good.T)
	repeat.T[5] = repeat.T[4]
	endless := good
	endless.T = slices.Clone(good.T)
	endless.T[len(endless.T)-1] = 1e7
	noFeet := good
	noFeet.Paths[body.Toe], noFeet.Paths[body.Heel], noFeet.Paths[body.Ankle] = nil, nil, nil
	empty := body.Motion{T: good.T}
	for name, c := range map[string]struct {
		m    body.Motion
		kind error
	}{
		"no times":       {body.Motion{}, ErrMotion},
		"times repeat":   {repeat, ErrMotion},
		"endless":        {endless, ErrMotion},
		"no feet":        {noFeet, ErrMotion},
		"no landmarks":   {empty, body.ErrNoDirection},
		"three pictures": {s.Motion(kicktest.Times(0, 0.04, 60)), ErrMotion},
	} {
		if _, err := MeasureRun(t.Context(), c.m, s.Subject, Options{}); !errors.Is(err, c.kind) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// All NaN, one known sample, tiny stretches: no panic, no silent number.
func TestScraps(t *testing.T) {
	s := kicktest.Reference()
	for _, keep := range []int{0, 1, 3, 9, 20} {
		m := s.Motion(kicktest.Times(0, 2, 60))
		for _, p := range m.Paths {
			for i := range p.X {
				if i >= 30+keep || i < 30 {
					p.X[i], p.Y[i] = math.NaN(), math.NaN()
				}
			}
		}
		r, err := MeasureRun(t.Context(), m, s.Subject, Options{Draws: 5})
		if err != nil {
			if !errors.Is(err, body.ErrNoDirection) {
				t.Errorf("%d samples: %v", keep, err)
			}
			continue
		}
		if r.Counted != 0 {
			t.Errorf("%d samples: %d kicks", keep, r.Counted)
		}
	}
}

func TestAgainFindsTheSameExtremes(t *testing.T) {
	g := grid{dt: 0.01}
	var y []float64
	for i := range 101 {
		g.t = append(g.t, float64(i)*g.dt)
		y = append(y, math.Cos(2*math.Pi*2*g.t[i]))
	}
	c := cycle{series.Event{T: 0.02}, series.Event{T: 0.26}, series.Event{T: 0.49}}
	got := g.again(y, c)
	within(t, "bottom", got.bottom.T, 0.25, 1e-6)
	within(t, "next", got.next.T, 0.5, 1e-6)
}
