package kick

import (
	"fmt"
	"math"
	"strings"

	"underkick/internal/body"
)

// tag marks what can go wrong with a measure.
type tag uint16

const (
	metric    tag = 1 << iota // in metres or metres per second
	byYaw                     // speed, kick length, Strouhal number, angles
	byPitch                   // amplitudes and angles
	peakTime                  // when something peaks
	quickFoot                 // speed of toe or ankle
	building                  // rise of the foot's speed
	facingTag                 // facing
	byHeight                  // relative to height
	byCentre                  // needs the centre of mass and not just the hip
	byAreas                   // needs the areas of foot and shank in m2
	byWave                    // needs a wave that runs to the feet
	byTravel                  // needs the swimmer's way through the water
)

// Clip limits (measures.md, Clip limits).
const (
	TimingRate    = 50.0 // Hz, below it no timing of peaks
	SpeedRate     = 25.0 // Hz, below it no speeds of toe or ankle
	MaxBlur       = 0.5  // foot lengths
	MaxTurn       = 10 * degree
	filterTempos  = 3.0  // a cut-off below as many kick frequencies withholds quick speeds
	RateTolerance = 0.98 // 24.98 pictures per second count as 25
)

// reasons returns what is against a measure in this run, whatever its value.
func (b *builder) reasons(j slot) []Reason {
	d := &definitions[j]
	var out []Reason
	add := func(when bool, code, text string, withheld bool) {
		if when {
			out = append(out, Reason{Code: code, Text: text, Withheld: withheld})
		}
	}
	has := func(t tag) bool { return d.tags&t != 0 }
	clip, rate := b.opt.Clip, b.rate
	missing := b.lacking(d.needs)
	add(len(missing) > 0, "missing-landmark", "It needs the "+strings.Join(missing, " and the ")+", which is not marked.", true)
	add(has(byHeight) && !(b.facts.height > 0), "no-height", "The swimmer's height is not known.", true)
	add(has(byAreas) && !b.facts.areasKnown, "no-height", "The swimmer's height is not known, so the area of feet and shanks is not.", true)
	add(has(peakTime) && rate < TimingRate*RateTolerance, "frame-rate",
		fmt.Sprintf("%.0f pictures per second are too few to time a peak; 50 are needed.", rate), true)
	add((has(quickFoot) || has(building)) && rate < SpeedRate*RateTolerance, "frame-rate",
		fmt.Sprintf("%.0f pictures per second are too few for the speed of toe or ankle; 25 are needed.", rate), true)
	add((has(quickFoot) || has(building)) && b.tooSmooth, "filter",
		"The frame rate allows only a filter that flattens this kick tempo.", true)
	add(has(facingTag) && (b.tooSmooth || rate < SpeedRate*RateTolerance), "filter",
		"The frame rate is low for this kick tempo, so fast parts of the kick are flattened.", false)
	add(has(facingTag) && clip.ToeBlur > MaxBlur, "toe-blur",
		"The fastest toe is blurred over more than half a foot length; a shorter exposure is needed.", false)
	yaw, pitch := math.Abs(clip.Yaw) > MaxTurn, math.Abs(clip.Pitch) > MaxTurn
	add(has(byYaw) && yaw && !clip.PlaneCorrected, "camera-yaw", "The camera looks more than 10 degrees along the lane instead of straight across.", false)
	add(has(byPitch) && pitch && !clip.PlaneCorrected, "camera-pitch", "The camera looks more than 10 degrees up or down.", false)
	add(has(metric) && clip.ScaleFromHeight, "scale-from-height", "The scale rests on the swimmer's height, not on a known length in the picture.", false)
	add(has(byHeight) && b.facts.height > 0 && !(b.given.Height > 0), "assumed-height", "The swimmer's height is taken from the film.", false)
	add(has(byCentre) && b.shares[0] == nil, "hip-for-centre", "Landmarks of the centre of mass are missing, so the hip is followed.", false)
	add(has(byTravel) && len(b.kicks) > 0 && !b.moving, "no-travel",
		"The swimmer does not move along the pool here (a flume, or a camera that follows and is not steadied).", true)
	add(len(b.kicks) == 0, "no-kicks", "No whole kick is seen.", true)
	add(len(b.kicks) > 0 && len(b.kicks) < MinForVerdict, "few-kicks",
		fmt.Sprintf("%s counted; three are needed for a verdict, six are better.", plural(len(b.kicks), "whole kick is", "whole kicks are")), false)
	add(len(b.kicks) > 0 && !b.steady, "not-steady", "The speed falls from kick to kick.", false)
	return out
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// lacking names the needed landmarks that are absent throughout. A hand may be
// the finger tip or the wrist.
func (b *builder) lacking(needs []body.Landmark) []string {
	var out []string
	for _, l := range needs {
		if l == body.Fingertip && (b.pool.lm[l].ok() || b.pool.lm[body.Wrist].ok()) {
			continue
		}
		if !b.pool.lm[l].ok() {
			out = append(out, l.String())
		}
	}
	return out
}

// unknown is the reason for a value that is not there although nothing was
// against it.
func (b *builder) unknown(j slot, known int) (Reason, bool) {
	switch {
	case len(b.kicks) == 0 || known == len(b.kicks):
		return Reason{}, false
	case definitions[j].tags&byWave != 0:
		return Reason{"no-wave", "In some kicks no wave is seen to run from hip to toe.", known == 0}, true
	case known == 0:
		return Reason{"gap", "A landmark it needs is missing for part of every kick.", true}, true
	}
	return Reason{"gap", fmt.Sprintf("A landmark it needs is missing for part of %s.", plural(len(b.kicks)-known, "kick", "kicks")), false}, true
}
