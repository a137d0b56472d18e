package trace

import (
	"math"

	"underkick/internal/body"
)

// Why says what a frame is asked for.
type Why int

// The reasons in the order in which they come up.
const (
	First  Why = iota // the first marks, spread over the run and over the kick
	Tempo             // two lengths of the kick fit the marks; this frame tells them apart
	Coarse            // speed and sweep are not good enough yet
	Fine              // build and facing are not good enough yet
	Spare             // all is good enough; this frame would still narrow the bands most
)

// Ask is the frame whose marking would help most.
type Ask struct {
	Frame     int             // index into the times
	Landmarks []body.Landmark // to mark on it, most useful first
	Others    []int           // what to look at when the frame cannot be marked, best first
	Why       Why
	Drop      float64 // expected drop of the mean square error asked about, as a share; 0 for First and Tempo
}

// Advice is how good the traces are and what to mark next.
type Advice struct {
	Ask    *Ask // nil when there is nothing left to mark
	Errors Errors
	Good   Good
	Level  int // 0, 1 or 2: which of the two levels is reached
}

// asked lists the landmarks that measures need, in marking order; the wrist stands
// in for the finger tips.
var asked = []body.Landmark{body.Toe, body.Ankle, body.Knee, body.Hip, body.Shoulder, body.Fingertip}

// legs is how many of them move with every kick.
const legs = 4

// frameCost is what going to another frame costs, in clicks: a key, and finding
// one's way on a new picture. On the synthetic swimmers the clicks needed hardly
// depend on it from 1 to 5, the frames fall by a fifth.
const frameCost = 4

// AdviseOptions are the choices of Advise. The zero value is the default.
type AdviseOptions struct {
	// InView tells whether a place at a time (s) lies on the picture; landmarks are
	// not asked for where their trace has left it. nil = all do.
	InView func(t, x, y float64) bool
}

// Advise tells how good the traces f of the marks are and which frame to mark next.
// times are the frames and marks the marks that f was made from; f is nil while no
// fit could be made. Where every frame is marked there is nothing left to ask.
//
// The choice: each landmark's mean square standard error over the run is held
// against the limits of Good, and the frame is taken on which marking lowers what
// is above its limit most per click. By how much a mark lowers it is exact for the
// Gaussian process of the fit with its tempo and tuning as they stand; the place of
// a mark does not matter for that, so it is known before marking.
func Advise(times []float64, marks []body.Mark, f *Traces, opt AdviseOptions) Advice {
	if len(times) == 0 {
		return Advice{Errors: unknown()}
	}
	marks = snap(marks, times)
	if f == nil {
		return Advice{Errors: unknown(), Ask: plan(times, marks, lacking(marks, nil))}
	}
	a := &adviser{field: newField(f), size: bodySize(marks), foot: together(marks).apart(body.Ankle, body.Toe), inView: opt.InView}
	if f.guess != nil {
		a.size, a.foot, a.whole = f.guess.length, f.guess.foot, marksWhole(marks)
	}
	a.open = make([]*open, len(f.threads))
	a.motion = f.plain()
	a.sweep = newSweep(a.field, a.motion.Paths[body.Toe])
	each(f.threads, func(k int, th *thread) {
		o := a.weigh(k, func(i int) bool { return a.seen(th.landmark, i) }, a.sweep)
		a.open[k] = &o
	})
	out := Advice{Errors: a.errors()}
	out.Good = out.Errors.Good()
	out.Level = out.Good.Level()
	switch missing := lacking(marks, f); {
	case len(missing) > 0:
		out.Ask = plan(times, marks, missing)
	case f.rival != nil:
		out.Ask = a.apart(marks)
	default:
		out.Ask = a.choose(out, marks)
	}
	return out
}

// adviser weighs the traces of a fit.
type adviser struct {
	*field
	size float64 // length of the body, unit of the marks
	foot float64 // ankle to toe
	open []*open // by thread

	inView func(t, x, y float64) bool
	whole  bool        // all landmarks of a frame get marked, whatever is asked for
	motion body.Motion // of the fit
	sweep  *sweep      // nil when no whole kick of the toe is traced
}

// choose asks for the frame that lowers the errors above their limits most.
func (a *adviser) choose(now Advice, marks []body.Mark) *Ask {
	why := [...]Why{Coarse, Fine, Spare}[now.Level]
	weight := a.weights(now.Errors, why)
	if a.whole && why == Coarse {
		for l, fine := range a.weights(now.Errors, Fine) {
			weight[l] += fine
		}
	}
	of := a.byLandmark()
	whole := 0.0
	for l, o := range of {
		if o != nil {
			whole += weight[l] * o.meanSquare
		}
	}
	sweep := 0.0
	if e := now.Errors.Sweep; why == Coarse && e > amplitudeLimit && !math.IsInf(e, 1) {
		sweep = 1 / (amplitudeLimit * amplitudeLimit * a.sweep.size * a.sweep.size)
		whole += sweep * of[body.Toe].sweep
	}
	return a.ask(why, marks, func(l body.Landmark, i int) float64 {
		sum := 0.0
		if weight[l] != 0 {
			sum = weight[l] * of[l].gain[i]
		}
		if l == body.Toe && sweep != 0 {
			sum += sweep * of[l].sweepGain[i]
		}
		return sum / whole
	})
}

// ask takes the frame with the highest gain per click, and on it the landmarks that
// are worth their click.
func (a *adviser) ask(why Why, marks []body.Mark, gain func(l body.Landmark, i int) float64) *Ask {
	has := map[float64]int{}
	for _, m := range marks {
		has[m.Time] |= 1 << m.Landmark
	}
	found := make([]offer, len(a.at))
	for i, t := range a.at {
		found[i] = a.offer(has[t], i, gain)
	}
	best := pick(found)
	if best < 0 {
		return nil
	}
	ask := &Ask{Frame: a.frames[best], Landmarks: found[best].landmarks, Why: why}
	if why != Tempo {
		ask.Drop = found[best].drop
	}
	for range otherFrames {
		for i := range found {
			if math.Abs(a.at[i]-a.at[best]) < otherApart*a.f.clock.period {
				found[i].worth = 0
			}
		}
		if best = pick(found); best < 0 {
			break
		}
		ask.Others = append(ask.Others, a.frames[best])
	}
	return ask
}
