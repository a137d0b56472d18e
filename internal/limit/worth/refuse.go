package worth

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/swim"
)

// Limits of the input (hydrodynamics.md, sections 3, 5, 7 and 17).
const (
	fewestKicks     = 3
	fewestReference = 4
	steepest        = 10 * deg // rad, of the travel line against the horizontal
	looseSegments   = 0.04     // scatter of a segment's length beyond the marks' noise
	trimForceUsual  = 60.0     // N
	trimMomentUsual = 30.0     // N m
	// Swimmers made with known faults need up to 53 N and 36 N m, and marks 8 mm off add
	// as much again: a refusal at the usual limits would silence those who need it most.
	trimForceMost  = 120.0
	trimMomentMost = 60.0
	factorLow      = 0.6 // personal factor
	factorHigh     = 1.6
	bodyMotionOff  = 0.30 // share by which the model's pitch and heave may miss the film's
	pushOff        = 0.35 // share by which the model's net downkick impulse may miss the film's
	fewDrops       = 0.05 // share of draws without a steady swim
)

// refuse returns why nothing may be estimated from a run, one sentence each; whose is
// how the run is called in them.
func refuse(r Run, whose string, fewest int) []string {
	res := r.Result
	if missing := absent(res); missing != "" {
		return []string{fmt.Sprintf("The model needs the %s, which is not marked in %s.", missing, whose)}
	}
	why := touching(r, whose)
	if res.Counted < fewest {
		why = append(why, fewKicks(res, whose, fewest))
	}
	if res.Counted > 0 {
		why = append(why, withheld(res, whose)...)
	}
	if math.Abs(res.Line.Climb) > steepest {
		why = append(why, fmt.Sprintf("%s climbs or dives by %.0f degrees; the model holds up to 10.", title(whose), math.Abs(res.Line.Climb)/deg))
	}
	if len(why) > 0 {
		return why
	}
	return looseBody(r, whose)
}

// fewKicks says that there are too few kicks, and whether that is because the leading ones
// were left out of a run that is not steady.
func fewKicks(res *kick.Result, whose string, fewest int) string {
	falling := slices.ContainsFunc(res.Kicks, func(k kick.Kick) bool { return k.Why == kick.StillFalling })
	if falling {
		return fmt.Sprintf("%s is not steady: the speed falls from kick to kick, and only %s at its end hold it; at least %d are needed.", title(whose), count(res.Counted), fewest)
	}
	return fmt.Sprintf("%s has %s; at least %d are needed.", title(whose), count(res.Counted), fewest)
}

// touching says if surface or wall is too near: the model's water is still, deep and wide.
func touching(r Run, whose string) []string {
	if r.Touched == "surface" || r.Touched == "wall" {
		return []string{fmt.Sprintf("%s touches the %s; the model knows open water only. Choose frames where it does not.", title(whose), r.Touched)}
	}
	speed, ok := r.Result.Measure("speed")
	if !ok || !(r.Depth > 0) || math.IsNaN(speed.Value) {
		return nil
	}
	if least := leastDepth(speed.Value); r.Depth < least {
		return []string{fmt.Sprintf("%s is swum %.1f m deep; at %.1f m/s the model needs %.1f m, because it knows no waves.", title(whose), r.Depth, speed.Value, least)}
	}
	return nil
}

// leastDepth is the depth below which waves add little to the drag (under 5 %), m: 0.5 m
// at 1 m/s and 0.7 m at 2 m/s (Vennell et al. 2006, as
// quoted), straight between and held below.
func leastDepth(speed float64) float64 { return 0.5 + 0.2*math.Max(0, speed-1) }

// absent names a landmark that the joint angles need and that is not there, "" if none.
func absent(res *kick.Result) string {
	p := &res.Signals.Points
	for _, l := range chained {
		if l == body.Rib {
			continue
		}
		hand := l == body.Fingertip || l == body.Wrist
		if p[l] == nil && (!hand || (p[body.Fingertip] == nil && p[body.Wrist] == nil)) {
			return l.String()
		}
	}
	return ""
}

// withheld says which of the measures that the estimate stands on cannot be had.
func withheld(res *kick.Result, whose string) []string {
	for _, id := range []string{"speed", "kick_frequency", "facing", "build"} {
		m, ok := res.Measure(id)
		if ok && m.Known() {
			continue
		}
		text := "It is not known."
		if len(m.Reasons) > 0 {
			text = m.Reasons[0].Text
		}
		return []string{fmt.Sprintf("The %s of %s cannot be had: %s", id, whose, text)}
	}
	return nil
}

