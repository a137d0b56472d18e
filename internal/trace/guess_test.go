package trace

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"underkick/internal/body"
)

// seer sees the synthetic swimmer the way a pose network does: off by what is steady in
// the axes of a segment, by what comes back in every kick, by a slow drift, and shakily.
// Shares of the body's length, per axis.
const (
	seerSteady = 0.012
	seerKick   = 0.010
	seerDrift  = 0.004
	seerShake  = 0.005
)

func seerHabit(l body.Landmark) *Habit {
	segment := map[body.Landmark][2]body.Landmark{
		body.Fingertip: {body.Fingertip, body.Shoulder}, body.Shoulder: {body.Shoulder, body.Hip}, body.Hip: {body.Shoulder, body.Hip},
		body.Knee: {body.Hip, body.Knee}, body.Ankle: {body.Knee, body.Ankle}, body.Heel: {body.Knee, body.Ankle}, body.Toe: {body.Knee, body.Ankle},
	}
	s, ok := segment[l]
	if !ok {
		return nil
	}
	h := &Habit{From: s[0], To: s[1], Steady: seerSteady, Kick: seerKick, Drift: seerDrift}
	if l == body.Fingertip {
		h.Along = -0.057 // the knuckle is seen, not the tip
	}
	return h
}

// see returns what is seen of the swimmer on every second frame.
func (s swimmer) see(times []float64, seed uint64) Seen {
	rng := rand.New(rand.NewPCG(seed, 5))
	var out Seen
	for l := range body.Landmark(body.NumLandmarks) {
		h := seerHabit(l)
		if h == nil {
			continue
		}
		out.Habits[l] = h
		var steady, drift [2]float64
		var kick [2][4]float64
		for a := range 2 {
			steady[a], drift[a] = seerSteady*rng.NormFloat64(), seerDrift*rng.NormFloat64()
			for k := range kick[a] {
				kick[a][k] = seerKick / 2 * rng.NormFloat64()
			}
		}
		for i := 0; i < len(times); i += 2 {
			at := s.at(times[i])
			keep := math.Exp(-2 / 120.0 * s.tempo / 0.35)
			p := s.tempo * times[i]
			if s.phase != nil {
				p = s.phase(times[i])
			}
			var e [2]float64
			for a := range 2 {
				drift[a] = keep*drift[a] + seerDrift*math.Sqrt(1-keep*keep)*rng.NormFloat64()
				sin, cos := math.Sincos(2 * math.Pi * p)
				sin2, cos2 := math.Sincos(4 * math.Pi * p)
				k := kick[a]
				e[a] = steady[a] + drift[a] + k[0]*cos + k[1]*sin + k[2]*cos2 + k[3]*sin2
			}
			dx, dy := at[h.To][0]-at[h.From][0], at[h.To][1]-at[h.From][1]
			d := math.Hypot(dx, dy)
			ex, ey := dx/d, dy/d
			e[0] -= h.Along
			out.Points = append(out.Points, body.Mark{
				Frame: i, Time: times[i], Landmark: l,
				X: at[l][0] + s.length*(e[0]*ex-e[1]*ey+seerShake*rng.NormFloat64()),
				Y: at[l][1] + s.length*(e[0]*ey+e[1]*ex+seerShake*rng.NormFloat64()),
			})
		}
	}
	mid := len(times) / 2
	out.Pointed = s.click(times, []int{mid}, []body.Landmark{body.Fingertip, body.Toe}, 3, rng)
	for i := range out.Pointed {
		out.Pointed[i].SD = 4
	}
	return out
}

var seven = []body.Landmark{body.Fingertip, body.Shoulder, body.Hip, body.Knee, body.Ankle, body.Heel, body.Toe}

