package kick

import "underkick/internal/body"

const groupAngles = "Angles"

// angleText is what differs between the angles.
type angleText struct {
	id, name   string // of the angle
	min, max   string // ids of its extremes
	up, down   string // ids of the peak rates
	what       string // sign in words
	growing    string // the way it moves when it grows
	falling    string
	formula    string
	needs      []body.Landmark
	firstSlot  slot
	extraLimit string
}

var angleTexts = []angleText{
	{
		id: "hip", name: "Hip flexion", min: "hip_flexion_min", max: "hip_flexion_max", up: "hip_flexion_speed", down: "hip_extension_speed",
		what: "thigh against trunk, 0 in one line, positive with the knee to the front side", growing: "flexing", falling: "extending",
		formula: "th_thigh - th_trunk", needs: needHipJoint, firstSlot: hipFlexionMin,
	},
	{
		id: "knee", name: "Knee flexion", min: "knee_flexion_min", max: "knee_flexion_max", up: "knee_flexion_speed", down: "knee_extension_speed",
		what: "0 straight, positive with the heel towards the buttock", growing: "flexing", falling: "extending",
		formula: "th_thigh - th_shank", needs: needKnee, firstSlot: kneeFlexionMin,
	},
	{
		id: "ankle", name: "Ankle angle", min: "ankle_min", max: "ankle_max", up: "ankle_bending_speed", down: "ankle_pointing_speed",
		what: "shank line against the ankle-toe line: 0 with the foot in line, fully pointed, positive towards the shin", growing: "bending towards the shin", falling: "pointing",
		formula: "th_foot - th_shank; the angle knee-ankle-toe is 180 degrees minus it", needs: needAnkle, firstSlot: ankleMin,
		extraLimit: " Its smallest value is the most pointed foot. Pointing from neutral needs this swimmer's own standing-neutral angle.",
	},
	{
		id: "trunk_pitch", name: "Trunk pitch", min: "trunk_pitch_min", max: "trunk_pitch_max", up: "trunk_pitch_up_speed", down: "trunk_pitch_down_speed",
		what: "trunk against the travel line, positive with the hips lower (to the front side) than the shoulders", growing: "hips dropping", falling: "hips rising",
		formula: "th_trunk in the travel frame", needs: needTrunk, firstSlot: pitchMin,
	},
}

const sourceAngles = "Lines between landmarks; joint angles as common in biomechanics, signs as in package body."

// angleDefinitions writes the seven measures of each angle.
func angleDefinitions() map[slot]Definition {
	all := map[slot]Definition{}
	for _, t := range angleTexts {
		base := Definition{
			Group: groupAngles, Unit: "deg", tags: byYaw | byPitch, needs: t.needs, Source: sourceAngles,
			Limits: yawLimit + t.extraLimit, Formula: t.formula,
		}
		put := func(at slot, id, name, meaning string) *Definition {
			d := base
			d.ID, d.Name, d.Meaning = id, name, meaning
			all[t.firstSlot+at] = d
			return &d
		}
		rate := func(at slot, id, way string) {
			d := put(at, id, t.name+": fastest "+way, "Largest angular speed while "+way+".")
			d.Unit, d.Formula, d.Limits = "deg/s", "peak of d/dt of "+t.formula, t.rateLimits()
			d.tags |= t.rateTags()
			all[t.firstSlot+at] = *d
			d = put(at+1, id+"_at", t.name+": when fastest "+way, "When that happens, as a part of the kick's time from the toe top.")
			d.Unit, d.Digits, d.Formula, d.Limits = "1", 2, "(t of the peak - t_top) / T", peakTiming
			d.tags |= peakTime
			all[t.firstSlot+at+1] = *d
		}
		put(0, t.min, "Smallest "+lower(t.name), "Smallest value in a kick; "+t.what+".")
		put(1, t.max, "Largest "+lower(t.name), "Largest value in a kick; "+t.what+".")
		put(2, t.id+"_range", "Range of "+lower(t.name), "Largest minus smallest value in a kick.")
		rate(3, t.up, t.growing)
		rate(5, t.down, t.falling)
	}
	return all
}

// rateTags: the ankle's rate hangs on the toe's speed and is withheld with it.
func (t angleText) rateTags() tag {
	if t.firstSlot == ankleMin {
		return quickFoot
	}
	return 0
}

func (t angleText) rateLimits() string {
	if t.firstSlot == ankleMin {
		return slowFilm
	}
	return "Noise makes it a little too large, the low-pass a little too small. " + yawLimit
}

// lower makes a name's first letter small.
func lower(s string) string { return string(s[0]|0x20) + s[1:] }
