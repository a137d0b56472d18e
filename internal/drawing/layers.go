package drawing

import (
	"fmt"
	"slices"
	"strings"
)

// LayerID names a layer in addresses, files and on the command line.
type LayerID string

// The layers.
const (
	BodyLayer   LayerID = "body"
	FacingLayer LayerID = "facing"
	LineLayer   LayerID = "body-line"
	PathLayer   LayerID = "toe-path"
	RestLayer   LayerID = "toe-path-rest"
	SpeedLayer  LayerID = "speed"
	LeadLayer   LayerID = "lead-angle"
	CountLayer  LayerID = "count"
	ClockLayer  LayerID = "clock"
)

// LayerInfo says what a layer shows.
type LayerInfo struct {
	ID    LayerID
	Name  string // for a switch
	Words string // what is seen, in a sentence
	Usual bool   // on unless switched off
}

// layers in the order of their switches; the first nine digits switch them.
var layers = []LayerInfo{
	{BodyLayer, "Body", "Filled discs: marked landmarks. Open rings: filled in, with their error around them; dashed where doubtful.", true},
	{FacingLayer, "Facing", "Hatched: the part of foot and shank that faces back while it moves, its length in proportion.", true},
	{LineLayer, "Body line", "Dashed: the body line, parallel to the travel line through the hip.", true},
	{PathLayer, "Toe path", "The toe's way through the water in this kick up to this picture.", false},
	{RestLayer, "Rest of the toe path", "Thin and dashed: the way the toe still goes in this kick.", false},
	{SpeedLayer, "Foot speed", "The ribbon along the toe path: the wider, the faster the foot against the hip; filled downkick, outlined upkick.", false},
	{LeadLayer, "Feet ahead", "At the finish: how far the feet have got ahead of the hips in this kick, as the angle against the trunk line. Its number, of the whole run with its band, is in the caption.", false},
	{CountLayer, "Kick count", "The number of the kick and its phase.", false},
	{ClockLayer, "Clock", "The film's time, true seconds.", false},
}

// Layers lists every layer in the order of its switch.
func Layers() []LayerInfo { return slices.Clone(layers) }

// Switches says which layers are on. The zero value has the usual ones on; All
// and None are the ends.
type Switches uint16 // one bit per layer of layers: switched away from its usual state

// Bits of every layer and of those that are on by themselves.
var allBits, usualBits = func() (all, usual Switches) {
	for i, l := range layers {
		all |= 1 << i
		if l.Usual {
			usual |= 1 << i
		}
	}
	return all, usual
}()

// All has every layer on.
func All() Switches { return allBits &^ usualBits }

// None has every layer off.
func None() Switches { return usualBits }

// On reports whether a layer is on; false for an unknown one.
func (s Switches) On(id LayerID) bool {
	i := indexOf(id)
	return i >= 0 && (s^usualBits)&(1<<i) != 0
}

// With returns the switches with one layer on or off; an unknown one changes nothing.
func (s Switches) With(id LayerID, on bool) Switches {
	if i := indexOf(id); i >= 0 && s.On(id) != on {
		return s ^ 1<<i
	}
	return s
}

// Only has these layers on and no other.
func Only(ids ...LayerID) Switches {
	s := None()
	for _, id := range ids {
		s = s.With(id, true)
	}
	return s
}

func indexOf(id LayerID) int {
	return slices.IndexFunc(layers, func(l LayerInfo) bool { return l.ID == id })
}

// String lists the layers that are on, divided by commas; "none" for none.
// ParseSwitches reads it back.
func (s Switches) String() string {
	var on []string
	for _, l := range layers {
		if s.On(l.ID) {
			on = append(on, string(l.ID))
		}
	}
	if len(on) == 0 {
		return "none"
	}
	return strings.Join(on, ",")
}

// ParseSwitches reads a list of layers divided by commas: those are on and no
// others. "" is the usual ones, "all" every one, "none" none. An unknown name is
// an error that lists the names there are.
func ParseSwitches(text string) (Switches, error) {
	switch strings.TrimSpace(text) {
	case "":
		return 0, nil
	case "all":
		return All(), nil
	case "none":
		return None(), nil
	}
	s := None()
	for name := range strings.SplitSeq(text, ",") {
		id := LayerID(strings.TrimSpace(name))
		if indexOf(id) < 0 {
			return 0, fmt.Errorf("there is no layer %q; the layers are %s", id, All())
		}
		s = s.With(id, true)
	}
	return s, nil
}
