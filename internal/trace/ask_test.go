package trace

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"underkick/internal/body"
)

// follower is a coach who marks what is asked, with click noise.
type follower struct {
	swimmer swimmer
	times   []float64
	rng     *rand.Rand
	marks   []body.Mark
	fit     *Traces
	visited []int
}

func newFollower(s swimmer, seed uint64) *follower {
	return &follower{swimmer: s, times: frames(5/s.tempo, 120), rng: rand.New(rand.NewPCG(seed, 1))}
}

// until follows the advice until the level is reached or no more than most marks
// would stand, and returns the last advice.
func (f *follower) until(t *testing.T, level, most int) Advice {
	t.Helper()
	for {
		a := Advise(f.times, f.marks, f.fit, AdviseOptions{})
		if a.Level >= level || a.Ask == nil || len(f.marks)+len(a.Ask.Landmarks) > most {
			return a
		}
		f.follow(t, a.Ask)
	}
}

func (f *follower) follow(t *testing.T, ask *Ask) {
	t.Helper()
	if len(ask.Landmarks) == 0 {
		t.Fatalf("nothing asked on frame %d", ask.Frame)
	}
	for _, m := range f.marks {
		if m.Frame == ask.Frame && slices.Contains(ask.Landmarks, m.Landmark) {
			t.Fatalf("%v on frame %d is asked again", m.Landmark, m.Frame)
		}
	}
	if !slices.Contains(f.visited, ask.Frame) {
		f.visited = append(f.visited, ask.Frame)
	}
	f.marks = append(f.marks, f.swimmer.click(f.times, []int{ask.Frame}, ask.Landmarks, clickPx, f.rng)...)
	f.fit, _ = Fit(f.times, f.marks, Options{}) // too few marks at first
}

// rms returns the true error of a landmark per axis, % of the body's length.
func (f *follower) rms(m body.Motion, l body.Landmark) float64 {
	return f.swimmer.compare(m, l).rms / math.Sqrt2
}

// The variances on which the choice stands are found another way than those of the
// fit (dense covariance against Kalman smoother) and must be the same.
func TestChoiceSeesTheErrorsOfTheFit(t *testing.T) {
	s := irregular(3)
	times, marks := fiveKicks(s, 3, 3)
	f := mustFit(t, times, marks)
	d := newField(f)
	for k, th := range f.threads {
		o := d.weigh(k, nil, nil)
		for i, at := range d.at {
			n, ok := slices.BinarySearch(th.axes[0].t, at)
			if !ok {
				continue
			}
			near(t, th.landmark.String(), math.Sqrt(o.at[i])/th.sd(n, 0), 1, 1e-4)
		}
	}
}

// The expected drop is what one more mark brings, tempo and tuning unchanged.
func TestExpectedDropComesTrue(t *testing.T) {
	s := both(4)
	times, marks := fiveKicks(s, 3, 4)
	f := mustFit(t, times, marks)
	d := newField(f)
	const k = 0
	before := d.weigh(k, nil, nil)
	for _, i := range []int{len(d.at) / 3, len(d.at) / 2} {
		if _, marked := slices.BinarySearch(f.tracks[k].own(), d.at[i]); marked {
			i++
		}
		more := *f.tracks[k]
		sd := math.Sqrt(before.click) / f.tuning.noise
		at, _ := slices.BinarySearch(more.own(), d.at[i])
		more.spots = slices.Insert(slices.Clone(more.spots), at, spot{t: d.at[i], sd: sd, loose: 1})
		g := *f
		g.tracks = slices.Clone(f.tracks)
		g.tracks[k] = &more
		again := *d
		again.f = &g
		after := again.weigh(k, nil, nil)
		near(t, "drop", (before.meanSquare-after.meanSquare)/before.gain[i], 1, 1e-6)
	}
}

// The phases of a kick come out staggered although nothing asks for it: on a regular
// swimmer, the toe's marks leave no large part of the kick open. Evenly spaced frames
// of the same number fall on the same few phases in every kick.
func TestStaggeredPhasesComeOut(t *testing.T) {
	for seed := range uint64(3) {
		f := newFollower(regular(seed), seed)
		f.until(t, 1, 120)
		var phases []float64
		for _, m := range f.marks {
			if m.Landmark == body.Toe {
				phases = append(phases, math.Mod((m.Time-f.times[0])*f.swimmer.tempo, 1))
			}
		}
		slices.Sort(phases)
		gap := phases[0] + 1 - phases[len(phases)-1]
		for i := 1; i < len(phases); i++ {
			gap = max(gap, phases[i]-phases[i-1])
		}
		t.Logf("seed %d: %d marks of the toe, largest gap %.2f of a kick", seed, len(phases), gap)
		if gap > 3/float64(len(phases)) {
			t.Errorf("%d marks of the toe leave %.2f of the kick open", len(phases), gap)
		}
	}
}

