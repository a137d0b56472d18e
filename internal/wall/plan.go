package wall

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"underkick/internal/spread"
)

// Plan is the answer for one wall: model estimates, each with its 95 % band from the
// errors of the inputs.
type Plan struct {
	Stroke  Stroke   `json:"stroke"`
	Dive    bool     `json:"dive"`
	Rule    string   `json:"rule"`
	Refused bool     `json:"refused"` // Reasons says why; there is no number
	Reasons []Reason `json:"reasons"`

	// Window is where the first kick may be made, head from the wall, m: anywhere in it
	// costs no more than 0.02 s. The optimum is flat, so there is no best point.
	Window      [2]float64 `json:"window_m"`
	WindowSpeed Band       `json:"window_speed"` // below which kicking slows less than gliding, m/s
	AtOnce      bool       `json:"at_once"`      // the window begins where the glide does
	TooEarly    Band       `json:"at_once_cost"` // what kicking at once costs against the window's middle, s

	Kicks      int         `json:"kicks"`        // planned; -1 where they cannot be said
	AsFast     [2]int      `json:"as_fast"`      // fewest and most kicks that are equally fast
	Bound      string      `json:"bound"`        // what ends the kicks: "speed", "rule", "own" or ""
	Surface    Given       `json:"surface"`      // swimming speed that the kicks are held against, m/s
	Breakout   Band        `json:"breakout_m"`   // head from the wall, m
	Underwater Band        `json:"underwater_s"` // from the start of the times to the breakout, s
	Mark       float64     `json:"mark_m"`
	ToMark     Band        `json:"to_mark_s"`
	To15       Band        `json:"to_15_s"`
	OneMore    Band        `json:"one_more_s"`  // what one kick more costs to 15 m, s; not known where none more is allowed
	OneFewer   Band        `json:"one_fewer_s"` // what one kick fewer costs, s
	Costs      []KickCost  `json:"costs"`
	EachKick   []KickStart `json:"each_kick"` // with the first kick in the window's middle
	Curve      Curve       `json:"curve"`
}

// KickCost is what another number of kicks costs against the plan's.
type KickCost struct {
	Kicks    int  `json:"kicks"`
	Cost     Band `json:"cost_s"`     // to 15 m, s
	Breakout Band `json:"breakout_m"` // m
}

// KickStart is where and how fast the head is as a planned kick begins.
type KickStart struct {
	Number int  `json:"number"`
	At     Band `json:"at_m"`
	Speed  Band `json:"speed"` // mean over the kick's own ripple, m/s
}

// Curve is speed over the head's distance, from the start of the glide to the breakout,
// with its band.
type Curve struct {
	X     []float64 `json:"x_m"`
	Speed []float64 `json:"speed"`
	Low   []float64 `json:"low"`
	High  []float64 `json:"high"`
}

// Find plans one wall. Input that is too poor is a Plan with Refused set, or with Kicks -1
// where only the window can be given; Reasons says why. The error is ctx.Err(), wrapped. It
// panics for Medley and for unknown strokes.
func Find(ctx context.Context, q Question) (*Plan, error) {
	p, err := newPlanner(ctx, q)
	if err != nil {
		return nil, fmt.Errorf("plan a wall: %w", err)
	}
	return p.plan, nil
}

// planner is a plan under way: the stretch of the inputs as they are, and its draws.
type planner struct {
	inputs
	plan    *Plan
	central stretch
	draws   []stretch
	shift   []float64 // one standard normal for each draw, for what comes on top
	from    float64   // where the first kick is made: the window's middle
	allowed int       // most kicks that the rule and the swimmer's own limit allow
}

func newPlanner(ctx context.Context, q Question) (*planner, error) {
	if !q.Stroke.Known() || q.Stroke == Medley {
		panic(fmt.Sprintf("wall: %q is no stroke of one wall", string(q.Stroke)))
	}
	p := &planner{inputs: completed(q)}
	p.plan = &Plan{Stroke: q.Stroke, Dive: q.Dive, Rule: q.Stroke.Rule(), Kicks: -1, Mark: p.Mark, Surface: q.Swimmer.Surface, AsFast: [2]int{-1, -1}}
	for _, b := range []*Band{&p.plan.WindowSpeed, &p.plan.TooEarly, &p.plan.Breakout, &p.plan.Underwater, &p.plan.ToMark, &p.plan.To15, &p.plan.OneMore, &p.plan.OneFewer} {
		*b = Unknown()
	}
	if p.refuse() {
		return p, nil
	}
	p.central = p.inputs.central()
	if err := p.drawAll(ctx); err != nil {
		return nil, err
	}
	p.answer()
	return p, nil
}

