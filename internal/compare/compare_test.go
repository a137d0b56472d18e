package compare

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/kick/kicktest"
	"underkick/internal/limit"
)

// uneven lets kick number n be a little larger or smaller, so that kicks scatter.
func uneven(n int) float64 { return 1 + 0.03*float64((n*7)%5-2)/2 }

// film is how a made-up swimmer is filmed.
type film struct {
	rate    float64
	seconds float64
	left    bool
	supine  bool
}

func swum(t *testing.T, s kicktest.Swimmer, f film) *kick.Result {
	t.Helper()
	if f.seconds == 0 {
		f.seconds = 3.2
	}
	m := s.Fitted(kicktest.Times(0.05, f.seconds, f.rate))
	sx, sy := 1.0, 1.0
	if f.left {
		sx = -1
	}
	if f.supine {
		sy = -1
	}
	r, err := kick.MeasureRun(context.Background(), m.Transform(sx, 0, 0, sy), s.Subject, kick.Options{Supine: f.supine, Seed: 3, Draws: 40})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func run(id string, r *kick.Result) Run {
	return Run{
		Run:     limit.Run{ID: id, Result: r, Conditions: limit.Conditions{Effort: "race", Start: "push-off", Position: "prone", MarkedBy: "A. Coach"}},
		Swimmer: id, Short: "swimmer " + id,
	}
}

func reference() kicktest.Swimmer {
	s := kicktest.Reference()
	s.Size = uneven
	return s
}

// TestOneSwimmerFilmedDifferentlyIsOneSwimmer films one swimmer at unlike rates, from
// both sides, on front and back: the curves over phase agree, and no difference is named.
func TestOneSwimmerFilmedDifferentlyIsOneSwimmer(t *testing.T) {
	base := swum(t, reference(), film{rate: 120})
	want := Curves(base)
	for name, f := range map[string]film{
		"60 pictures a second":  {rate: 60},
		"240 pictures a second": {rate: 240},
		"to the left":           {rate: 100, left: true},
		"on the back":           {rate: 100, supine: true},
		"on the back, left":     {rate: 50, supine: true, left: true},
		"a shorter clip":        {rate: 120, seconds: 2.4},
	} {
		other := swum(t, reference(), f)
		for i, c := range Curves(other) {
			if !c.Known() {
				t.Errorf("%s: no curve of %s: %v", name, c.Name, c.Reasons)
				continue
			}
			for p := range Samples {
				reach := max(want[i].High[p]-want[i].Low[p], c.High[p]-c.Low[p])
				if d := math.Abs(c.Mean[p] - want[i].Mean[p]); !(d <= reach) {
					t.Errorf("%s: %s at %.2f is %.3f, want %.3f within %.3f", name, c.Name, phase(p), c.Mean[p], want[i].Mean[p], reach)
					break
				}
			}
		}
		said := Most(run("1", base), run("2", other))
		if len(said.Sentences) != 0 || !strings.Contains(said.Heading, "no difference is larger than its band") {
			t.Errorf("%s: %+v", name, said)
		}
	}
}

// TestSlowAndFastKicksLieOnOneAxis: the same kick at two tempos has the same joint angles
// over phase, while its foot is faster in proportion.
func TestSlowAndFastKicksLieOnOneAxis(t *testing.T) {
	slow, fast := reference(), reference()
	slow.Frequency, fast.Frequency = 1.8, 2.4
	a, b := Curves(swum(t, slow, film{rate: 120})), Curves(swum(t, fast, film{rate: 120}))
	for i := range a {
		for p := range Samples {
			switch a[i].ID {
			case "hip", "knee", "ankle":
				if d := math.Abs(a[i].Mean[p] - b[i].Mean[p]); d > 2.5 {
					t.Errorf("%s at %.2f differs by %.1f degrees", a[i].Name, phase(p), d)
				}
			case "foot_speed":
				if d := math.Abs(b[i].Mean[p]*1.8/2.4 - a[i].Mean[p]); d > 0.15 {
					t.Errorf("foot speed at %.2f: %.2f and %.2f m/s are not as 4 to 3", phase(p), a[i].Mean[p], b[i].Mean[p])
				}
			}
		}
	}
}

// TestAKnownDifferenceIsFound bends one swimmer's knee by 15 degrees more throughout.
func TestAKnownDifferenceIsFound(t *testing.T) {
	bent := reference()
	bent.Joints[body.KneeJoint].Mean += 15 * math.Pi / 180
	a, b := run("1", swum(t, reference(), film{rate: 120})), run("2", swum(t, bent, film{rate: 60, left: true}))
	var knee *Difference
	all := Differences(a, b)
	for i := range all {
		if all[i].ID == "knee" {
			knee = &all[i]
		}
	}
	if knee == nil {
		t.Fatalf("the knee is not among %+v", all)
	}
	if knee.Low > 15 || knee.High < 15 || knee.Size <= 1 {
		t.Errorf("the knee differs by %.1f (%.1f to %.1f), truth 15", knee.Value, knee.Low, knee.High)
	}
	for _, row := range NewTable([]Run{a, b}, []Judged{{}}) { // phase and time weigh a kick differently, extremes do not care
		if got := row.Against[0]; row.ID == "knee_flexion_max" && (math.Abs(got.Difference-15) > 0.5 || got.Low > 15 || got.High < 15) {
			t.Errorf("the largest knee flexion differs by %.2f (%.2f to %.2f), truth 15", got.Difference, got.Low, got.High)
		}
	}
	for i := 1; i < len(all); i++ {
		if all[i].Size > all[i-1].Size {
			t.Error("the differences are not in order")
		}
	}
	said := Most(a, b)
	if len(said.Sentences) == 0 || len(said.Sentences) > 3 || !strings.Contains(said.Heading, "swimmer 1 and swimmer 2 differ most here") {
		t.Errorf("%+v", said)
	}
	d := Difference{ID: "knee", Name: "knee flexion", Unit: "deg", Curve: true, Phase: 0.99, A: 58, B: 72, Value: 14, Low: 8, High: 20}
	if got, want := d.sentence(a, b), "Knee flexion at finish-up: 72° for swimmer 2, 58° for swimmer 1; 14° more (band 8° to 20°)."; strings.ReplaceAll(got, "8 to", "8° to") != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// made is a run whose curves and measures are a common kick plus scatter of mean and four
// harmonics, as differences are judged by.
func made(rng *rand.Rand, kicks int) *kick.Result {
	const perKick = 60
	n := kicks * perKick
	r := &kick.Result{Counted: kicks, Verdicts: true}
	s := &r.Signals
	wave := func(base float64) []float64 {
		x := make([]float64, n+1)
		for k := range kicks {
			var c [9]float64
			for j := range c {
				c[j] = 0.1 * rng.NormFloat64()
			}
			for i := range perKick + 1 {
				p := float64(i) / perKick
				v := base + math.Cos(2*math.Pi*p) + c[0]
				for h := 1; h <= 4; h++ {
					sin, cos := math.Sincos(2 * math.Pi * float64(h) * p)
					v += c[2*h-1]*cos + c[2*h]*sin
				}
				x[k*perKick+i] = v
			}
		}
		return x
	}
	for i := range n + 1 {
		s.T = append(s.T, float64(i)*0.5/perKick)
	}
	s.FootSpeed, s.FacingFoot, s.Hip, s.Knee, s.Ankle, s.Speed = wave(3), wave(3), wave(3), wave(3), wave(3), wave(3)
	for i := range s.FacingFoot {
		s.FacingFoot[i] /= 10 // a share: 0.2 to 0.4
	}
	s.Points[body.Toe] = &kick.Points{X: wave(0), Y: wave(0)}
	for k := range kicks {
		start := 0.5 * float64(k)
		r.Kicks = append(r.Kicks, kick.Kick{Number: k + 1, Start: start, Bottom: start + 0.25, End: start + 0.5, Counted: true})
	}
	for _, id := range Measures() {
		var sum, squares float64
		for range kicks {
			v := 5 + rng.NormFloat64()
			sum, squares = sum+v, squares+v*v
		}
		mean := sum / float64(kicks)
		sd := math.Sqrt((squares - sum*mean) / float64(kicks-1))
		r.Summary = append(r.Summary, kick.Measure{ID: id, Unit: "m", Value: mean, SD: sd, N: kicks, Low: mean, High: mean})
	}
	return r
}

// TestSilentWithinTheBands compares pairs of runs that differ by chance alone: something
// may be named in at most one pair of twenty.
func TestSilentWithinTheBands(t *testing.T) {
	for _, kicks := range []int{3, 5, 8} {
		rng := rand.New(rand.NewPCG(7, uint64(kicks)))
		const pairs = 400
		named := 0
		for range pairs {
			if len(Differences(run("1", made(rng, kicks)), run("2", made(rng, kicks)))) > 0 {
				named++
			}
		}
		share := float64(named) / pairs
		t.Logf("%d kicks: something is named in %.1f %% of pairs that differ by chance", kicks, 100*share)
		if share > 0.05+2*math.Sqrt(0.05*0.95/pairs) {
			t.Errorf("%d kicks: something is named in %.1f %% of pairs that differ by chance alone, 5 %% are allowed", kicks, 100*share)
		}
	}
}

// TestDegreesOfFreedom checks analytic limits: equal scatter and count give 2(n-1) as in
// the t test of equal variances; a run without scatter leaves n-1 of the other; known
// errors alone give the normal distribution.
func TestDegreesOfFreedom(t *testing.T) {
	if _, se, df := apart(mean{1, 2, 5, 0}, mean{4, 2, 5, 0}); math.Abs(df-8) > 1e-9 || math.Abs(se-2*math.Sqrt(2.0/5)) > 1e-12 {
		t.Errorf("equal runs: se %v, df %v", se, df)
	}
	if _, _, df := apart(mean{1, 2, 5, 0}, mean{4, 0, 9, 0}); math.Abs(df-4) > 1e-9 {
		t.Errorf("one run without scatter: df %v, want 4", df)
	}
	within := remembered(0.05, atOnePlace)
	d := between(mean{1, 0, 3, 0.3}, mean{2, 0, 3, 0.4}, within)
	if half := (d.High - d.Low) / 2; math.Abs(half-1.959964*0.5) > 1e-3 {
		t.Errorf("known errors of 0.3 and 0.4 reach to %v, want 1.96 * 0.5", half)
	}
	if d := between(mean{1, math.NaN(), 1, 0}, mean{2, 1, 4, 0}, within); !math.IsNaN(d.Low) || d.Value != 1 {
		t.Errorf("one kick has the band %v", d)
	}
}

// TestReachAgainstPrintedQuantiles: two-sided 95 % quantiles of Student's t as printed in
// any table (Student 1908 and after: 2.776 for 4, 2.228 for 10, 1.960 for many), and a
// curve always needs more than one place.
func TestReachAgainstPrintedQuantiles(t *testing.T) {
	one, curve := remembered(0.05, atOnePlace), remembered(0.05, onCurve)
	for df, want := range map[float64]float64{4: 2.776, 10: 2.228, 1e6: 1.960} {
		if got := one(df); math.Abs(got-want) > 0.004 {
			t.Errorf("%v degrees of freedom: %v, want %v", df, got, want)
		}
		if curve(df) <= one(df) {
			t.Errorf("%v degrees of freedom: a curve needs %v, one place %v", df, curve(df), one(df))
		}
	}
	if !math.IsNaN(one(0.5)) || !math.IsNaN(one(math.NaN())) {
		t.Error("less than one degree of freedom has a quantile")
	}
}

func TestTooFewKicksSayNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	a, b := run("1", made(rng, 2)), run("2", made(rng, 6))
	if got := Differences(a, b); got != nil {
		t.Errorf("named %v", got)
	}
	if said := Most(a, b); !strings.Contains(said.Heading, "too few kicks") || said.Sentences != nil {
		t.Errorf("%+v", said)
	}
}

// TestFacingNeedsLikeMarking gives two runs a facing that differs plainly.
func TestFacingNeedsLikeMarking(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	a, b := run("1", made(rng, 5)), run("2", made(rng, 5))
	for i := range b.Result.Signals.FacingFoot {
		b.Result.Signals.FacingFoot[i] += 0.4
	}
	named := func() (n int) {
		for _, d := range Differences(a, b) {
			if strings.HasPrefix(d.ID, "facing") {
				n++
			}
		}
		return n
	}
	if named() != 1 {
		t.Error("a plain difference in facing is not named")
	}
	b.Conditions.MarkedBy = "Somebody else"
	if named() != 0 {
		t.Error("facing is compared between two markers")
	}
}

func TestTypicalIsNoOutlier(t *testing.T) {
	s := kicktest.Reference()
	s.Size = func(n int) float64 {
		if n == 2 || n == 3 {
			return 1.25
		}
		return 1 + 0.01*float64(n%3)
	}
	r := swum(t, s, film{rate: 120})
	got := Typical(r)
	var amplitude, all []float64
	for _, k := range r.Kicks {
		if k.Counted {
			all = append(all, k.Values["toe_amplitude"])
			if k.Number == got {
				amplitude = append(amplitude, k.Values["toe_amplitude"])
			}
		}
	}
	if len(amplitude) != 1 {
		t.Fatalf("kick %d is not counted", got)
	}
	largest := all[0]
	for _, v := range all {
		largest = max(largest, v)
	}
	if amplitude[0] == largest {
		t.Errorf("kick %d is the odd one out: toe travel %.2f of %.2f", got, amplitude[0], all)
	}
	if Typical(&kick.Result{}) != 0 {
		t.Error("a run without kicks has a typical one")
	}
}

func TestAClipTooSlowForFootSpeedHasNoCurveOfIt(t *testing.T) {
	r := swum(t, reference(), film{rate: 20})
	for _, c := range Curves(r) {
		if c.ID == "foot_speed" && (c.Known() || len(c.Reasons) == 0) {
			t.Errorf("20 pictures per second give a foot speed, reasons %v", c.Reasons)
		}
	}
}

func TestTable(t *testing.T) {
	a, b := run("1", swum(t, reference(), film{rate: 120})), run("2", swum(t, reference(), film{rate: 60}))
	rows := NewTable([]Run{a, b}, []Judged{{}})
	if len(rows) != len(Measures()) {
		t.Fatalf("%d rows", len(rows))
	}
	for _, r := range rows {
		if r.Name == r.ID || len(r.Cells) != 2 || r.Cells[0].ID != r.ID {
			t.Errorf("row %+v", r)
		}
		if got := r.Against[0]; got.Verdict != limit.Refused || got.Why[0] != TwoSwimmers {
			t.Errorf("%s of two swimmers: %+v", r.ID, got)
		}
	}
	b.Swimmer = a.Swimmer
	judged := Judged{Changes: []limit.Change{{Measure: "speed", Verdict: limit.Higher, Smallest: 0.1}, {Measure: "sweep", Verdict: limit.Refused, Why: []string{"Too few."}}}}
	rows = NewTable([]Run{a, b}, []Judged{judged})
	if got := rows[0].Against[0]; got.Verdict != limit.Higher || got.Smallest != 0.1 {
		t.Errorf("speed: %+v", got)
	}
	for _, r := range rows {
		if r.ID == "sweep" && (r.Against[0].Why[0] != "Too few." || !math.IsNaN(r.Against[0].Smallest)) {
			t.Errorf("sweep: %+v", r.Against[0])
		}
		if r.ID == "ankle_min" && r.Against[0].Why[0] != NotRetested {
			t.Errorf("ankle: %+v", r.Against[0])
		}
	}
	judged.Swapped = true
	if got := NewTable([]Run{a, b}, []Judged{judged})[0].Against[0]; got.Verdict != limit.Lower {
		t.Errorf("a later first run: %+v", got)
	}
	if got := NewTable([]Run{a, b}, []Judged{{Why: []string{"One visit."}}})[0].Against[0]; got.Why[0] != "One visit." {
		t.Errorf("one visit: %+v", got)
	}
}

func TestUnlikeConditions(t *testing.T) {
	a, b := run("1", nil), run("2", nil)
	b.Conditions.Effort, b.Conditions.Equipment, b.Conditions.Start = "max", "fins", ""
	c := run("3", nil)
	got := Unlike([]Run{a, b, c})
	want := []string{"Effort differs: race for swimmer 1 and swimmer 3; max for swimmer 2.", "Equipment differs: none for swimmer 1 and swimmer 3; fins for swimmer 2."}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("got %q", got)
	}
}