// looseBody says if a segment's length scatters by more than looseSegments beyond what
// filtered marks of ordinary noise give: then marks are wrong or the swimmer turns.
func looseBody(r Run, whose string) []string {
	f := newFilmed(r)
	hand := body.Fingertip
	if f.motion.Paths[hand] == nil {
		hand = body.Wrist
	}
	joints := []body.Landmark{hand, body.Shoulder, body.Hip, body.Knee, body.Ankle, body.Toe}
	if f.showsRib() { // a trunk that bends is shorter from end to end
		joints = slices.Insert(joints, 2, body.Rib)
	}
	noise := math.Sqrt2 * kick.DefaultPoint
	_, number := f.phases(f.motion.T)
	for i := range len(joints) - 1 {
		a, b := f.motion.Paths[joints[i]], f.motion.Paths[joints[i+1]]
		var length []float64
		for k, n := range number {
			if d := math.Hypot(a.X[k]-b.X[k], a.Y[k]-b.Y[k]); n >= 0 && !math.IsNaN(d) {
				length = append(length, d)
			}
		}
		if len(length) < 2 {
			return []string{fmt.Sprintf("%v and %v are not known together through the kicks of %s.", joints[i], joints[i+1], whose)}
		}
		mean, sd := stat.MeanStdDev(length, nil)
		if excess := math.Sqrt(math.Max(0, sd*sd-noise*noise)) / mean; excess > looseSegments {
			return []string{fmt.Sprintf("The distance from %v to %v scatters by %.0f %% in %s, more than marks do. Check both landmarks, and that the camera looks square at the swimmer.",
				joints[i], joints[i+1], 100*excess, whose)}
		}
	}
	return nil
}

// outOfTrim says if holding depth and heading takes more than buoyancy, head and hands
// can give.
func outOfTrim(o *swim.Orbit) []string {
	if math.Abs(o.Trim) <= trimForceMost && math.Abs(o.TrimMoment) <= trimMomentMost {
		return nil
	}
	return []string{"The model cannot hold this kick level: it would take more than buoyancy, head and hands can give. Check the marks, and that the swimmer does not touch wall or surface."}
}

// flags are what makes an estimate doubtful without spoiling it.
func flags(in *Input, o *swim.Orbit) []Flag {
	var out []Flag
	add := func(when bool, code, text string) {
		if when {
			out = append(out, Flag{code, text})
		}
	}
	res := in.Run.Result
	add(!(o.DragFactor >= factorLow && o.DragFactor <= factorHigh), "personal-factor",
		fmt.Sprintf("The personal factor is %.2f, outside %.1f to %.1f: scale, speed or marks may be off, or the swimmer is unlike the model.", o.DragFactor, factorLow, factorHigh))
	add(math.Abs(o.Trim) > trimForceUsual || math.Abs(o.TrimMoment) > trimMomentUsual, "trim",
		"Holding this kick level takes more than usual in the model: a foot or trunk mark may be off.")
	swing, heave := bodyMotion(o)
	low, _ := res.Measure("trunk_pitch_min")
	high, _ := res.Measure("trunk_pitch_max")
	hip, _ := res.Measure("hip_amplitude")
	add(off(swing, (high.Value-low.Value)*deg), "trunk-pitch", "The trunk swings otherwise in the film than in the model, by more than 30 %.")
	add(off(heave, hip.Value), "hip-heave", "The hips rise and fall otherwise in the film than in the model, by more than 30 %.")
	add(res.Line.Supine, "supine", "For swimmers on the back the model rests on symmetry alone.")
	if speed, ok := res.Measure("speed"); ok {
		for _, r := range speed.Reasons {
			add(r.Code == "scale-from-height" || r.Code == "hip-for-centre" || r.Code == "camera-yaw", r.Code, r.Text)
		}
	}
	return out
}

// bodyMotion returns the model's swing of the trunk, rad, and travel of the hip across
// the travel line, m, each from end to end.
func bodyMotion(o *swim.Orbit) (swing, heave float64) {
	var low, high [2]float64
	for i := range 64 {
		p := o.At(float64(i) / 64)
		for k, v := range [2]float64{p.Pitch, p.Heave} {
			if i == 0 {
				low[k], high[k] = v, v
			}
			low[k], high[k] = math.Min(low[k], v), math.Max(high[k], v)
		}
	}
	return high[0] - low[0], high[1] - low[1]
}

// off reports whether a model's value misses the film's by too much; a film's value that
// is not known misses nothing.
func off(model, film float64) bool { return math.Abs(model-film) > bodyMotionOff*film }

// Poor returns why nothing could be estimated from a run, one sentence each, as far as the
// run shows it by itself; Estimate finds the rest.
func Poor(r Run) []string { return refuse(r, "the run", fewestKicks) }
