package cli

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/wall"
)

const wallHelp = `
Plans the walls of an event: where to begin to kick, how many kicks, where to come up,
the time to 15 m, what one kick more or fewer costs.

  underkick wall --event 100 --stroke freestyle --pool "25 m" --surface 1.7 --kick 1.5 ...
  underkick wall --in FILE.json
  underkick wall --data DIR --swimmer ID --event ... [--keep NAME]
  underkick wall --data DIR --plan ID [--turn undo|redo|remove]
  underkick wall --data DIR --squad

All distances are the head's from the wall. The first kick gets a window, never a point: the
optimum is flat. Of plans that are equally fast the one with the fewest kicks is taken, and none
goes beyond 15 m. Every number is a model estimate with its 95 % band; what is not known is
assumed and said. A medley needs --surface once for each stroke: --surface butterfly=1.6.

--glide T:X,T:X,T:X   head's time (s) and place (m) in a glide without kicks: the swimmer's own glide
--splits X:T,X:T      head's place (m) and time (s) while kicking, instead of --kick
--done W:K[:X[:T]]    what was done at wall W: kicks, head up at X m, 15 m after T s; may be repeated
docs/methods/walls.md explains the model, docs/formats.md the JSON.`

func wallCommand() command {
	c := command{name: "wall", usage: "wall [options]", brief: "plan the walls of an event: first kick, number of kicks, breakout"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runWall(ctx, c, args, s) }
	return c
}

// wallOptions are the options of one call.
type wallOptions struct {
	in                                    poolside.WallInput
	who                                   poolside.WallSwimmer
	file, data, swimmer, plan, keep, turn string
	sex, pool, stroke, glide, splits      string
	squad, asJSON                         bool
}

// turns are the words of --turn.
var turns = map[string]record.PlanAct{"undo": record.UndoPlan, "redo": record.RedoPlan, "remove": record.RemovePlan}

// besideFile are the options that go with --in.
var besideFile = []string{"in", "json", "data", "swimmer", "keep", "height", "mass", "sex"}

func runWall(ctx context.Context, c command, args []string, s streams) error {
	var o wallOptions
	f := newFlags(c, s)
	o.register(f)
	names, err := f.parse(args, wallHelp)
	if err != nil {
		return err
	}
	if len(names) > 0 {
		return usagef("%q is no option; wall takes options only", names[0])
	}
	var given []string
	f.Visit(func(g *flag.Flag) { given = append(given, g.Name) })
	if err := o.complete(given); err != nil {
		return err
	}
	return o.run(ctx, s)
}

