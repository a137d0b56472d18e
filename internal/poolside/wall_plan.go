package poolside

import (
	"context"
	"fmt"
	"math"

	"underkick/internal/record"
	"underkick/internal/wall"
)

// WallSwimmer is what a plan knows of the swimmer besides what is typed.
type WallSwimmer struct {
	Mass   float64 // kg; 0 = not known
	Height float64 // m; 0 = not known
	Female bool
	Own    []KickSource // newest first
}

// KickSource is a kicking speed of the swimmer's own: a measured run or a tempo ladder.
type KickSource struct {
	Key    string // "run:ID" or "ladder:ID"
	Words  string // "run of 3 May 2026"
	Speed  wall.Given
	Tempo  wall.Given
	Supine bool
	Easy   bool // swum easily: taken only when chosen
	Fins   string
	// From the kept estimate of the run, where there is one.
	Factor  float64    // personal factor of the swim model, 0 = not known
	Limiter string     // the quality that its worth is of, "" = none
	Worth   wall.Given // of the limiter, m/s
}

// UsedInput is one input as the plan took it.
type UsedInput struct {
	Name    string  `json:"name"`
	Value   float64 `json:"value"`
	SD      float64 `json:"sd"`
	Unit    string  `json:"unit"`
	From    string  `json:"from"`
	Assumed bool    `json:"assumed"`
}

// WallAnswer is the plan of an event with what it stands on.
type WallAnswer struct {
	*wall.Sheet
	Used     []UsedInput     `json:"inputs"`
	Glide    *wall.GlideFit  `json:"glide,omitempty"`
	Reasons  []wall.Reason   `json:"reasons"` // every one once
	Compared []wall.Compared `json:"compared,omitempty"`
	Limiter  string          `json:"limiter,omitempty"` // the quality whose worth was tried on all walls
	Worth    wall.Given      `json:"worth"`             // that worth, m/s
	Cautions []string        `json:"cautions"`
}

// wallSeed makes two calls with the same input give the same bands.
const wallSeed = 1

// PlanWalls plans an event. Input that cannot be planned is record.Faults; what is only
// not known is assumed and named among the reasons.
func PlanWalls(ctx context.Context, in WallInput, who WallSwimmer) (*WallAnswer, error) {
	return planWalls(ctx, in, who, false)
}

// planWalls is PlanWalls; brief leaves out what a table does not show.
func planWalls(ctx context.Context, in WallInput, who WallSwimmer, brief bool) (*WallAnswer, error) {
	if err := in.Validate(); err != nil {
		return nil, err
	}
	p := wallPlanning{in: &in, who: who, out: &WallAnswer{Cautions: BreathCautions()}}
	p.race = wall.Race{Event: in.Event, Mark: in.Mark, Height: who.Height, Seed: wallSeed, Worth: in.worthGiven(), UpTurn: in.UpTurn, UpStart: in.UpStart, Brief: brief, Surface: map[wall.Stroke]wall.Given{}}
	p.race.Turn, p.race.Start = in.entries()
	w := &p.race.Swimmer
	w.Mass, w.Female, w.MostKicks = who.Mass, who.Female, in.MostKicks
	if in.DragFactor > 0 {
		w.Factor = typed(in.DragFactor, 0.1)
	}
	for stroke, v := range in.Surface {
		if v > 0 {
			p.race.Surface[stroke] = typed(v, typedSurfaceRel)
		}
	}
	p.glide()
	if err := p.kick(ctx); err != nil {
		return nil, err
	}
	p.out.Worth = p.race.Worth
	sheet, err := wall.PlanRace(ctx, p.race)
	if err != nil {
		return nil, err
	}
	p.out.Sheet = sheet
	p.used()
	p.reasons()
	if len(in.Done) > 0 {
		p.out.Compared = sheet.Compare(in.Done)
	}
	return p.out, nil
}

// wallPlanning is one PlanWalls under way.
type wallPlanning struct {
	in   *WallInput
	who  WallSwimmer
	race wall.Race
	out  *WallAnswer
}

// uselessGlide is the relative standard error from which an own glide tells less than the
// published drag does.
const uselessGlide = 0.3

func (p *wallPlanning) glide() {
	if len(p.in.Glide) == 0 {
		return
	}
	opt := wall.GlideOptions{}
	if p.in.GlideSpeed > 0 {
		opt.Speed = typed(p.in.GlideSpeed, typedSpeedRel)
	}
	fit, err := wall.FitGlide(p.in.Glide, opt)
	if err != nil {
		p.doubt("glide-not-fitted", "The glide typed cannot be used: "+err.Error()+". The published drag is taken.")
		return
	}
	p.out.Glide = &fit
	if fit.RateSE > uselessGlide*fit.Rate {
		p.doubt("glide-too-rough", fmt.Sprintf("The own glide is known to %.0f %% only, worse than the published drag, which is taken. Mark more points over a longer glide.", 100*fit.RateSE/fit.Rate))
		return
	}
	p.race.Swimmer.Glide = fit.Given("own glide")
}

func (p *wallPlanning) doubt(code, text string) {
	p.out.Reasons = append(p.out.Reasons, wall.Reason{Code: code, Text: text})
}

// kick chooses the kicking speed and the tempo: what is asked for, else what is typed, else
// split times, else the newest own source at full effort.
func (p *wallPlanning) kick(ctx context.Context) error {
	in, w := p.in, &p.race.Swimmer
	from := in.KickFrom
	if from == "" {
		switch {
		case in.Kick > 0:
			from = "typed"
		case len(in.Splits) > 1:
			from = "splits"
		}
	}
	switch from {
	case "typed":
		w.Kick = typed(in.Kick, typedKickRel)
		if in.KickSD > 0 {
			w.Kick.SD = in.KickSD
		}
	case "splits":
		if err := p.splits(ctx); err != nil {
			return err
		}
	default:
		p.own(from)
	}
	if in.Tempo > 0 {
		w.Tempo = typed(in.Tempo, typedTempoRel)
	}
	return nil
}

