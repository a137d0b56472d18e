package worth

import (
	"fmt"
	"math"
	"strings"

	"underkick/internal/body"
	"underkick/internal/swim"
)

// Change is a what-if: one named change of the kick.
type Change struct {
	Name   string
	Amount float64 // in the unit of its Kind
}

// Kind describes one sort of change.
type Kind struct {
	Name     string
	Unit     string  // "deg", "cm" or "%"
	Low      float64 // least amount that may be asked
	High     float64
	Words    string // what is changed
	Evidence string // what speaks for the answer besides the model
	apply    func(c *changing, amount float64) error
}

const deg = math.Pi / 180

// Evidence labels. Citations as in package limit's sources.
const (
	modelOnly     = "model only"
	evidenceFoot  = "experiment: taping that took a tenth of the ankles' pointing cost 5.8 % of speed, and 6.9 % more pointing gave 1.7 %, not significant (Kuhn and Legerlotz 2022); the size is the model's"
	evidenceTempo = "experiment against it: when tempo was forced up the sweep shrank and speed did not rise (Shimojo et al. 2014, from memory); holds only if the sweep is kept"
	evidenceSweep = "experiment on a machine: thrust goes with the square of tempo times travel (Johnson and Goldfarb 2024); the size is the model's"
)

// kinds are in the order in which changes are made together: the joints' shape first, so
// that a sweep is measured on the kick that is swum, the tempo last.
var kinds = []Kind{
	{"foot", "deg", -40, 40, "the foot pointed further at the pointed end of its range", evidenceFoot, pointed},
	{"knee", "%", -50, 50, "more knee bend throughout", modelOnly, func(c *changing, a float64) error {
		return c.to(c.kick.KneeBent(1 + a/100))
	}},
	{"hip_end", "deg", -30, 30, "the hip bent further at the end of the downkick", modelOnly, func(c *changing, a float64) error {
		_, bottom, _ := c.from.Toe()
		return c.to(c.kick.HipAtEnd(a*deg, bottom))
	}},
	{"peak", "%", -25, 25, "the foot fastest later, by a share of the downkick's duration", modelOnly + "; the model does not resolve its sign", func(c *changing, a float64) error {
		top, bottom, _ := c.from.Toe()
		return c.to(c.kick.Later(a/100, top, bottom))
	}},
	{"sweep", "cm", -25, 25, "more toe travel at the same tempo", evidenceSweep, func(c *changing, a float64) error {
		_, err := c.widen(a / 100)
		return err
	}},
	{"sweep_same_speed", "cm", -25, 25, "more toe travel at the same foot speed, so at a lower tempo", evidenceSweep, func(c *changing, a float64) error {
		travel, err := c.widen(a / 100)
		if err != nil {
			return err
		}
		return c.to(c.kick.Faster(travel / (travel + a/100)))
	}},
	{"tempo", "%", -50, 50, "more kicks per second with the same kick", evidenceTempo, func(c *changing, a float64) error {
		return c.to(c.kick.Faster(1 + a/100))
	}},
}

// changing is a kick on its way from the measured one to one with every change made.
type changing struct {
	model *swim.Model
	from  *swim.Orbit // the measured kick: phases of toe top and bottom are its
	steps int
	kick  swim.Kick   // with the changes made so far
	swum  *swim.Orbit // its swim; nil where it was not swum yet
}

func (c *changing) to(k swim.Kick) error {
	c.kick, c.swum = k, nil
	return nil
}

// swim swims the kick as it is now.
func (c *changing) swim() (*swim.Orbit, error) {
	if c.swum != nil {
		return c.swum, nil
	}
	o, err := c.model.Swim(c.kick, swim.Options{Steps: c.steps, DragFactor: c.from.DragFactor, Warm: c.from})
	c.swum = o
	return o, err
}