func mustGuess(t *testing.T, times []float64, s Seen) *Guess {
	t.Helper()
	g, err := NewGuess(times, s)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func mustFitGuess(t *testing.T, times []float64, marks []body.Mark, g *Guess) *Traces {
	t.Helper()
	f, err := Fit(times, marks, Options{Guess: g})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The stated errors of a guess put right by marks are honest from the first marked
// frame on, and never too narrow without any: the bar of the design, 90 to 99 %, over
// swimmers of all kinds. A few marked frames are worth many without the guess.
func TestGuessAndMarks(t *testing.T) {
	kinds := []func(uint64) swimmer{regular, irregular, unsteady, both}
	for _, n := range []int{0, 1, 5, 10, 20} {
		const clips = 24
		var covered, square [body.NumLandmarks]float64
		for seed := range uint64(clips) {
			s := kinds[seed%4](seed + 300)
			times := frames(5/s.tempo, 120)
			g := mustGuess(t, times, s.see(times, seed))
			rng := rand.New(rand.NewPCG(seed, 2))
			var picked []int
			for k := range n {
				picked = append(picked, int((float64(k)+rng.Float64())/float64(n)*float64(len(times))))
			}
			m := mustFitGuess(t, times, s.click(times, picked, seven, clickPx, rng), g).Motion()
			for _, l := range seven {
				sc := s.compare(m, l)
				if sc.frames != len(times) {
					t.Fatalf("%v is traced on %d of %d frames", l, sc.frames, len(times))
				}
				covered[l] += sc.covered / clips
				square[l] += sc.rms * sc.rms / clips
			}
		}
		for _, l := range seven {
			t.Logf("%d frames: %v %.2f %% of body, inside the band %.3f", n, l, math.Sqrt(square[l]), covered[l])
			if covered[l] < 0.90 || n >= 5 && covered[l] > 0.99 {
				t.Errorf("%d frames: %v inside its band %.1f %% of the time", n, l, 100*covered[l])
			}
		}
		if toe := math.Sqrt(square[body.Toe]); n == 10 && toe > 1 {
			t.Errorf("10 marked frames leave the toe off by %.2f %%", toe)
		}
	}
}

// Nothing that was seen or pointed at counts as marked: every landmark of every frame
// can be asked for, nothing is reported as a wild mark, and the errors are those of the
// habits until somebody marks.
func TestAGuessIsNoMark(t *testing.T) {
	s := regular(1)
	times := frames(5/s.tempo, 120)
	seen := s.see(times, 1)
	g := mustGuess(t, times, seen)
	f := mustFitGuess(t, times, nil, g)
	a := Advise(times, nil, f, AdviseOptions{})
	if a.Level != 0 || a.Ask == nil || a.Ask.Why != Coarse || len(a.Ask.Landmarks) == 0 {
		t.Fatalf("advice without a mark: %+v, %+v", a, a.Ask)
	}
	least := math.Hypot(seerSteady, seerKick)
	for _, l := range []body.Landmark{body.Shoulder, body.Hip, body.Knee, body.Ankle, body.Heel} {
		if e := a.Errors.Landmarks[l]; e < 0.9*least || e > 2*least {
			t.Errorf("%v: stated %.2f %% before any mark, the habits say %.2f", l, 100*e, 100*least)
		}
		if !f.Guessed(l) || f.Landmarks[l].Marks != 0 {
			t.Errorf("%v: guessed %v, %+v", l, f.Guessed(l), f.Landmarks[l])
		}
	}
	middle := len(times) / 2
	marks := s.click(times, []int{middle}, seven, clickPx, rand.New(rand.NewPCG(1, 1)))
	if after := Advise(times, marks, mustFitGuess(t, times, marks, g), AdviseOptions{}); after.Errors.Landmarks[body.Hip] > 0.8*a.Errors.Landmarks[body.Hip] {
		t.Errorf("a marked frame takes the hip from %.2f to %.2f %%", 100*a.Errors.Landmarks[body.Hip], 100*after.Errors.Landmarks[body.Hip])
	}
	// Pointed at far off: that is not a mark of the person's to be looked at again.
	seen.Pointed[0].X += 300
	if f := mustFitGuess(t, times, marks, mustGuess(t, times, seen)); len(f.Outliers) != 0 {
		t.Errorf("outliers %v", f.Outliers)
	}
}

// A mark that is far off both guess and other marks is reported and does no harm.
func TestWildMarkBesideAGuess(t *testing.T) {
	s := regular(2)
	times := frames(5/s.tempo, 120)
	g := mustGuess(t, times, s.see(times, 2))
	marks := s.click(times, []int{20, 60, 100, 140, 180, 220}, seven, clickPx, rand.New(rand.NewPCG(2, 1)))
	good := mustFitGuess(t, times, marks, g).Motion()
	at := slices.IndexFunc(marks, func(m body.Mark) bool { return m.Frame == 100 && m.Landmark == body.Knee })
	marks[at].Y += 120
	f := mustFitGuess(t, times, marks, g)
	if !slices.Equal(f.Outliers, []int{at}) {
		t.Errorf("outliers %v, want %d", f.Outliers, at)
	}
	p, q := f.Motion().Paths[body.Knee], good.Paths[body.Knee]
	for i := range times {
		if d := math.Hypot(p.X[i]-q.X[i], p.Y[i]-q.Y[i]); d > 0.025*s.length { // what a mark less may cost
			t.Fatalf("frame %d: the wild mark moves the knee by %.1f px", i, d)
		}
	}
}

// Draws scatter about the motion as its standard errors say, in place and as the
// course of one error: a steady offset is drawn as one.
func TestGuessDrawsScatter(t *testing.T) {
	s := regular(3)
	times := frames(5/s.tempo, 120)
	g := mustGuess(t, times, s.see(times, 3))
	f := mustFitGuess(t, times, s.click(times, []int{30, 170}, seven, clickPx, rand.New(rand.NewPCG(3, 1))), g)
	m := f.Motion().Paths[body.Toe]
	rng := rand.New(rand.NewPCG(8, 8))
	const n, at = 400, 90
	square, together := 0.0, 0.0
	for range n {
		p := f.Draw(rng).Paths[body.Toe]
		d, next := p.Y[at]-m.Y[at], p.Y[at+6]-m.Y[at+6] // 50 ms on
		e := p.X[at] - m.X[at]
		square += (d*d + e*e) / (2 * n)
		together += d * next / n
	}
	near(t, "scatter of draws over SD", math.Sqrt(square)/m.SD[at], 1, 0.15)
	if r := together / square; r < 0.5 {
		t.Errorf("errors 50 ms apart are correlated by %.2f only", r)
	}
}

// Velocities are the derivative of the places, turning segments included.
func TestGuessVelocity(t *testing.T) {
	s := regular(4)
	times := frames(5/s.tempo, 480)
	g := mustGuess(t, times, s.see(times, 4))
	p := mustFitGuess(t, times, s.click(times, []int{100, 500, 900}, seven, clickPx, rand.New(rand.NewPCG(4, 1))), g).Motion().Paths[body.Toe]
	worst := 0.0
	for _, v := range p.VY {
		worst = max(worst, math.Abs(v))
	}
	for i := 1; i+1 < len(times); i++ {
		near(t, "velocity", p.VY[i], (p.Y[i+1]-p.Y[i-1])/(times[i+1]-times[i-1]), 0.01*worst)
	}
}

// A guess that was lost a little before the end leaves the rest to the marks; one that
// saw a tenth of the run is not used.
func TestLostGuess(t *testing.T) {
	s := regular(5)
	times := frames(5/s.tempo, 120)
	seen := s.see(times, 5)
	until := func(share float64) Seen {
		out := seen
		out.Points = slices.DeleteFunc(slices.Clone(seen.Points), func(m body.Mark) bool { return m.Frame > int(share*float64(len(times))) })
		return out
	}
	marks := s.click(times, staggered(times, s.tempo, 3), nine, clickPx, rand.New(rand.NewPCG(5, 1)))
	m := mustFitGuess(t, times, marks, mustGuess(t, times, until(0.8))).Motion()
	if sc := s.compare(m, body.Toe); sc.frames != len(times) || sc.rms > 1.5 {
		t.Errorf("lost at 80 %%: toe off by %.2f %% on %d of %d frames", sc.rms, sc.frames, len(times))
	}
	half := mustFitGuess(t, times, nil, mustGuess(t, times, until(0.5)))
	if len(half.Warnings) != 1 || !strings.Contains(half.Warnings[0], "fingertip, shoulder, hip, knee, ankle, heel, toe") {
		t.Errorf("lost half-way: warnings %v", half.Warnings)
	}
	if sc := s.compare(m, body.Rib); sc.frames != len(times) || sc.rms > 0.8 {
		t.Errorf("the rib, which is not guessed: %.2f %% on %d frames", sc.rms, sc.frames)
	}
	if _, err := NewGuess(times, until(0.1)); !errors.Is(err, ErrUnseen) {
		t.Errorf("a tenth of a guess: %v", err)
	}
	if _, err := NewGuess(times, until(0.01)); !errors.Is(err, ErrUnseen) {
		t.Errorf("three frames of a guess: %v", err)
	}
	if _, err := NewGuess(times, Seen{}); !errors.Is(err, ErrUnseen) {
		t.Errorf("no guess: %v", err)
	}
}

// However much of the run a guess saw before it lost the swimmer, with twenty marked frames
// the traces are about as good as from the marks alone, or better: a lost guess may know a
// wrong tempo.
func TestLostGuessDoesNotSpoilTheMarks(t *testing.T) {
	for _, share := range []float64{0.1, 0.18, 0.25, 0.35, 0.5, 0.7} {
		alone, with, seenAtAll := 0.0, 0.0, 0
		for seed := range uint64(8) {
			s := irregular(seed + 40)
			times := frames(5/s.tempo, 120)
			seen := s.see(times, seed)
			first := (0.5 - share/2) * float64(len(times))
			seen.Points = slices.DeleteFunc(seen.Points, func(m body.Mark) bool {
				return float64(m.Frame) < first || float64(m.Frame) > first+share*float64(len(times))
			})
			marks := s.click(times, staggered(times, s.tempo, 4), seven, clickPx, rand.New(rand.NewPCG(seed, 3)))
			off := s.compare(mustFit(t, times, marks).Motion(), body.Toe).rms
			alone += off
			if g, err := NewGuess(times, seen); err == nil {
				seenAtAll++
				off = s.compare(mustFitGuess(t, times, marks, g).Motion(), body.Toe).rms
			} else if !errors.Is(err, ErrUnseen) {
				t.Fatal(err)
			}
			with += off
		}
		t.Logf("seen on %.0f %%: used %d times of 8, toe %.2f %% off, without a guess %.2f %%", 100*share, seenAtAll, with/8, alone/8)
		if with > 1.25*alone {
			t.Errorf("seen on %.0f %%: toe %.2f %% off, without a guess %.2f %%", 100*share, with/8, alone/8)
		}
	}
}

// A wild mark of a landmark that was not seen is told by its place among all marks.
func TestWildMarkOfAnUnseenLandmark(t *testing.T) {
	s := regular(5)
	times := frames(5/s.tempo, 120)
	seen := s.see(times, 5)
	seen.Habits[body.Toe] = nil
	g := mustGuess(t, times, seen)
	var picked []int
	for k := 2; k < len(times); k += 4 {
		picked = append(picked, k)
	}
	marks := s.click(times, picked, seven, clickPx, rand.New(rand.NewPCG(5, 1)))
	at := slices.IndexFunc(marks, func(m body.Mark) bool { return m.Frame == picked[len(picked)/2] && m.Landmark == body.Toe })
	marks[at].Y += 150
	if f := mustFitGuess(t, times, marks, g); !slices.Equal(f.Outliers, []int{at}) {
		t.Errorf("outliers %v, want %d", f.Outliers, at)
	}
}