func (p *wallPlanning) splits(ctx context.Context) error {
	in := p.in
	q := wall.Question{Swimmer: p.race.Swimmer, Entry: p.race.Turn, Stroke: wall.Freestyle, Height: p.who.Height, Seed: wallSeed}
	speed, tempo, err := wall.FromSplits(ctx, q, in.FirstKick, in.Splits, wall.SplitOptions{Kicks: in.SplitKicks})
	if err != nil {
		if ctx.Err() != nil {
			return err
		}
		return record.Faults{{Field: "splits", Text: "cannot be used: " + err.Error()}}
	}
	p.race.Swimmer.Kick, p.race.Swimmer.Tempo = speed, tempo
	return nil
}

// own takes the swimmer's own kicking speed: the source of a key, or the newest that was not
// easy and without equipment; on the back the newest on the back.
func (p *wallPlanning) own(key string) {
	w := &p.race.Swimmer
	for _, s := range p.who.Own {
		if s.Key == key {
			w.Kick, w.Tempo = s.Speed, s.Tempo
			p.estimate(s)
			return
		}
	}
	if key != "" {
		p.doubt("source-gone", "The run or tempo ladder that the plan stood on is not there any more; the newest is taken.")
	}
	p.race.Kick = map[wall.Stroke]wall.Given{}
	for _, s := range p.who.Own {
		switch {
		case s.Easy || s.Fins != "":
		case s.Supine && !p.race.Kick[wall.Backstroke].Known():
			p.race.Kick[wall.Backstroke] = s.Speed
			if !w.Tempo.Known() {
				w.Tempo = s.Tempo
			}
		case !s.Supine && !w.Kick.Known():
			w.Kick, w.Tempo = s.Speed, s.Tempo
			p.estimate(s)
		}
	}
	if !p.race.Kick[wall.Backstroke].Known() {
		delete(p.race.Kick, wall.Backstroke)
		if w.Kick.Known() && p.swims(wall.Backstroke) {
			p.doubt("back-from-front", "No run on the back is measured; the kicking speed on the front is taken for the back.")
		}
	}
}

// estimate takes the personal factor and the limiter's worth of a source where nothing was typed.
func (p *wallPlanning) estimate(s KickSource) {
	if s.Factor > 0 && p.in.DragFactor == 0 {
		p.race.Swimmer.Factor = wall.Given{Value: s.Factor, SD: ownFactorRel * s.Factor, From: s.Words}
	}
	if s.Worth.Known() && p.in.Worth == 0 && !p.race.Brief {
		p.race.Worth, p.out.Limiter = s.Worth, s.Limiter
	}
}

// ownFactorRel is the relative standard error of the personal factor: it takes up every error of the
// model (our choice).
const ownFactorRel = 0.1

func (p *wallPlanning) swims(s wall.Stroke) bool {
	return p.in.Event.Stroke == s || p.in.Event.Stroke == wall.Medley
}

// used lists the inputs with their origin.
func (p *wallPlanning) used() {
	add := func(name, unit string, g wall.Given) {
		if g.Known() {
			p.out.Used = append(p.out.Used, UsedInput{name, g.Value, g.SD, unit, g.From, g.Assumed})
		}
	}
	w := p.race.Swimmer
	add("kicking speed", "m/s", w.Kick)
	if g, ok := p.race.Kick[wall.Backstroke]; ok && p.swims(wall.Backstroke) {
		add("kicking speed on the back", "m/s", g)
	}
	add("kick tempo", "kicks/s", w.Tempo)
	for _, s := range wall.Strokes() {
		if p.in.Event.Stroke == s || p.in.Event.Stroke == wall.Medley {
			add("surface speed, "+string(s), "m/s", p.race.Surface[s])
		}
	}
	if f := p.out.Glide; f != nil && w.Glide.Known() {
		l := f.Length()
		add("glide length", "m", wall.Given{Value: l.Value, SD: (l.High - l.Low) / 3.92, From: "own glide"})
	}
	add("push-off speed", "m/s", p.race.Turn.Speed)
	add("head as the feet leave the wall", "m", p.race.Turn.At)
	add("speed after the start", "m/s", p.race.Start.Speed)
	add("drag factor of the swim model", "", w.Factor)
	add("mass", "kg", wall.Given{Value: w.Mass, From: "swimmer"})
}

// reasons gathers those of all walls, each once.
func (p *wallPlanning) reasons() {
	seen := map[string]bool{}
	for _, r := range p.out.Reasons {
		seen[r.Code] = true
	}
	for _, w := range p.out.Walls {
		for _, r := range w.Reasons {
			if !seen[r.Code] {
				seen[r.Code] = true
				p.out.Reasons = append(p.out.Reasons, r)
			}
		}
	}
}

// BreathCautions are the cautions on breath-holding that stand wherever kicking under water is
// planned or timed.
func BreathCautions() []string {
	return []string{
		"Shallow-water blackout kills trained swimmers without warning. Never alone; a qualified lifeguard watches and is ready.",
		"No hyperventilation, no repeated maximal or competitive breath-holds, full recovery at the surface between repeats. Stop at any dizziness, and never ignore the urge to breathe: come up.",
		"Pool rules, federation rules and local law come first. Medical questions go to licensed professionals.",
	}
}

// bandSD is the standard deviation behind a 95 % band, NaN-safe.
func bandSD(low, high float64) float64 {
	if sd := (high - low) / (2 * 1.96); !math.IsNaN(sd) && sd > 0 {
		return sd
	}
	return 0
}