func (o *wallOptions) register(f *flags) {
	in := &o.in
	f.StringVar(&o.file, "in", "", "read the input from `FILE` in place of options, JSON as docs/formats.md has it; - = standard input")
	f.IntVar(&in.Event.Distance, "event", 0, "distance `N` of the race, m (yards in a 25 yd pool)")
	f.StringVar(&o.stroke, "stroke", string(wall.Freestyle), "`STROKE`: freestyle, backstroke, breaststroke, butterfly, medley")
	f.StringVar(&o.pool, "pool", string(wall.Pool25m), "`POOL`: \"25 m\", \"25 yd\", \"50 m\"")
	f.Func("surface", "swimming speed at the surface `V` in m/s, or STROKE=V; may be repeated", o.takeSurface)
	f.Float64Var(&in.Kick, "kick", 0, "steady kicking speed `V` in m/s")
	f.Float64Var(&in.Tempo, "tempo", 0, "kicks per second `F`")
	f.StringVar(&in.KickFrom, "kick-from", "", "of a kept swimmer: `SOURCE` run:ID or ladder:ID")
	f.StringVar(&o.splits, "splits", "", "split times `X:T,X:T` of kicking under water")
	f.Float64Var(&in.FirstKick, "first-kick", 0, "where the first kick of the split times was made, `M`")
	f.IntVar(&in.SplitKicks, "split-kicks", 0, "kicks `N` between the split times")
	f.StringVar(&o.glide, "glide", "", "own glide `T:X,T:X,T:X`")
	f.Float64Var(&in.GlideSpeed, "glide-speed", 0, "speed `V` at the glide's first point, where there are only two")
	f.Float64Var(&in.PushOffSpeed, "push-off", 0, "push-off speed `V` in m/s")
	f.Float64Var(&in.PushOffAt, "push-off-at", 0, "head from the wall as the feet leave it, `M`")
	f.Float64Var(&in.StartAt, "start-at", 0, "after the start: a place `M` before the first kick")
	f.Float64Var(&in.StartSpeed, "start-speed", 0, "speed `V` there")
	f.Float64Var(&in.StartTime, "start-time", 0, "time `S` there from the signal")
	f.Float64Var(&in.UpTurn, "up-turn", 0, "nearest place `M` where the head can be up after a turn (4.6)")
	f.Float64Var(&in.UpStart, "up-start", 0, "nearest place `M` where the head can be up after a dive (7.5)")
	f.Float64Var(&in.DragFactor, "drag-factor", 0, "personal factor `K` of the swim model (underkick worth --json)")
	f.IntVar(&in.MostKicks, "most-kicks", 0, "the swimmer's own limit, `N` kicks")
	f.Float64Var(&in.Mark, "mark", 0, "another mark `M` to give the time to")
	f.Func("worth", "worth of the limiter `V[,LOW,HIGH]` in m/s, tried on all walls", o.takeWorth)
	f.Func("done", "what was done at a wall, `W:K[:X[:T]]`, see above", o.takeDone)
	f.Float64Var(&o.who.Height, "height", 0, "standing height `M` in metres")
	f.Float64Var(&o.who.Mass, "mass", 0, "body mass `KG`")
	f.StringVar(&o.sex, "sex", "", "`m|f`: published push-off speed, where none is given")
	f.StringVar(&o.data, "data", "", "data folder `DIR` for --swimmer, --plan, --squad (default: the pages' own)")
	f.StringVar(&o.swimmer, "swimmer", "", "plan with what is kept of swimmer `ID`")
	f.StringVar(&o.plan, "plan", "", "show the kept plan `ID`")
	f.StringVar(&o.turn, "turn", "", "take back, bring back or remove what stands of --plan: `undo|redo|remove`; a ladder's ID serves too")
	f.StringVar(&o.keep, "keep", "", "keep the plan of --swimmer under `NAME`")
	f.BoolVar(&o.squad, "squad", false, "table of the newest plan of every swimmer")
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
}

