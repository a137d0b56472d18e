package wall

import (
	"context"
	"fmt"
	"strconv"
)

// Event is a race.
type Event struct {
	Pool     Pool   `json:"pool"`
	Distance int    `json:"distance"` // in the pool's unit
	Stroke   Stroke `json:"stroke"`
}

// String names the event: "100 m freestyle, 25 m pool".
func (e Event) String() string {
	return fmt.Sprintf("%d %s %s, %s pool", e.Distance, e.Pool.Unit(), e.Stroke, e.Pool)
}

// Rule returns the underwater rule of the event in words.
func (e Event) Rule() string {
	if e.Pool == Pool25yd && e.Stroke != Breaststroke {
		return e.Stroke.Rule() + " 15 m is 16.4 yd."
	}
	return e.Stroke.Rule()
}

// Walls returns the stroke of every length, the first after the start. The error says what
// is no race.
func (e Event) Walls() ([]Stroke, error) {
	if !e.Stroke.Known() {
		return nil, fmt.Errorf("the stroke is freestyle, backstroke, breaststroke, butterfly or medley, not %q", string(e.Stroke))
	}
	n, err := e.Pool.lengths(e.Distance)
	if err != nil {
		return nil, err
	}
	if e.Stroke == Medley && n%4 != 0 {
		return nil, fmt.Errorf("%d %s is no medley in a %s pool: every stroke needs whole lengths", e.Distance, e.Pool.Unit(), string(e.Pool))
	}
	walls := make([]Stroke, n)
	for i := range walls {
		walls[i] = e.Stroke
		if e.Stroke == Medley {
			walls[i] = []Stroke{Butterfly, Backstroke, Breaststroke, Freestyle}[4*i/n]
		}
	}
	return walls, nil
}

// Race asks for the plan of all walls of an event.
type Race struct {
	Event   Event
	Swimmer Swimmer          // without Surface
	Surface map[Stroke]Given // of every stroke swum, m/s
	Kick    map[Stroke]Given // kicking speed where it differs by stroke: on the back
	Start   Entry            // of the dive, or of the start in the water in backstroke
	Turn    Entry            // of the push-off
	Worth   Given            // gain in kicking speed to be tried on all walls, m/s; zero = none
	Mark    float64          // m
	Height  float64          // m
	UpStart float64          // nearest place where the head can be up after the dive, m; 0 = not known
	UpTurn  float64          // and after a push-off
	Brief   bool             // as in Question
	Seed    uint64
	Draws   int
	kinds   map[kind]*planner // of walls already planned
	better  map[kind]*planner
}

// kind tells apart the walls that have a plan of their own.
type kind struct {
	stroke Stroke
	start  bool
}

// Wall is one wall of an event.
type Wall struct {
	Number int    `json:"number"` // 1 = the start
	Name   string `json:"name"`   // "start", "turn 1"
	Stroke Stroke `json:"stroke"` // of the length that follows
	*Plan
}

// Sheet is the plan of an event.
type Sheet struct {
	Event Event  `json:"event"`
	Walls []Wall `json:"walls"`
	Total Totals `json:"total"`
	Gain  Band   `json:"worth_s"` // what Race.Worth would bring over all walls, s
}

// Totals are sums over the walls that have a plan.
type Totals struct {
	Planned    int  `json:"planned"` // walls with a number of kicks
	Kicks      int  `json:"kicks"`
	Underwater Band `json:"underwater_s"` // s
	Distance   Band `json:"distance_m"`   // head from wall to breakout, m
}

// PlanRace plans every wall of an event. The swimmer tires; the model does not: all turns of a
// stroke have the same plan. Errors: no such event, and ctx.Err(), both wrapped.
func PlanRace(ctx context.Context, r Race) (*Sheet, error) {
	strokes, err := r.Event.Walls()
	if err != nil {
		return nil, fmt.Errorf("plan an event: %w", err)
	}
	r.kinds, r.better = map[kind]*planner{}, map[kind]*planner{}
	s := &Sheet{Event: r.Event, Gain: Unknown()}
	var all []*planner
	for i, stroke := range strokes {
		p, err := r.planner(ctx, kind{stroke, i == 0})
		if err != nil {
			return nil, fmt.Errorf("plan an event: %w", err)
		}
		name := "start"
		if i > 0 {
			name = "turn " + strconv.Itoa(i)
		}
		s.Walls = append(s.Walls, Wall{i + 1, name, stroke, p.plan})
		all = append(all, p)
	}
	s.Total = totals(all)
	if r.Worth.Known() {
		s.Gain = r.gain(strokes)
	}
	return s, nil
}