// refuse fills the plan where there can be none.
func (p *planner) refuse() bool {
	text, code := "", ""
	switch {
	case p.Stroke == Breaststroke:
		code, text = "breaststroke", "The pull-out has one butterfly kick. Its arm pull and breaststroke kick are not in the model, so there are no numbers; time the pull-out to 10 m and change one thing at a time."
	case !p.Swimmer.Kick.Known():
		code, text = "no-kicking-speed", "The kicking speed is not known: measure a run of this swimmer, swim a tempo ladder, or give split times."
	case p.Entry.At.Value >= Limit-reserve:
		code, text = "entry-beyond", "The first known place lies too near to 15 m for a plan."
	default:
		return false
	}
	p.plan.Refused, p.plan.Reasons = true, []Reason{{code, text}}
	return true
}

func (p *planner) drawAll(ctx context.Context) error {
	p.draws, p.shift = make([]stretch, p.Draws), make([]float64, p.Draws)
	_, err := spread.Draws(ctx, p.Draws, p.Seed, func(i int, rng *rand.Rand) []float64 {
		p.draws[i] = p.draw(rng)
		p.shift[i] = rng.NormFloat64()
		return nil
	})
	return err
}

// over returns f of the inputs as they are with its band over the draws.
func (p *planner) over(f func(stretch) float64) Band {
	values := make([]float64, len(p.draws))
	for i, s := range p.draws {
		values[i] = f(s)
	}
	return bandOf(f(p.central), values)
}

// mean returns the mean of f over draws.
func mean(draws []stretch, f func(stretch) float64) float64 {
	sum := 0.0
	for _, s := range draws {
		sum += f(s)
	}
	return sum / float64(len(draws))
}

func (p *planner) answer() {
	o := p.plan
	p.window()
	o.WindowSpeed = p.over(func(s stretch) float64 { return s.kick.Crossing(s.glide.Length()) })
	if p.Swimmer.Surface.Known() {
		p.choose()
		p.tell()
	} else {
		p.assume("no-surface-speed", "The swimming speed at the surface is not known, so kicks and breakout cannot be said: time 10 m in the middle of a length.")
	}
	p.doubts()
	o.Reasons = p.reasons
}

// Why returns why there is no number of kicks, "" where there is one.
func (p *Plan) Why() string {
	if p.Kicks >= 0 {
		return ""
	}
	for _, r := range p.Reasons {
		if p.Refused || r.Code == "no-surface-speed" {
			return r.Text
		}
	}
	return ""
}

// windowDraws is how many draws the window's mean times are taken over: they are smooth, and
// more change the window by less than a step.
const windowDraws = 100

// window finds where the first kick costs no more than tie on average over the draws: what
// is not known well makes the best place uncertain, and the window is for the swimmer as
// he is known.
func (p *planner) window() {
	const step = 0.1
	first, few := p.Entry.At.Value, p.draws[:min(len(p.draws), windowDraws)]
	n := int(math.Min(10, Limit-reserve-first)/step) + 1
	loss, best := make([]float64, n), 0
	for i := range loss {
		from := first + step*float64(i)
		loss[i] = mean(few, func(s stretch) float64 { return s.best(from) })
		if loss[i] < loss[best] {
			best = i
		}
	}
	low, high := best, best
	for low > 0 && loss[low-1] <= loss[best]+tie {
		low--
	}
	for high < n-1 && loss[high+1] <= loss[best]+tie && first+step*float64(high+1) < p.central.up(first+step*float64(high+1)) {
		high++ // beyond where the head is up no kick is made
	}
	o := p.plan
	o.Window = [2]float64{first + step*float64(low), first + step*float64(high)}
	o.AtOnce = low == 0
	p.from = (o.Window[0] + o.Window[1]) / 2
	o.TooEarly = p.over(func(s stretch) float64 { return s.best(s.x0) - s.best(p.from) })
}

// doubts adds what is odd about the answer.
func (p *planner) doubts() {
	o := p.plan
	if p.Stroke.Supine() {
		p.assume("supine", "Kicking on the back is planned with the same formulas; they are tested on kicking on the front only.")
	}
	if !p.Dive && o.Breakout.Known() && o.Breakout.Value < earlyTurn {
		p.assume("early", "The model comes up before the 5.8 to 7.1 m of 100 m finalists after a turn: it knows no waves and no first strokes. Whether a kick more is faster, the watch decides.")
	}
	if e := p.Entry.Speed; !p.Dive && e.Value > 3.2 {
		p.assume("fast-entry", "A push-off above 3.2 m/s is not published; check the place and the speed of the entry.")
	}
	if k := p.Swimmer.Kick; k.Value > 2.2 || k.Value < 0.7 {
		p.assume("odd-kicking-speed", "Kicking speeds lie between 0.7 and 2.2 m/s; check where this one comes from.")
	}
}

// earlyTurn is the mean breakout after turns of the female finalists of the 100 m
// freestyle, m (5.82; Gao et al. 2025, quoting; men 7.11).
const earlyTurn = 5.8