func (o *wallOptions) takeSurface(text string) error {
	stroke, number, ok := strings.Cut(text, "=")
	if !ok {
		stroke, number = "", text
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || (ok && !wall.Stroke(stroke).Known()) {
		return fmt.Errorf("--surface is a speed such as 1.7, or butterfly=1.6, not %q", text)
	}
	if o.in.Surface == nil {
		o.in.Surface = map[wall.Stroke]float64{}
	}
	o.in.Surface[wall.Stroke(stroke)] = v
	return nil
}

func (o *wallOptions) takeWorth(text string) error {
	numbers, err := numbersOf(text, ",")
	if err != nil || (len(numbers) != 1 && len(numbers) != 3) {
		return fmt.Errorf("--worth is a speed such as 0.06, or 0.06,0.02,0.10 with its band, not %q", text)
	}
	o.in.Worth = numbers[0]
	if len(numbers) == 3 {
		o.in.WorthLow, o.in.WorthHigh = numbers[1], numbers[2]
	}
	return nil
}

func (o *wallOptions) takeDone(text string) error {
	numbers, err := numbersOf(text, ":")
	if err != nil || len(numbers) < 2 || len(numbers) > 4 || numbers[0] != float64(int(numbers[0])) || numbers[1] != float64(int(numbers[1])) {
		return fmt.Errorf("--done is WALL:KICKS[:METRES[:SECONDS]] such as 2:7:9.5:6.9, not %q", text)
	}
	d := wall.Done{Wall: int(numbers[0]), Kicks: int(numbers[1])}
	if len(numbers) > 2 {
		d.Breakout = numbers[2]
	}
	if len(numbers) > 3 {
		d.To15 = numbers[3]
	}
	o.in.Done = append(o.in.Done, d)
	return nil
}

func numbersOf(text, between string) ([]float64, error) {
	var list []float64
	for _, part := range strings.Split(text, between) {
		x, err := strconv.ParseFloat(strings.TrimSpace(part), 64)
		if err != nil {
			return nil, err
		}
		list = append(list, x)
	}
	return list, nil
}

// twos reads A:B,A:B.
func twos(option, text string) ([][2]float64, error) {
	var list [][2]float64
	for _, part := range strings.Split(text, ",") {
		numbers, err := numbersOf(part, ":")
		if err != nil || len(numbers) != 2 {
			return nil, usagef("--%s is pairs such as 0.3:2.4,0.8:3.4, not %q", option, text)
		}
		list = append(list, [2]float64{numbers[0], numbers[1]})
	}
	return list, nil
}

// complete checks the options against each other and reads those made of several numbers.
func (o *wallOptions) complete(given []string) error {
	stored := o.plan != "" || o.swimmer != "" || o.squad
	switch {
	case o.plan == "" && !o.squad && o.file == "" && o.in.Event.Distance == 0:
		return usagef("give --event N, or --in FILE, or --plan ID or --squad of a data folder")
	case o.data != "" && !stored:
		return usagef("--data goes with --plan, --swimmer or --squad")
	case o.turn != "" && o.plan == "":
		return usagef("--turn goes with --plan")
	case o.turn != "" && turns[o.turn] == "":
		return usagef("--turn is undo, redo or remove, not %q", o.turn)
	case o.keep != "" && o.swimmer == "":
		return usagef("--keep goes with --swimmer")
	case o.plan != "" && (o.swimmer != "" || o.squad || o.file != "" || o.in.Event.Distance != 0), o.squad && (o.swimmer != "" || o.file != ""):
		return usagef("--plan, --squad and a plan of your own do not go together")
	case o.sex != "" && o.sex != "m" && o.sex != "f":
		return usagef("--sex is m or f, not %q", o.sex)
	case o.who.Height != 0 && !(o.who.Height >= 0.8 && o.who.Height <= 2.6):
		return usagef("--height is in metres (0.8 to 2.6), not %g", o.who.Height)
	case o.who.Mass != 0 && !(o.who.Mass >= 15 && o.who.Mass <= 250):
		return usagef("--mass is in kilograms (15 to 250), not %g", o.who.Mass)
	}
	if o.file != "" {
		for _, name := range given {
			if !slices.Contains(besideFile, name) {
				return usagef("--%s and --in do not go together; write it into the file", name)
			}
		}
	}
	o.who.Female = o.sex == "f"
	if o.plan != "" || o.squad {
		return nil
	}
	return o.completeInput()
}

func (o *wallOptions) completeInput() (err error) {
	if o.file != "" {
		return nil // read when run
	}
	in := &o.in
	in.Event.Stroke, in.Event.Pool = wall.Stroke(o.stroke), wall.Pool(o.pool)
	if v, ok := in.Surface[""]; ok {
		if in.Event.Stroke == wall.Medley {
			return usagef("a medley needs --surface for each stroke: --surface butterfly=1.6")
		}
		delete(in.Surface, "")
		in.Surface[in.Event.Stroke] = v
	}
	if o.glide != "" {
		pairs, err := twos("glide", o.glide)
		if err != nil {
			return err
		}
		for _, p := range pairs {
			in.Glide = append(in.Glide, wall.Point{T: p[0], X: p[1]})
		}
	}
	if o.splits != "" {
		pairs, err := twos("splits", o.splits)
		if err != nil {
			return err
		}
		for _, p := range pairs {
			in.Splits = append(in.Splits, wall.Split{X: p[0], T: p[1]})
		}
	}
	var faults record.Faults
	if err := in.Validate(); errors.As(err, &faults) {
		return usageError{faults.Error()}
	}
	return nil
}