// widen lets the toes travel further by gain, m, and returns their travel before.
func (c *changing) widen(gain float64) (travel float64, err error) {
	o, err := c.swim()
	if err != nil {
		return 0, err
	}
	_, _, travel = o.Toe()
	k, err := c.model.Wider(o, gain)
	if err != nil {
		return 0, err
	}
	return travel, c.to(k)
}

// pointed refuses to take more of the ankle's range than there is.
func pointed(c *changing, a float64) error {
	ankle := c.kick.Joints[body.AnkleJoint]
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range 128 {
		x := ankle.At(float64(i) / 128)
		lo, hi = math.Min(lo, x), math.Max(hi, x)
	}
	if hi-lo+a*deg < 0 {
		return fmt.Errorf("the ankle moves through %.0f deg only; the foot cannot be pointed %.0f deg less", (hi-lo)/deg, -a)
	}
	return c.to(c.kick.Pointed(a * deg))
}

// Kinds lists the changes that may be asked, in the order of the help page.
func Kinds() []Kind { return append([]Kind(nil), kinds...) }

// kind returns the sort of a change, or an error that says what may be asked.
func (c Change) kind() (Kind, error) {
	var names []string
	for _, k := range kinds {
		if k.Name == c.Name {
			if !(c.Amount >= k.Low && c.Amount <= k.High) {
				return k, fmt.Errorf("%s can be changed by %g to %g %s, not by %g", c.Name, k.Low, k.High, k.Unit, c.Amount)
			}
			return k, nil
		}
		names = append(names, k.Name)
	}
	return Kind{}, fmt.Errorf("there is no change %q; the changes are %s", c.Name, strings.Join(names, ", "))
}

// String writes a change as "foot +10 deg".
func (c Change) String() string {
	k, _ := c.kind() // an unknown one has no unit
	return strings.TrimSpace(fmt.Sprintf("%s %+g %s", c.Name, c.Amount, k.Unit))
}

// Check returns an error if there is no such change or its amount is out of range.
func (c Change) Check() error {
	_, err := c.kind()
	return err
}

// step is a fixed change that stands for a quality where no reference run is given.
type step struct {
	part   Part
	change Change
}

var steps = []step{
	{Facing, Change{"foot", 10}},
	{Sweep, Change{"sweep", 5}},
	{Sweep, Change{"hip_end", 5}},
	{Tempo, Change{"tempo", 5}},
}

// answer is what a change gives in one model.
type answer struct {
	speed float64 // change, m/s
	after *swim.Orbit
}

// ask swims the changed kick of o.
func (c Change) ask(m *swim.Model, o *swim.Orbit, steps int) (answer, error) {
	return askTogether(m, o, []Change{c}, steps)
}

// askTogether swims the kick of o with all changes made, in the order of the kinds.
func askTogether(m *swim.Model, o *swim.Orbit, changes []Change, steps int) (answer, error) {
	c := changing{model: m, from: o, steps: steps, kick: o.Kick, swum: o}
	for _, k := range kinds {
		for _, asked := range changes {
			if asked.Name != k.Name || asked.Amount == 0 {
				continue
			}
			if err := k.apply(&c, asked.Amount); err != nil {
				return answer{}, fmt.Errorf("%v: %w", asked, err)
			}
		}
	}
	after, err := c.swim()
	if err != nil {
		return answer{}, fmt.Errorf("swim with %s: %w", Together(changes), err)
	}
	return answer{after.Speed - o.Speed, after}, nil
}

// Together writes changes as "foot +10 deg and tempo +5 %".
func Together(changes []Change) string {
	parts := make([]string, len(changes))
	for i, c := range changes {
		parts[i] = c.String()
	}
	return strings.Join(parts, " and ")
}

// check returns an error if one of the changes cannot be asked, or one is asked twice.
func check(changes []Change) error {
	seen := map[string]bool{}
	for _, c := range changes {
		if err := c.Check(); err != nil {
			return err
		}
		if seen[c.Name] {
			return fmt.Errorf("%s is asked twice; give its whole amount once", c.Name)
		}
		seen[c.Name] = true
	}
	return nil
}
