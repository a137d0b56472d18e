package poolside

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/score"
	"underkick/internal/trace"
)

// EvaluateRequest asks how good the measuring is on clips with known truth.
type EvaluateRequest struct {
	Dir     string    // folder of NAME.truth.json with NAME.marks.json beside them; "" = the demo's clips
	Frames  []int     // a simulated coach marks as many full frames of each run
	PerKick []float64 // the same, per kick seen
	Levels  []int     // the same, as the marking page asks until its marks are enough for the level, 1 or 2
	NoisePx float64   // the coach's click noise per axis; 0 = 2 px
	Repeats int       // coaches per clip and number; 0 = 4
	Guess   EvaluateGuess
	Worth   bool // also how well the worth of facing is known; about a second more for each run
	Seed    uint64
}

const (
	coachNoisePx = 2.0
	coachRepeats = 4
)

// Evaluation is how good the measuring is, one row per way of marking.
type Evaluation struct{ Markings []Marking }

// Marking is one way of marking, on all clips that could be marked so.
type Marking struct {
	Name  string // "marks beside the clip", "4 frames per kick"
	Total Scored // all clips together
	Clips []ClipScore
}

// ClipScore is one clip marked in one way.
type ClipScore struct {
	Clip    string
	Problem string // why it could not be measured, else ""
	Scored
}

// Scored are the errors against the truth.
type Scored struct {
	Runs      int     // measured runs
	Frames    float64 // marked frames per run
	Marks     float64 // marks per run
	Landmarks []score.Landmark
	FootDeg   float64 // rms error of the direction from ankle to toe
	ToeSpeed  float64 // rms error of the toe's velocity as a share of its peak; NaN where none was fitted
	Measures  []score.Measure
	BandsHeld int // bands of measures that hold the truth
	BandsOf   int
	Worth     *FacingWorth // nil when it was not asked for
}

// Evaluate measures clips of which the truth is known, from the marks beside them
// and from those of simulated coaches, and compares. progress is told which clip
// is being measured. Errors about the files wrap ErrInput.
func Evaluate(ctx context.Context, req EvaluateRequest, progress func(doing string)) (*Evaluation, error) {
	if req.NoisePx == 0 {
		req.NoisePx = coachNoisePx
	}
	if req.Repeats == 0 {
		req.Repeats = coachRepeats
	}
	clips, err := demoClips()
	if req.Dir != "" {
		clips, err = folderClips(req.Dir)
	}
	if err != nil {
		return nil, err
	}
	e := evaluator{req: req, clips: clips, progress: progress}
	if err := e.prepare(ctx); err != nil {
		return nil, err
	}
	return e.all(ctx)
}

// evaluator holds the clips with their exact results.
type evaluator struct {
	req      EvaluateRequest
	clips    []*knownClip
	progress func(string)
	exact    []exactClip
	seen     []trace.Seen // by clip; nil without a guess
}

// exactClip is the truth of a clip as it is compared.
type exactClip struct {
	px     body.Motion // of the run
	pool   body.Motion
	length float64 // of the body, px
	period float64 // s
	truths map[string]float64
	worth  float64 // of facing, m/s; set where it is asked for
	result *kick.Result
}

func (e *evaluator) prepare(ctx context.Context) error {
	for _, k := range e.clips {
		x, err := k.exactly(ctx)
		if err != nil {
			return inputf("the truth of %s: %w", k.name, err)
		}
		if e.req.Worth {
			e.progress(k.name + ", the worth of facing")
			if x.worth, err = exactWorth(x.result, x.pool, k.input(nil).Subject); err != nil {
				return inputf("the worth of facing in %s: %w", k.name, err)
			}
		}
		e.exact = append(e.exact, x)
	}
	if e.req.Guess.Film != nil {
		return e.see(ctx)
	}
	return nil
}

func (k *knownClip) exactly(ctx context.Context) (exactClip, error) {
	x := exactClip{px: k.within(k.px)}
	view, err := k.view(0, rand.New(rand.NewPCG(0, 0)))
	if err != nil {
		return x, err
	}
	if x.pool, err = k.exact(view); err != nil {
		return x, err
	}
	in := k.input(view)
	r, err := kick.MeasureRun(ctx, x.pool, in.Subject, kick.Options{Supine: k.supine, Clip: in.Clip, Draws: -1})
	if err != nil {
		return x, err
	}
	x.result, x.truths = r, k.truths(r)
	if x.length = score.BodyLength(x.px); !(x.length > 0) {
		return x, fmt.Errorf("finger tip (or wrist), shoulder, hip, knee, ankle and toe are needed")
	}
	x.period, err = k.period()
	return x, err
}

// all runs every way of marking.
func (e *evaluator) all(ctx context.Context) (*Evaluation, error) {
	ways := []way{e.beside()}
	for _, n := range e.req.Frames {
		ways = append(ways, e.coach(fmt.Sprintf("%d frames", n), func(int) int { return n }))
	}
	for _, per := range e.req.PerKick {
		ways = append(ways, e.perKick(per))
	}
	for _, level := range e.req.Levels {
		ways = append(ways, e.asked(level, false))
	}
	if e.seen != nil {
		ways = append(ways, e.guessed()...)
	}
	out := &Evaluation{}
	for _, w := range ways {
		m, err := e.marking(ctx, w)
		if err != nil {
			return nil, err
		}
		if len(m.Clips) > 0 {
			out.Markings = append(out.Markings, m)
		}
	}
	return out, nil
}

