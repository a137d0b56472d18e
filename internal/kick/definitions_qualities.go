package kick

const groupQualities = "The three qualities"

const (
	sourceQualities = "This project (docs/methods/qualities.md); precursor: Shinohara 2010 used the same squared-speed weight for links."
	facingLimits    = "Stands and falls with the ankle and toe marks: 8 mm of offset decide about the foot. Angle alone did not rank 13 swimmers in a study, hence the weight by speed. The shank's part is set by the knee and the sweep; only the foot can be turned by itself."
)

var qualityDefinitions = map[slot]Definition{
	facingDown: {
		ID: "facing", Name: "Facing", Unit: "1", Digits: 2, tags: byTravel | facingTag | byYaw | byPitch, needs: needFacing,
		Meaning: "How much of the feet and shanks faces backwards while they move, counting most when they are fast. 0 is none, 1 all of it.",
		Formula: "Sum_i S_i Int c_i w_i^2 dt / Sum_i S_i Int w_i^2 dt over the downkick, i = foot, shank; c = max(0, sgn(w) sin th), w = normal speed at mid-segment against still water, S = area",
		Source:  sourceQualities, Limits: facingLimits,
	},
	facingFoot: {
		ID: "facing_foot", Name: "Facing of the feet", Unit: "1", Digits: 2, tags: byTravel | facingTag | byYaw | byPitch, needs: needOneFoot,
		Meaning: "Facing of the feet alone.",
		Formula: "Int c w^2 dt / Int w^2 dt of the foot over the downkick",
		Source:  sourceQualities, Limits: facingLimits,
	},
	facingShank: {
		ID: "facing_shank", Name: "Facing of the shanks", Unit: "1", Digits: 2, tags: byTravel | facingTag | byYaw | byPitch, needs: needShank,
		Meaning: "Facing of the shanks alone. It follows from the sweep: more knee bend at the top turns the shanks back.",
		Formula: "Int c w^2 dt / Int w^2 dt of the shank over the downkick",
		Source:  sourceQualities, Limits: "Noisier than the feet's: about 0.02 for a single kick.",
	},
	rearwardArea: {
		ID: "rearward_area", Name: "Backward-facing area", Unit: "m2", Digits: 4, tags: byTravel | facingTag | byAreas | byYaw | byPitch, needs: needFacing,
		Meaning: "Facing times the area of feet and shanks.",
		Formula: "Facing (S_foot + S_shank)",
		Source:  sourceQualities, Limits: "Breadths are of average people of this height and mass: good to about 10 %.",
	},
	toeAboveHip: {
		ID: "toe_above_hip", Name: "Toes behind the body line", Unit: "m", Digits: 2, tags: metric | byPitch, needs: needHipToe,
		Meaning: "How far to the back side of the hip the toes are at the top of the kick.",
		Formula: "A_up = y_toe - y_hip at the toe top, across the travel line",
		Source:  sourceQualities, Limits: "A marking offset of hip or toe goes in fully.",
	},
	toeBelowHip: {
		ID: "toe_below_hip", Name: "Toes in front of the body line", Unit: "m", Digits: 2, tags: metric | byPitch, needs: needHipToe,
		Meaning: "How far to the front side of the hip the toes are at the end of the downkick.",
		Formula: "A_dn = y_hip - y_toe at the toe bottom, across the travel line",
		Source:  sourceQualities, Limits: "As above.",
	},
	sweep: {
		ID: "sweep", Name: "Sweep", Unit: "m", Digits: 2, tags: metric | byPitch, needs: needHipToe,
		Meaning: "How far the feet travel through the downkick, behind and in front of the body line together.",
		Formula: "A_up + A_dn",
		Source:  sourceQualities, Limits: "Not a quality by itself: bigger is not faster unless tempo holds. Read it with tempo times toe travel.",
	},
	sweepArc: {
		ID: "sweep_arc", Name: "Sweep arc", Unit: "deg", Digits: 0, tags: byYaw | byPitch, needs: needLeg,
		Meaning: "The angle that the legs swing through in the downkick, seen from the hip against the trunk.",
		Formula: "direction hip-ankle against the trunk line, bottom minus top",
		Source:  sourceQualities, Limits: yawLimit,
	},
	endLead: {
		ID: "end_lead", Name: "End lead", Unit: "deg", Digits: 0, tags: byYaw | byPitch, needs: needLeg,
		Meaning: "How far the feet have got ahead of the hips, to the front side, when the downkick ends.",
		Formula: "direction hip-ankle against the trunk line at the toe bottom, front side +",
		Source:  sourceQualities, Limits: yawLimit,
	},
	footPath: {
		ID: "foot_path", Name: "Foot path", Unit: "m", Digits: 2, tags: metric | quickFoot | byPitch, needs: needFoot,
		Meaning: "The length of the way that the foot's centre travels past the hip in the downkick.",
		Formula: "Int v dt, v = speed of the foot centre relative to the hip",
		Source:  sourceQualities, Limits: slowFilm,
	},
	pushPart: {
		ID: "push_part", Name: "Part of the path that can push", Unit: "1", Digits: 2, tags: byTravel | quickFoot | byYaw | byPitch, needs: needFoot,
		Meaning: "The part of the downkick's foot path on which the foot both moves to the front side and faces back.",
		Formula: "part of Int v dt with w_foot < 0 and sin th_foot < 0",
		Source:  sourceQualities, Limits: slowFilm,
	},
	build: {
		ID: "build", Name: "Build", Unit: "1", Digits: 2, tags: building | byYaw | byPitch, needs: needFoot,
		Meaning: "How much the foot's speed rises and falls through the downkick: 1 is even speed, 1.23 a half sine, 1.33 a steady rise from rest.",
		Formula: "B = T_down Int v^2 dt / (Int v dt)^2",
		Source:  sourceQualities, Limits: slowFilm + " " + ownBest,
	},
	buildLate: {
		ID: "build_late", Name: "Late build", Unit: "1", Digits: 2, tags: building | byYaw | byPitch, needs: needFoot,
		Meaning: "The part of the downkick's squared foot speed that falls into the second half of the foot's path.",
		Formula: "Int over the 2nd half of the path of v^2 dt / Int v^2 dt",
		Source:  sourceQualities, Limits: slowFilm + " " + ownBest,
	},
	buildPeak: {
		ID: "build_peak", Name: "Fastest foot comes", Unit: "", Digits: 0, tags: building | peakTime, needs: needFoot, words: true,
		Meaning: "Whether the foot is fastest in the first, middle or last third of the downkick's time.",
		Formula: "early, middle or late by (t of largest v - t_top) / T_down",
		Source:  sourceQualities, Limits: "A word, because the instant is too uncertain for a number where the speed is flat. " + peakTiming,
	},
	facingUpkick: {
		ID: "facing_upkick", Name: "Facing, upkick", Unit: "1", Digits: 2, tags: byTravel | facingTag | byYaw | byPitch, needs: needFacing,
		Meaning: "As facing, for the upkick.",
		Formula: "as facing, over the upkick",
		Source:  sourceQualities, Limits: facingLimits,
	},
	facingFootUpkick: {
		ID: "facing_foot_upkick", Name: "Facing of the feet, upkick", Unit: "1", Digits: 2, tags: byTravel | facingTag | byYaw | byPitch, needs: needOneFoot,
		Meaning: "Facing of the feet alone in the upkick.",
		Formula: "as facing of the feet, over the upkick",
		Source:  sourceQualities, Limits: facingLimits,
	},
	facingShankUpkick: {
		ID: "facing_shank_upkick", Name: "Facing of the shanks, upkick", Unit: "1", Digits: 2, tags: byTravel | facingTag | byYaw | byPitch, needs: needShank,
		Meaning: "Facing of the shanks alone in the upkick.",
		Formula: "as facing of the shanks, over the upkick",
		Source:  sourceQualities, Limits: "As facing of the shanks.",
	},
	sweepUpkick: {
		ID: "sweep_upkick", Name: "Sweep, upkick", Unit: "m", Digits: 2, tags: metric | byPitch, needs: needHipToe,
		Meaning: "How far the feet travel back through the upkick past the hip.",
		Formula: "A_dn at the bottom + A_up at the next top",
		Source:  sourceQualities, Limits: "As sweep.",
	},
	footPathUpkick: {
		ID: "foot_path_upkick", Name: "Foot path, upkick", Unit: "m", Digits: 2, tags: metric | quickFoot | byPitch, needs: needFoot,
		Meaning: "As foot path, for the upkick.",
		Formula: "Int v dt over the upkick",
		Source:  sourceQualities, Limits: slowFilm,
	},
	pushPartUpkick: {
		ID: "push_part_upkick", Name: "Part of the path that can push, upkick", Unit: "1", Digits: 2, tags: byTravel | quickFoot | byYaw | byPitch, needs: needFoot,
		Meaning: "The part of the upkick's foot path on which the foot both moves to the back side and faces back.",
		Formula: "part of Int v dt with w_foot > 0 and sin th_foot > 0",
		Source:  sourceQualities, Limits: slowFilm,
	},
	buildUpkick: {
		ID: "build_upkick", Name: "Build, upkick", Unit: "1", Digits: 2, tags: building | byYaw | byPitch, needs: needFoot,
		Meaning: "As build, for the upkick.",
		Formula: "B over the upkick",
		Source:  sourceQualities, Limits: slowFilm + " " + ownBest,
	},
	buildLateUpkick: {
		ID: "build_late_upkick", Name: "Late build, upkick", Unit: "1", Digits: 2, tags: building | byYaw | byPitch, needs: needFoot,
		Meaning: "As late build, for the upkick.",
		Formula: "as late build, over the upkick",
		Source:  sourceQualities, Limits: slowFilm + " " + ownBest,
	},
	buildPeakUpkick: {
		ID: "build_peak_upkick", Name: "Fastest foot comes, upkick", Unit: "", Digits: 0, tags: building | peakTime, needs: needFoot, words: true,
		Meaning: "As 'fastest foot comes', for the upkick.",
		Formula: "early, middle or late by (t of largest v - t_bottom) / T_up",
		Source:  sourceQualities, Limits: peakTiming,
	},
}