// question is the question of one kind of wall. The backstroke starts in the water: its
// start is planned from the push-off unless an entry was measured.
func (r *Race) question(k kind) Question {
	q := Question{Swimmer: r.Swimmer, Entry: r.Turn, Stroke: k.stroke, Mark: r.Mark, Height: r.Height, Up: r.UpTurn, Brief: r.Brief, Seed: r.Seed, Draws: r.Draws}
	q.Swimmer.Surface = r.Surface[k.stroke]
	if own, ok := r.Kick[k.stroke]; ok {
		q.Swimmer.Kick = own
	}
	if k.start && (k.stroke != Backstroke || r.Start.Speed.Known()) {
		q.Entry, q.Dive, q.Up = r.Start, k.stroke != Backstroke, r.UpStart
	}
	return q
}

func (r *Race) planner(ctx context.Context, k kind) (*planner, error) {
	if p, ok := r.kinds[k]; ok {
		return p, nil
	}
	q := r.question(k)
	p, err := newPlanner(ctx, q)
	if err != nil {
		return nil, err
	}
	r.kinds[k] = p
	if r.Worth.Known() && p.plan.Kicks >= 0 {
		r.better[k] = p.faster(r.Worth)
	}
	return p, nil
}

// faster is the planner of the same draws with the kicking speed raised, planned anew.
func (p *planner) faster(by Given) *planner {
	f := &planner{inputs: p.inputs, plan: &Plan{}, central: p.central, shift: p.shift}
	f.central.kick.Speed += by.Value
	f.draws = make([]stretch, len(p.draws))
	for i, s := range p.draws {
		f.draws[i] = s
		f.draws[i].kick.Speed = max(speedRange[0], s.kick.Speed+by.Value+by.SD*p.shift[i])
	}
	f.window()
	f.choose()
	return f
}

// gain sums over the walls how much earlier the head is at 15 m with the worth.
func (r *Race) gain(strokes []Stroke) Band {
	var value float64
	var draws []float64
	for i, stroke := range strokes {
		k := kind{stroke, i == 0}
		p, f := r.kinds[k], r.better[k]
		if f == nil {
			continue
		}
		if draws == nil {
			draws = make([]float64, len(p.draws))
		}
		saved := func(was, now stretch) float64 {
			return was.timeTo(Limit, p.from, p.plan.Kicks) - now.timeTo(Limit, f.from, f.plan.Kicks)
		}
		value += saved(p.central, f.central)
		for j := range draws {
			draws[j] += saved(p.draws[j], f.draws[j])
		}
	}
	if draws == nil {
		return Unknown()
	}
	return bandOf(value, draws)
}

// totals sums over planned walls, draw by draw: the errors of one swimmer are the same at
// every wall.
func totals(all []*planner) Totals {
	t := Totals{Underwater: Unknown(), Distance: Unknown()}
	var time, way float64
	var times, ways []float64
	for _, p := range all {
		if p.plan.Kicks < 0 {
			continue
		}
		t.Planned++
		t.Kicks += p.plan.Kicks
		time, way = time+p.plan.Underwater.Value, way+p.plan.Breakout.Value
		if times == nil {
			times, ways = make([]float64, len(p.draws)), make([]float64, len(p.draws))
		}
		for i, s := range p.draws {
			x, at := s.breakout(p.from, p.plan.Kicks)
			times[i], ways[i] = times[i]+at, ways[i]+x
		}
	}
	if t.Planned > 0 {
		t.Underwater, t.Distance = bandOf(time, times), bandOf(way, ways)
	}
	return t
}
