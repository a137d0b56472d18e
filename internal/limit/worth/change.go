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
	apply    func(m *swim.Model, o *swim.Orbit, amount float64) (swim.Kick, error)
}

const deg = math.Pi / 180

// Evidence labels. Citations as in package limit's sources.
const (
	modelOnly     = "model only"
	evidenceFoot  = "experiment: taping that took a tenth of the ankles' pointing cost 5.8 % of speed, and 6.9 % more pointing gave 1.7 %, not significant (Kuhn and Legerlotz 2022); the size is the model's"
	evidenceTempo = "experiment against it: when tempo was forced up the sweep shrank and speed did not rise (Shimojo et al. 2014, from memory); holds only if the sweep is kept"
	evidenceSweep = "experiment on a machine: thrust goes with the square of tempo times travel (Johnson and Goldfarb 2024); the size is the model's"
)

var kinds = []Kind{
	{
		"foot", "deg", -40, 40, "the foot pointed further at the pointed end of its range", evidenceFoot,
		pointed,
	},
	{
		"sweep", "cm", -25, 25, "more toe travel at the same tempo", evidenceSweep,
		func(m *swim.Model, o *swim.Orbit, a float64) (swim.Kick, error) { return m.Wider(o, a/100) },
	},
	{"sweep_same_speed", "cm", -25, 25, "more toe travel at the same foot speed, so at a lower tempo", evidenceSweep, slowerAndWider},
	{
		"hip_end", "deg", -30, 30, "the hip bent further at the end of the downkick", modelOnly,
		func(_ *swim.Model, o *swim.Orbit, a float64) (swim.Kick, error) {
			_, bottom, _ := o.Toe()
			return o.Kick.HipAtEnd(a*deg, bottom), nil
		},
	},
	{
		"peak", "%", -25, 25, "the foot fastest later, by a share of the downkick's duration", modelOnly + "; the model does not resolve its sign",
		func(_ *swim.Model, o *swim.Orbit, a float64) (swim.Kick, error) {
			top, bottom, _ := o.Toe()
			return o.Kick.Later(a/100, top, bottom), nil
		},
	},
	{
		"tempo", "%", -50, 50, "more kicks per second with the same kick", evidenceTempo,
		func(_ *swim.Model, o *swim.Orbit, a float64) (swim.Kick, error) { return o.Kick.Faster(1 + a/100), nil },
	},
	{
		"knee", "%", -50, 50, "more knee bend throughout", modelOnly,
		func(_ *swim.Model, o *swim.Orbit, a float64) (swim.Kick, error) {
			return o.Kick.KneeBent(1 + a/100), nil
		},
	},
}

// pointed refuses to take more of the ankle's range than there is.
func pointed(_ *swim.Model, o *swim.Orbit, a float64) (swim.Kick, error) {
	ankle := o.Kick.Joints[body.AnkleJoint]
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range 128 {
		x := ankle.At(float64(i) / 128)
		lo, hi = math.Min(lo, x), math.Max(hi, x)
	}
	if hi-lo+a*deg < 0 {
		return swim.Kick{}, fmt.Errorf("the ankle moves through %.0f deg only; the foot cannot be pointed %.0f deg less", (hi-lo)/deg, -a)
	}
	return o.Kick.Pointed(a * deg), nil
}

// slowerAndWider widens the kick and slows it so that tempo times travel stays.
func slowerAndWider(m *swim.Model, o *swim.Orbit, a float64) (swim.Kick, error) {
	_, _, travel := o.Toe()
	k, err := m.Wider(o, a/100)
	return k.Faster(travel / (travel + a/100)), err
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
	kind, err := c.kind()
	if err != nil {
		return answer{}, err
	}
	k, err := kind.apply(m, o, c.Amount)
	if err != nil {
		return answer{}, err
	}
	after, err := m.Swim(k, swim.Options{Steps: steps, DragFactor: o.DragFactor, Warm: o})
	if err != nil {
		return answer{}, fmt.Errorf("swim with %v: %w", c, err)
	}
	return answer{after.Speed - o.Speed, after}, nil
}