// Following the advice against full frames spread evenly, with no more clicks, over
// swimmers of all kinds: the median error of toe and foot must be well below. What
// staggered full frames reach, of a coach who knows the tempo beforehand, is logged
// beside it. The stated errors that decide what is enough must be true: over all
// swimmers the root mean square error may differ from the stated one by a third.
func TestFollowingBeatsEvenFrames(t *testing.T) {
	levels := [3]*comparison{1: {}, 2: {}}
	for _, kind := range []func(uint64) swimmer{regular, irregular, unsteady, both} {
		for seed := range uint64(2) {
			f := newFollower(kind(seed+100), seed)
			for level := 1; level <= 2; level++ {
				if a := f.until(t, level, 180); a.Level < level {
					t.Errorf("level %d is not reached with %d marks", level, len(f.marks))
				} else {
					levels[level].add(t, f, a)
				}
			}
		}
	}
	for level, c := range levels[1:] {
		n := float64(len(c.toe))
		t.Logf("level %d: %.0f clicks on %.0f frames; toe %.2f %% and foot %.1f deg (median), evenly spread %.2f and %.1f, staggered by who knows the tempo %.2f and %.1f",
			level+1, float64(c.clicks)/n, float64(c.visits)/n, median(c.toe), median(c.footDeg), median(c.evenToe), median(c.evenFoot), median(c.staggerToe), median(c.staggerFoot))
		if median(c.toe) > 0.8*median(c.evenToe) || median(c.footDeg) > 0.8*median(c.evenFoot) {
			t.Errorf("level %d: no better than evenly spread frames", level+1)
		}
		for i, l := range asked[:legs] {
			t.Logf("level %d: %v stated %.2f %%, true %.2f %%", level+1, l, math.Sqrt(c.stated[i]/n), math.Sqrt(c.found[i]/n))
			if ratio := math.Sqrt(c.found[i] / c.stated[i]); ratio < 0.5 || ratio > 1.33 {
				t.Errorf("level %d: the error of the %v is %.2f of the stated one", level+1, l, ratio)
			}
		}
	}
}

// comparison gathers over swimmers what following the advice reached, and what full
// frames reach with as many clicks.
type comparison struct {
	clicks, visits          int
	toe, footDeg            []float64
	evenToe, evenFoot       []float64
	staggerToe, staggerFoot []float64
	stated, found           [legs]float64 // sums of squares, % of the body's length
}

func (c *comparison) add(t *testing.T, f *follower, a Advice) {
	t.Helper()
	c.clicks, c.visits = c.clicks+len(f.marks), c.visits+len(f.visited)
	m := f.fit.Motion()
	c.toe, c.footDeg = append(c.toe, f.rms(m, body.Toe)), append(c.footDeg, f.foot(m))
	for i, l := range asked[:legs] {
		e := a.Errors.Landmarks[l] * 100
		c.stated[i] += e * e
		c.found[i] += f.rms(m, l) * f.rms(m, l)
	}
	n := (len(f.marks) + len(asked) - 1) / len(asked)
	var even []int
	for k := range n {
		even = append(even, k*(len(f.times)-1)/(n-1))
	}
	f.mark(t, even, &c.evenToe, &c.evenFoot)
	f.mark(t, staggered(f.times, f.swimmer.tempo, float64(n-1)/5), &c.staggerToe, &c.staggerFoot)
}

// mark marks full frames and adds the errors of toe and foot.
func (f *follower) mark(t *testing.T, picked []int, toe, foot *[]float64) {
	t.Helper()
	other, err := Fit(f.times, f.swimmer.click(f.times, picked, asked, clickPx, f.rng), Options{})
	if err != nil {
		t.Fatal(err)
	}
	m := other.Motion()
	*toe, *foot = append(*toe, f.rms(m, body.Toe)), append(*foot, f.foot(m))
}

// foot returns the true error of the direction from ankle to toe, degrees.
func (f *follower) foot(m body.Motion) float64 {
	sum, n := 0.0, 0.0
	a, b := m.Paths[body.Ankle], m.Paths[body.Toe]
	for i, t := range m.T {
		at := f.swimmer.at(t)
		is := math.Atan2(b.Y[i]-a.Y[i], b.X[i]-a.X[i])
		was := math.Atan2(at[body.Toe][1]-at[body.Ankle][1], at[body.Toe][0]-at[body.Ankle][0])
		if d := body.Wrap(is - was); !math.IsNaN(d) {
			sum += d * d
			n++
		}
	}
	return math.Sqrt(sum/n) * 180 / math.Pi
}

