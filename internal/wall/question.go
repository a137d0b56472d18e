package wall

import (
	"math"
	"math/rand/v2"

	"underkick/internal/hydro"
)

// Swimmer is what is known of a swimmer's speeds. Only Kick is needed; what else is not
// known is assumed from published values and flagged.
type Swimmer struct {
	Mass    float64 // kg; 0 = not known
	Female  bool    // chooses the published push-off speed
	Glide   Given   // Rate of the own glide, 1/m
	Kick    Given   // steady kicking speed, m/s
	Tempo   Given   // kicks per second
	Factor  Given   // personal drag factor of the swim model
	Surface Given   // swimming speed at the surface in this event, m/s

	MostKicks int // the swimmer's own limit; 0 = none
}

// Entry is where the glide begins: the head's place, its speed there and the time since
// the signal or since the feet left the wall. Zero fields are not known.
type Entry struct {
	At    Given // m
	Speed Given // m/s
	Time  Given // s
}

// Question asks for the plan of one wall.
type Question struct {
	Swimmer Swimmer
	Entry   Entry
	Dive    bool   // after a start; else after a turn, or a start in the water
	Stroke  Stroke // not Medley
	Mark    float64
	Height  float64 // standing height, m: where the head is as the feet leave the wall
	Up      float64 // nearest place where the head can be up, m: the way up takes room; 0 = not known

	Brief bool // for a table: no costs, no kick by kick, no curve
	Draws int  // of the inputs; 0 = 300
	Seed  uint64
}

const defaultDraws = 300

// Ranges that no draw of an input leaves.
var (
	speedRange   = [2]float64{0.3, 6}
	tempoRange   = [2]float64{0.8, 4}
	rateRange    = [2]float64{0.03, 1}
	surfaceRange = [2]float64{0.3, 2.6}
)

// inputs are a question's numbers with what was assumed filled in.
type inputs struct {
	Question
	glideFromMass bool
	reasons       []Reason
}

// completed fills in published values for what is not known.
func completed(q Question) inputs {
	in := inputs{Question: q}
	w := &in.Swimmer
	if in.Mark == 0 {
		in.Mark = Limit
	}
	if in.Draws == 0 {
		in.Draws = defaultDraws
	}
	if w.Mass == 0 {
		w.Mass = referenceMass
		in.assume("mass-assumed", "The swimmer's mass is not known; 75 kg is assumed.")
	}
	if !w.Glide.Known() {
		in.glideFromMass = true
		in.assume("glide-assumed", "The swimmer's own glide is not known; published drag for this mass is assumed. Mark the head at three or more places of a glide without kicks.")
	}
	if !w.Tempo.Known() {
		w.Tempo = Given{tempo, tempoSD, "published", true}
		in.assume("tempo-assumed", "The kick tempo is not known; 2.1 kicks per second are assumed.")
	}
	if !w.Factor.Known() {
		w.Factor = Given{Value: 1, SD: 0.1}
	}
	in.completeEntry()
	if in.Up == 0 {
		in.Up = upAfterTurn
		if in.Dive {
			in.Up = upAfterDive
		}
		in.assume("way-up-assumed", "The way up from depth takes room: the head is assumed to be up no nearer than 4.6 m after a turn and 7.5 m after a dive.")
	}
	in.Up = math.Min(in.Up, Limit-reserve)
	return in
}

func (in *inputs) completeEntry() {
	e := &in.Entry
	if in.Dive {
		if !e.At.Known() || !e.Speed.Known() {
			*e = Entry{At: Given{diveAt, 0, "published", true}, Speed: Given{diveSpeed, diveSpeedSD, "published", true}, Time: Given{}}
			in.assume("start-assumed", "The speed after the dive is not known; that of national swimmers 5.5 m from the wall is assumed (2.18 m/s). Measure the head's speed at one place.")
		}
		if !e.Time.Known() {
			in.assume("time-from-entry", "The time from the signal to the first known place is not known; all times count from there.")
		}
		return
	}
	if !e.At.Known() {
		e.At = Given{1.75, 0.1, "", true}
		if in.Height > 0 {
			e.At = Given{in.Height, 0.05, "height", true}
		}
		in.assume("place-assumed", "The head is assumed to be one standing height from the wall when the feet leave it.")
	}
	if !e.Speed.Known() {
		e.Speed = Given{pushOffMen, pushOffSD, "published", true}
		if in.Swimmer.Female {
			e.Speed.Value = pushOffWomen
		}
		in.assume("push-off-assumed", "The push-off speed is not known; that of national-championship swimmers is assumed. Film a push-off.")
	}
}

func (in *inputs) assume(code, text string) { in.reasons = append(in.reasons, Reason{code, text}) }

// central is the stretch of the inputs as they are.
func (in *inputs) central() stretch {
	w := in.Swimmer
	s := in.stretch(carried, carried, glideArea, kickArea, w.Factor.Value)
	if !in.glideFromMass {
		s.glide.Rate = w.Glide.Value
	}
	s.kick.Speed, s.period, s.surface = w.Kick.Value, 1/w.Tempo.Value, math.NaN()
	if w.Surface.Known() {
		s.surface = w.Surface.Value
	}
	s.x0, s.v0, s.t0, s.earliest = in.Entry.At.Value, in.Entry.Speed.Value, in.Entry.Time.Value, in.Up
	return s
}

// draw is one stretch within the inputs' errors. The water carried in the glide and while
// kicking are drawn apart: they are different quantities.
func (in *inputs) draw(rng *rand.Rand) stretch {
	w := in.Swimmer
	add := Given{Value: carried, SD: carriedSD}
	s := in.stretch(add.drawn(rng, 0.1, carriedMax), add.drawn(rng, carriedMin, carriedMax),
		Given{Value: glideArea, SD: glideAreaSD}.drawn(rng, hydro.PassiveAreaRange[0], 0.060),
		Given{Value: kickArea, SD: kickAreaSD}.drawn(rng, 0.065, 0.110), w.Factor.drawn(rng, 0.6, 1.6))
	if own := w.Glide.drawn(rng, rateRange[0], rateRange[1]); !in.glideFromMass {
		s.glide.Rate = own
	}
	s.kick.Speed = w.Kick.drawn(rng, speedRange[0], speedRange[1])
	s.period = 1 / w.Tempo.drawn(rng, tempoRange[0], tempoRange[1])
	s.surface = math.NaN()
	if v := w.Surface.drawn(rng, surfaceRange[0], surfaceRange[1]); w.Surface.Known() {
		s.surface = v
	}
	e := in.Entry
	s.earliest = in.Up
	s.x0, s.v0, s.t0 = e.At.drawn(rng, 0, Limit-1), e.Speed.drawn(rng, speedRange[0], speedRange[1]), e.Time.drawn(rng, 0, 30)
	return s
}

// stretch returns what follows from mass and coefficients:
//
//	Rate = rho CdA_glide/(2 m (1 + carried)),  Length = 2 m (1 + carried)/(rho CdA_kick factor)
//
// with both areas times (mass/75)^(2/3).
func (in *inputs) stretch(addGlide, addKick, areaGlide, areaKick, factor float64) stretch {
	m := in.Swimmer.Mass
	size := math.Pow(m/referenceMass, 2.0/3)
	return stretch{
		glide: hydro.NewGlide(hydro.Density*areaGlide*size/2, m, m*addGlide),
		kick:  Kicking{Length: 2 * m * (1 + addKick) / (hydro.Density * areaKick * size * factor)},
	}
}
