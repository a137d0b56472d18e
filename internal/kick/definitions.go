package kick

import "underkick/internal/body"

// Definition says what a measure is, for people and for programs.
type Definition struct {
	ID      string // as in Measure.ID
	Name    string // in plain words
	Group   string // heading it stands under
	Unit    string // of the value: "m", "m/s", "Hz", "s", "deg", "deg/s", "m2", "1", "" for words
	Digits  int    // decimals worth showing
	Meaning string // one or two plain sentences
	Formula string // how it is computed
	Source  string // where the definition comes from
	Limits  string // where it holds and what makes it doubtful

	tags  tag
	needs []body.Landmark
	words bool // shown as a word, not as a number
}

// Definitions returns every measure in the order of Result.Summary.
func Definitions() []Definition {
	return append([]Definition(nil), definitions[:]...)
}

var definitions = gather(
	under(groupRhythm, rhythmDefinitions),
	under(groupQualities, qualityDefinitions),
	motionDefinitions,
	angleDefinitions(),
	under(groupWave, waveDefinitions),
)

// under writes the heading into definitions.
func under(group string, all map[slot]Definition) map[slot]Definition {
	for j, d := range all {
		d.Group = group
		all[j] = d
	}
	return all
}

// gather puts the groups in order; every slot must be defined exactly once.
func gather(groups ...map[slot]Definition) (all [numSlots]Definition) {
	for _, g := range groups {
		for j, d := range g {
			if all[j].ID != "" {
				panic("kick: measure " + d.ID + " is defined twice")
			}
			all[j] = d
		}
	}
	return all
}

// Landmark sets that measures need.
var (
	needToe      = []body.Landmark{body.Toe}
	needHipToe   = []body.Landmark{body.Hip, body.Toe}
	needFoot     = []body.Landmark{body.Hip, body.Ankle, body.Toe}
	needFacing   = []body.Landmark{body.Knee, body.Ankle, body.Toe}
	needOneFoot  = []body.Landmark{body.Ankle, body.Toe}
	needShank    = []body.Landmark{body.Knee, body.Ankle}
	needLeg      = []body.Landmark{body.Shoulder, body.Hip, body.Ankle}
	needWave     = []body.Landmark{body.Hip, body.Knee, body.Ankle, body.Toe}
	needTrunk    = []body.Landmark{body.Shoulder, body.Hip}
	needHipJoint = []body.Landmark{body.Shoulder, body.Hip, body.Knee}
	needKnee     = []body.Landmark{body.Hip, body.Knee, body.Ankle}
	needAnkle    = []body.Landmark{body.Knee, body.Ankle, body.Toe}
)

// Words that come back in the limits.
const (
	slowFilm   = "Withheld below 25 pictures per second, and where a quarter of the frame rate is below three kick frequencies. The low-pass lowers it by a few per cent."
	peakTiming = "Withheld below 50 pictures per second."
	yawLimit   = "Doubtful with the camera turned more than 10 degrees, unless a plane corrects it."
	ownBest    = "There is no published norm; hold it against the swimmer's own best kicks."
)