// Between the levels only the foot is asked for. What its marks teach about the movement
// may show that another landmark was believed too well; then the first level is taken back.
func TestFineLevelAsksForTheFoot(t *testing.T) {
	f := newFollower(regular(1), 1)
	a := f.until(t, 1, 150)
	back := 0
	for a.Level < 2 && len(f.marks) < 200 {
		for _, l := range a.Ask.Landmarks {
			if a.Level == 1 && l != body.Toe && l != body.Ankle {
				t.Errorf("level 1 is reached and %v is asked for", l)
			}
		}
		if a.Level == 0 {
			back++
		} else if a.Ask.Why != Fine || !(a.Ask.Drop > 0 && a.Ask.Drop < 1) {
			t.Errorf("asked %+v", a.Ask)
		}
		f.follow(t, a.Ask)
		a = Advise(f.times, f.marks, f.fit, AdviseOptions{})
	}
	if back > 3 {
		t.Errorf("the first level was taken back for %d frames", back)
	}
	if a.Ask == nil || a.Ask.Why != Spare {
		t.Errorf("after all is good enough: %+v", a.Ask)
	}
}

// A frame that cannot be marked has others to fall back on, none of them near it.
func TestOtherFramesLieElsewhere(t *testing.T) {
	f := newFollower(irregular(2), 2)
	for range 9 {
		a := Advise(f.times, f.marks, f.fit, AdviseOptions{})
		all := append([]int{a.Ask.Frame}, a.Ask.Others...)
		if len(all) < 3 {
			t.Fatalf("only %v to choose from", all)
		}
		for i, x := range all {
			for _, y := range all[:i] {
				if x == y {
					t.Fatalf("frame %d twice in %v", x, all)
				}
			}
		}
		f.follow(t, a.Ask)
	}
}

// Nothing is asked for where it has left the picture.
func TestNothingIsAskedOutsideThePicture(t *testing.T) {
	f := newFollower(regular(3), 3)
	f.until(t, 1, 60)
	const edge = 250.0 // px; the toe comes in from the middle of the run on
	for range 8 {
		a := Advise(f.times, f.marks, f.fit, AdviseOptions{InView: func(_, x, _ float64) bool { return x > edge }})
		at := f.swimmer.at(f.times[a.Ask.Frame])
		for _, l := range a.Ask.Landmarks {
			if at[l][0] < edge-15 {
				t.Errorf("%v on frame %d is asked for at x = %.0f", l, a.Ask.Frame, at[l][0])
			}
		}
		f.follow(t, a.Ask)
	}
}

// Frames on which the swimmer is not on the picture do not keep the meter from
// filling.
func TestWhatIsNotOnThePictureDoesNotCount(t *testing.T) {
	f := newFollower(regular(4), 4)
	half := AdviseOptions{InView: func(t, _, _ float64) bool { return t > 1.6 }}
	for k := range 40 {
		a := Advise(f.times, f.marks, f.fit, half)
		if f.fit != nil && a.Level > 0 {
			if b := Advise(f.times, f.marks, f.fit, AdviseOptions{}); b.Good.Sweep >= a.Good.Sweep {
				t.Errorf("half the run gives %.2f, all of it %.2f", a.Good.Sweep, b.Good.Sweep)
			}
			return
		}
		if a.Ask.Why == First { // the plan does not know yet; the coach does
			a.Ask.Frame = len(f.times)/2 + 5 + 23*k
		}
		f.follow(t, a.Ask)
	}
	t.Fatal("half a run is never good enough")
}

// A long run with many marks is weighed in the stretch around its worst instant.
func TestLongRunsAreWeighedWhereTheyAreWorst(t *testing.T) {
	s := irregular(6)
	times := frames(24, 120)
	var picked []int
	for _, i := range staggered(times, s.tempo, 5) {
		if i < 1800 || i > 1900 { // a gap of two kicks
			picked = append(picked, i)
		}
	}
	marks := s.click(times, picked, asked, clickPx, rand.New(rand.NewPCG(6, 6)))
	f := mustFit(t, times, marks)
	a := Advise(times, marks, f, AdviseOptions{})
	if a.Ask.Frame < 1790 || a.Ask.Frame > 1910 {
		t.Errorf("frame %d is asked for, the gap is from 1800 to 1900", a.Ask.Frame)
	}
	rms := 100 * a.Errors.Landmarks[body.Toe]
	if found := s.compare(f.Motion(), body.Toe).rms / math.Sqrt2; found < rms/3 || found > 2*rms {
		t.Errorf("toe stated %.2f %%, true %.2f %%", rms, found)
	}
	t.Logf("%d marks: toe stated %.2f %%, frame %d for %v", len(marks), rms, a.Ask.Frame, a.Ask.Why)
}