// way is one way of marking clip i.
type way struct {
	name    string
	repeats int
	guess   bool
	marks   func(i int, seed uint64) []body.Mark // nil: not for this clip
}

// beside are the marks that somebody made.
func (e *evaluator) beside() way {
	return way{name: "marks beside the clip", repeats: 1, marks: func(i int, _ uint64) []body.Mark {
		if e.clips[i].marks == nil {
			return nil
		}
		return e.clips[i].marks.Marks
	}}
}

// perKick is the simulated coach with so many frames for each kick seen.
func (e *evaluator) perKick(per float64) way {
	return e.coach(fmt.Sprintf("%g frames per kick", per), func(i int) int {
		span := e.exact[i].px.T[len(e.exact[i].px.T)-1] - e.exact[i].px.T[0]
		return int(math.Round(per * span / e.exact[i].period))
	})
}

// coach is the simulated coach with so many frames on clip i.
func (e *evaluator) coach(name string, frames func(i int) int) way {
	return way{name: name, repeats: e.req.Repeats, marks: func(i int, seed uint64) []body.Mark {
		k := e.clips[i]
		c := score.Coach{Frames: frames(i), NoisePx: e.req.NoisePx, Period: e.exact[i].period, Seed: seed}
		return c.Mark(k.px, k.first, k.last, k.widthPx, k.high)
	}}
}

// gathering collects the scores of several runs.
type gathering struct {
	traces        score.Traces
	measures      score.Measures
	runs          int
	frames, marks int
	worths        []worthPair
}

func (e *evaluator) marking(ctx context.Context, w way) (Marking, error) {
	out := Marking{Name: w.name}
	var total gathering
	for i, k := range e.clips {
		var own gathering
		c := ClipScore{Clip: k.name}
		any := false
		for r := range w.repeats {
			seed := e.req.Seed + uint64(r)*1000 + uint64(i)
			marks := w.marks(i, seed)
			if marks == nil {
				continue
			}
			any = true
			e.progress(fmt.Sprintf("%s, %s (%d of %d)", k.name, w.name, r+1, w.repeats))
			measured, err := e.measured(ctx, i, marks, seed, w.guess)
			if ctx.Err() != nil {
				return out, ctx.Err()
			}
			if err != nil {
				c.Problem = err.Error()
				continue
			}
			own.add(&e.exact[i], measured, marks)
			total.add(&e.exact[i], measured, marks)
			if e.req.Worth {
				p, err := e.worthOf(i, measured)
				if err != nil {
					return out, fmt.Errorf("the worth of facing in %s: %w", k.name, err)
				}
				own.worths, total.worths = append(own.worths, p), append(total.worths, p)
			}
		}
		if any {
			c.Scored = own.scored()
			out.Clips = append(out.Clips, c)
		}
	}
	out.Total = total.scored()
	return out, nil
}

// measured takes the marks through the chain that every clip goes through.
func (e *evaluator) measured(ctx context.Context, i int, marks []body.Mark, seed uint64, guess bool) (*Measured, error) {
	in, err := e.input(i, seed, guess)
	if err != nil {
		return nil, err
	}
	in.takeMarks(marks)
	return measure(ctx, in)
}

// input is clip i without marks, with the scale as a coach of this seed clicks it and
// with or without the guess.
func (e *evaluator) input(i int, seed uint64, guess bool) (chainInput, error) {
	k := e.clips[i]
	view, err := k.view(e.req.NoisePx, planeHand(seed))
	if err != nil {
		return chainInput{}, err
	}
	in := k.input(view)
	if guess {
		in.Guess, err = planeGuess(e.seen[i], in.Times, viewOr(view))
		if errors.Is(err, trace.ErrUnseen) {
			err = nil // the marks alone serve, as for a kept run
		}
	}
	return in, err
}

func (g *gathering) add(x *exactClip, m *Measured, marks []body.Mark) {
	g.runs++
	g.marks += len(marks)
	seen := map[int]bool{}
	for _, k := range marks {
		seen[k.Frame] = true
	}
	g.frames += len(seen)
	g.traces.Add(x.px, m.pictureMotion(), x.length)
	if toe := m.motion.Paths[body.Toe]; toe != nil && x.pool.Has(body.Toe) {
		g.traces.AddToeSpeed(x.pool.Paths[body.Toe], toe)
	}
	for _, got := range m.Result.Summary {
		g.measures.Add(x.truths[got.ID], got)
	}
}

func (g *gathering) scored() Scored {
	if g.runs == 0 {
		return Scored{}
	}
	s := Scored{
		Runs: g.runs, Frames: float64(g.frames) / float64(g.runs), Marks: float64(g.marks) / float64(g.runs),
		Landmarks: g.traces.Landmarks(), FootDeg: g.traces.FootAngle() * 180 / math.Pi, ToeSpeed: g.traces.ToeSpeed(),
		Measures: g.measures.List(), Worth: gatherWorth(g.worths),
	}
	s.BandsHeld, s.BandsOf = g.measures.Bands()
	return s
}