// TestBandsStayWithinBounds marks a foot badly, so that the plain band of its facing
// reaches below 0: curve, table and difference stay within what facing can be, with the
// value inside.
func TestBandsStayWithinBounds(t *testing.T) {
	s := reference()
	m := s.Fitted(kicktest.Times(0.05, 3.2, 120))
	rough, err := kick.MeasureRun(context.Background(), m, s.Subject, kick.Options{Seed: 3, Draws: 40, Noise: kick.Noise{OffsetM: 0.08}})
	if err != nil {
		t.Fatal(err)
	}
	touched := 0
	for _, c := range Curves(rough) {
		if c.ID != "facing" && c.ID != "foot_speed" {
			continue
		}
		for i := range Samples {
			if c.Low[i] < 0 || c.ID == "facing" && c.High[i] > 1 || c.Mean[i] < c.Low[i] || c.Mean[i] > c.High[i] {
				t.Fatalf("%s at %.2f: %v, band %v to %v", c.Name, phase(i), c.Mean[i], c.Low[i], c.High[i])
			}
			if c.ID == "facing" && c.Low[i] == 0 && c.High[i] > 0.1 {
				touched++
			}
		}
	}
	if touched == 0 {
		t.Error("no band of facing reached its bound: the test asks nothing")
	}
	m1, _ := rough.Measure("facing_upkick")
	if m1.Low < 0 || m1.High > 1 || !(m1.High > m1.Low) {
		t.Errorf("facing_upkick %+v", m1)
	}
	for _, row := range NewTable([]Run{run("1", rough), run("2", swum(t, reference(), film{rate: 60}))}, []Judged{{}}) {
		a := row.Against[0]
		if strings.HasPrefix(row.ID, "facing") && (a.Low < -1 || a.High > 1 || !(a.Low <= a.Difference && a.Difference <= a.High)) {
			t.Errorf("%s differs by %v, band %v to %v", row.ID, a.Difference, a.Low, a.High)
		}
	}
	d := Difference{Value: 0.6, Low: -0.7, High: 1.9}.within(kick.BoundsOf("facing"))
	if d.Low != -0.7 || d.High != 1 {
		t.Errorf("difference of facing: %v to %v", d.Low, d.High)
	}
}
