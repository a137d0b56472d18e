package practice

import "underkick/internal/record"

var sweep = []record.Drill{
	{
		ID: "wave-with-snorkel", Title: "Slow wave with a snorkel", Serves: record.ServesSweep, Phase: "the whole kick", Place: record.AtSurface, Step: 1,
		Why:    "The sweep of the feet starts in the trunk. With air all the time the swimmer can make the wave slow and whole.",
		Source: tanaka,
		How:    []string{"Face down, arms at the sides, snorkel.", "Press the chest, let the hips follow, let the feet come last.", "As slow as it takes to feel each part."},
		Doses:  surface(12), Cue: "Chest, hips, feet", Error: "Only the knees bend: start again from the chest with still legs.",
		Equipment: "snorkel", Sign: "Hips rise and fall by a hand's width.", Measures: []string{"sweep", "toe_above_hip"},
	},
	{
		ID: "hips-at-the-wall", Title: "Hips at the wall", Serves: record.ServesSweep, Phase: "downkick", Place: record.AtSurface, Step: 1,
		Why:    "Holding the wall takes speed out of the task, so the hips can be felt to start each half of the kick.",
		Source: commonPractice,
		How:    []string{"Hold the gutter with long arms, face in with a snorkel or chin on the water.", "Press the hips down before the feet kick, lift them before the feet rise.", "Twelve kicks, stand, rest."},
		Doses:  surface(12), Cue: "Hips go first", Error: "The body rocks at the shoulders: lower the head, longer arms.",
		Equipment: "snorkel", Sign: "Feet travel further with the same knee bend.", Measures: []string{"sweep", "sweep_arc"},
	},
	{
		ID: "finish-in-front", Title: "Finish in front", Serves: record.ServesSweep, Phase: "its finish", Place: record.UnderWater, Step: 2,
		Why:    "A downkick cut short leaves out the part where the foot is still fast. Finishing with straight knees and feet ahead of the hips uses the whole path.",
		Source: "Atkison et al. 2014, Hum Mov Sci 33:298-311 (quoted by a review): knee extension reached went with speed. The rest is common practice.",
		How:    []string{"Kick and wait a moment at each finish: knees straight, feet in front of the hips.", "Count one, then lift the legs from the hips.", "Five kicks, come up, rest."},
		Doses:  fewKicks(5), Cue: "Finish, one, lift", Error: "Feet stop under the body: let the hips rise as the feet go down.",
		Sign: "Toes end further in front of the body line.", Measures: []string{"toe_below_hip", "end_lead", "sweep"},
	},
	{
		ID: "both-sides", Title: "Both sides of the line", Serves: record.ServesSweep, Phase: "the whole kick", Place: record.UnderWater, Step: 2,
		Why:    "A kick that lives on one side of the body line wastes the other. On the side, the lane's lines show both halves.",
		Source: commonPractice,
		How:    []string{"Kick on the side, one hand long, eyes on the wall beside.", "Take the feet as far behind the line as in front of it.", "Five kicks, turn to the other side after resting."},
		Doses:  fewKicks(5), Cue: "Behind as much as before", Error: "Hips stay bent: open them at the back.",
		Sign: "Toe travel behind and in front come nearer to each other.", Measures: []string{"toe_above_hip", "toe_below_hip"},
	},
	{
		ID: "arms-at-sides", Title: "Arms at the sides", Serves: record.ServesSweep, Phase: "the whole kick", Place: record.UnderWater, Step: 2,
		Why:    "Without long arms the chest moves more freely, so the wave of the trunk is easier to find. It is then taken back to long arms.",
		Source: commonPractice,
		How:    []string{"Push off gently, arms at the sides, head in line.", "Five kicks that begin at the chest.", "Next repeat with arms long, the same feeling in the hips."},
		Doses:  fewKicks(5), Cue: "Same hips, longer arms", Error: "The head leads by nodding: look down.",
		Sign: "With long arms the hips still move, the hands do not.", Measures: []string{"sweep", "sweep_arc"},
	},
	{
		ID: "fins-slow", Title: "Short fins, slow and whole", Serves: record.ServesSweep, Phase: "the whole kick", Place: record.UnderWater, Step: 2, MinAge: 11,
		Why:    "A fin answers slowly and pulls the leg through the whole path. Numbers with fins are never compared with numbers without.",
		Source: commonPractice,
		How:    []string{"Short soft fins, slow kicks, whole path.", "Two kicks without thinking of speed, three with the finish in front.", "Take the fins off and do one repeat alike."},
		Doses:  fewKicks(5), Cue: "Let the fin finish", Error: "Knees do the work: slower.",
		Equipment: "short fins", Sign: "The repeat without fins sweeps further than before.", Measures: []string{"sweep"},
		Caution: "Fins that do not pinch; off at a cramp. Calm breathing before every repeat, as fins make it easy to do too much.",
		Stages: []record.Stage{
			{FromWeek: 1, Percent: 60, Words: "All with fins, slow."},
			{FromWeek: 3, Percent: 100, Words: "Every other repeat without fins."},
			{FromWeek: 5, Percent: 100, Words: "Only the first repeat with fins."},
		},
	},
	{
		ID: "rock-on-the-mat", Title: "Hollow and arch", Serves: record.ServesSweep, Phase: "the whole kick", Place: record.DryLand, Step: 1,
		Why:    "The trunk has to bend both ways under control before it can do so in the water.",
		Source: commonPractice,
		How:    []string{"On the back: low back on the floor, arms long, legs long and low. Hold.", "Roll over: chest and thighs a little off the floor. Hold.", "Change every five seconds."},
		Doses:  mat(20), Cue: "Long, then longer", Error: "The low back lifts: raise the legs.",
		Equipment: "mat", Sign: "The change from one to the other has no jerk.", Measures: []string{"sweep"},
	},
	{
		ID: "hip-open-close", Title: "Open and close the hips", Serves: record.ServesSweep, Phase: "its finish", Place: record.DryLand, Step: 2, MinAge: 11,
		Why:    "The finish in front of the body needs hip flexion with straight knees, the set behind it needs hips that open.",
		Source: commonPractice,
		How:    []string{"Lie on the back, legs straight. Lift both to where the low back still rests, lower slowly.", "Turn over, lift both legs by a hand's width, lower slowly.", "Breathe throughout."},
		Doses:  mat(20), Cue: "From the hip, not the back", Error: "Back arches: smaller movement.",
		Equipment: "mat", Sign: "Feet end further ahead of the hips in the film.", Measures: []string{"end_lead", "toe_below_hip"},
	},
}
