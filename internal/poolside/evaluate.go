package poolside

import (
	"context"
	"fmt"
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