// A landmark that is not yet traced comes first, and the wrist stands in for the
// finger tips.
func TestMissingLandmarksComeFirst(t *testing.T) {
	s := regular(5)
	times := frames(5/s.tempo, 120)
	rng := rand.New(rand.NewPCG(1, 2))
	marks := s.click(times, staggered(times, s.tempo, 4), []body.Landmark{body.Toe, body.Ankle, body.Hip, body.Shoulder, body.Wrist}, clickPx, rng)
	a := Advise(times, marks, mustFit(t, times, marks), AdviseOptions{})
	if a.Ask.Why != First || !slices.Equal(a.Ask.Landmarks, []body.Landmark{body.Knee}) {
		t.Errorf("asked %+v, want the knee", a.Ask)
	}
	if a.Good.Speed != 0 || a.Good.Sweep <= 0 {
		t.Errorf("without a knee: %+v", a.Good)
	}
}

// Where two lengths of the kick fit the marks, a frame is asked for on which their
// courses lie apart by more than the standard errors.
func TestTempoIsAskedFor(t *testing.T) {
	s := regular(1)
	times := frames(5/s.tempo, 120)
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 3))
		picked := rng.Perm(len(times))[:6]
		slices.Sort(picked)
		marks := s.click(times, picked, asked, clickPx, rng)
		f, err := Fit(times, marks, Options{})
		if err != nil || f.rival == nil {
			continue
		}
		a := Advise(times, marks, f, AdviseOptions{})
		if a.Ask.Why != Tempo {
			t.Fatalf("asked %+v", a.Ask)
		}
		x, y := f.plain().Paths[body.Toe], f.rival.plain().Paths[body.Toe]
		i := a.Ask.Frame
		if d := math.Hypot(x.X[i]-y.X[i], x.Y[i]-y.Y[i]); !(d > 2*x.SD[i]) {
			t.Errorf("frame %d: courses %.1f px apart, standard error %.1f", i, d, x.SD[i])
		}
		if a.Level != 0 {
			t.Errorf("level %d with the tempo open", a.Level)
		}
		return
	}
	t.Fatal("no marks of these leave the tempo open")
}

func TestPlan(t *testing.T) {
	// All distances of a Golomb ruler differ.
	seen := map[float64]bool{}
	for i, a := range ruler {
		for _, b := range ruler[:i] {
			if seen[a-b] {
				t.Errorf("distance %g twice", a-b)
			}
			seen[a-b] = true
		}
	}
	for _, n := range []int{1, 2, 5, 30, 2400} {
		times := frames(float64(n-1)/120, 120)[:n]
		a := Advise(times, nil, nil, AdviseOptions{})
		if a.Ask == nil || a.Ask.Frame < 0 || a.Ask.Frame >= n || len(a.Ask.Landmarks) != len(asked) {
			t.Errorf("%d frames: asked %+v", n, a.Ask)
		}
		if a.Good != (Good{}) || a.Level != 0 {
			t.Errorf("%d frames: good %+v before any mark", n, a.Good)
		}
	}
	if a := Advise(nil, nil, nil, AdviseOptions{}); a.Ask != nil {
		t.Errorf("no frames: %+v", a.Ask)
	}
}

// The whole advice must not be felt beside the fit: 10 s at 240 frames per second,
// seven landmarks, 80 marked frames.
func BenchmarkAdvise(b *testing.B) {
	s := regular(1)
	times := frames(10, 240)
	marks := s.click(times, staggered(times, s.tempo, 3.5), asked, clickPx, rand.New(rand.NewPCG(1, 1)))
	f, err := Fit(times, marks, Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		Advise(times, marks, f, AdviseOptions{})
	}
}

// Whole frames are marked by whoever leaves nothing out that measures need, on two frames
// or more; the wrist stands in for the finger tip, the heel is not needed.
func TestWhoMarksWholeFrames(t *testing.T) {
	at := func(i int, landmarks ...body.Landmark) (marks []body.Mark) {
		for _, l := range landmarks {
			marks = append(marks, body.Mark{Frame: i, Time: float64(i) / 100, Landmark: l, X: 1, Y: 1})
		}
		return marks
	}
	without := func(left body.Landmark) []body.Landmark {
		return slices.DeleteFunc(slices.Clone(seven), func(l body.Landmark) bool { return l == left })
	}
	for _, c := range []struct {
		name  string
		marks []body.Mark
		want  bool
	}{
		{"nothing", nil, false},
		{"one frame", at(3, seven...), false},
		{"two frames", append(at(3, seven...), at(9, seven...)...), true},
		{"without the heel", append(at(3, seven...), at(9, without(body.Heel)...)...), true},
		{"the wrist for the finger tip", append(at(3, seven...), at(9, append(without(body.Fingertip), body.Wrist)...)...), true},
		{"without the hip", append(at(3, seven...), at(9, without(body.Hip)...)...), false},
		{"a third frame with the foot alone", slices.Concat(at(3, seven...), at(9, seven...), at(20, body.Toe, body.Ankle)), false},
	} {
		if got := marksWhole(c.marks); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
