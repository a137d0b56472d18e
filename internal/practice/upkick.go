package practice

import "underkick/internal/record"

var upkick = []record.Drill{
	{
		ID: "soles-press", Title: "Soles press back", Serves: record.ServesUpkick, Phase: "upkick", Place: record.AtSurface, Step: 1,
		Why:    "In the upkick it is the sole that can face back. With a snorkel the swimmer has time to feel it press.",
		Source: commonPractice,
		How:    []string{"Face down, snorkel, arms long.", "Lift the straight legs from the hips and press with the soles.", "Let the feet fall without kicking down."},
		Doses:  surface(10), Cue: "Lift with the soles", Error: "Heels come out of the water: lift less.",
		Equipment: "snorkel", Sign: "The swimmer moves in the lift, not only in the downkick.", Measures: []string{"facing_upkick", "toe_speed_ratio"},
	},
	{
		ID: "stay-on-the-spot", Title: "Stay on the spot", Serves: record.ServesUpkick, Phase: "upkick", Place: record.AtSurface, Step: 2,
		Why:    "Upright, a downkick stronger than the upkick drives the swimmer backwards. Staying over one tile needs both halves alike.",
		Source: commonPractice,
		How:    []string{"Deep water, upright, head out, arms crossed, above a line on the floor.", "Kick so that you stay over it.", "Drift tells which half is weaker."},
		Doses:  upright(12), Cue: "Stay over the line", Error: "Leaning to cheat: long body, look ahead.",
		Sign: "No drift for the whole time; toe speeds of both halves come nearer.", Measures: []string{"toe_speed_ratio", "build_upkick"},
	},
	{
		ID: "up-counts", Title: "The up counts", Serves: record.ServesUpkick, Phase: "upkick", Place: record.UnderWater, Step: 2,
		Why:    "Fast kickers differ less between down and up. Attention on the lift evens the halves.",
		Source: atkison,
		How:    []string{"Six kicks, thinking up, up, up.", "The downkick comes by itself.", "Rest, then six kicks thinking of nothing."},
		Doses:  fewKicks(6), Cue: "Up, up, up", Error: "Knees bend on the way up: lift from the hip with a long leg.",
		Sign: "The ratio of toe speeds falls towards one.", Measures: []string{"toe_speed_ratio", "toe_peak_speed_up"},
	},
	{
		ID: "on-the-back", Title: "The same kick on the back", Serves: record.ServesUpkick, Phase: "upkick", Place: record.UnderWater, Step: 2, MinAge: 10,
		Why:    "On the back the surface shows what the upkick does: calm water above means the push goes back.",
		Source: commonPractice,
		How:    []string{"Push off on the back, half a metre under, arms long.", "Five kicks, nose breathing out gently.", "Come up, rest."},
		Doses:  fewKicks(5), Cue: "Quiet roof", Error: "Water in the nose: breathe out a little, or a clip.",
		Sign: "Build and facing of the upkick come nearer to those of the downkick.", Measures: []string{"build_upkick", "facing_upkick"},
	},
	{
		ID: "quick-return", Title: "Quick return", Serves: record.ServesUpkick, Phase: "upkick", Place: record.UnderWater, Step: 3, MinAge: 11,
		Why:    "A long upbeat is time with little push. A shorter one came with faster kicking after training.",
		Source: ruizYoung,
		How:    []string{"Finish the downkick, lift at once.", "Six kicks with no wait at the bottom.", "Rest; the film shows whether the lift got shorter."},
		Doses:  fewKicks(6), Cue: "Down-up, one move", Error: "The downkick gets cut: finish it first.",
		Sign: "The upkick takes a smaller part of the kick.", Measures: []string{"upkick_duration", "downkick_share"},
	},
	{
		ID: "hamstring-slide", Title: "Heel slides on the back", Serves: record.ServesUpkick, Phase: "upkick", Place: record.DryLand, Step: 2, MinAge: 13,
		Why:    "The lift is done by the back of hip and thigh. Knee-flexor strength went with speed in 52 men.",
		Source: "Knee strength, ankle range and kicking speed in 52 highly trained men (abstract seen; authors not shown).",
		How:    []string{"On the back, heels on a towel on a smooth floor, hips lifted.", "Slide the heels out slowly, hips down, back to the start.", "Both legs together."},
		Doses:  strength(20), Cue: "Slow out", Error: "Cramp: shorter slide.",
		Equipment: "towel", Sign: "Toe speed in the upkick rises.", Measures: []string{"toe_peak_speed_up"},
	},
}

var streamline = []record.Drill{
	{
		ID: "wall-reach", Title: "Reach against the wall", Serves: record.ServesStreamline, Phase: "the whole kick", Place: record.DryLand, Step: 1, Joint: true,
		Why:    "Drag falls with arms long and head in line: the kick then has less to push against, at no effort.",
		Source: "Cortesi & Gatta 2015, J Hum Kinet (authors from memory): head in line, arms long, about 11 % less passive drag than with the head up.",
		How:    []string{"Stand with heels, hips and back at a wall.", "Hands over each other, arms long beside the ears.", "Breathe, reach a little, keep the ribs down."},
		Doses:  mat(20), Cue: "Ears between arms", Error: "Low back leaves the wall: bend the knees a little.",
		Sign: "Hands touch the wall without the ribs rising.", Measures: []string{"speed"},
	},
	{
		ID: "quiet-hands", Title: "Quiet hands", Serves: record.ServesStreamline, Phase: "the whole kick", Place: record.UnderWater, Step: 2,
		Why:    "Hands that swing spend the wave at the wrong end and add drag in front.",
		Source: commonPractice,
		How:    []string{"Hold a small float flat in long hands.", "Five kicks, float level.", "Rest, five kicks without it, hands as quiet."},
		Doses:  fewKicks(5), Cue: "Hands on a shelf", Error: "Stiff trunk: the chest may move, the hands not.",
		Equipment: "small float", Sign: "The hands' up-and-down in the film gets small.", Measures: []string{"speed", "slip"},
		Stages: []record.Stage{
			{FromWeek: 1, Percent: 60, Words: "All with the float."},
			{FromWeek: 3, Percent: 100, Words: "Every other repeat without it, as described."},
			{FromWeek: 5, Percent: 100, Words: "One repeat with it, the others without, at the effort of the test."},
		},
	},
	{
		ID: "straight-glide", Title: "Straight glide", Serves: record.ServesStreamline, Phase: "the whole kick", Place: record.UnderWater, Step: 1,
		Why:    "A straight line off the wall keeps the speed of the push. It is looked at for straightness; how far it goes is not counted.",
		Source: ruizYoung,
		How:    []string{"Push off, long and still, head in line.", "One kick when you feel slow, then come up.", "A partner says whether you were straight."},
		Doses:  fewKicks(1), Cue: "Straight and quiet", Error: "Diving down or coming up: aim the hands at the far wall.",
		Sign: "The travel line climbs or falls less.", Measures: []string{"climb", "speed"},
	},
	{
		ID: "head-in-line", Title: "Head in line, eyes down", Serves: record.ServesStreamline, Phase: "the whole kick", Place: record.AtSurface, Step: 1,
		Why:    "Looking forward lifts the head and bends the body against the flow.",
		Source: "Cortesi & Gatta 2015, J Hum Kinet (authors from memory).",
		How:    []string{"Snorkel, arms long, easy kicks.", "Eyes on the floor, back of the head at the surface.", "Change: chin up for two kicks, feel the brake, chin back."},
		Doses:  surface(10), Cue: "Look at the floor", Error: "Chin pressed to the chest: neck long, not bent.",
		Equipment: "snorkel", Sign: "The head stays between the arms in every still.", Measures: []string{"speed"},
	},
	{
		ID: "six-and-swim-back", Title: "Six fast, easy back", Serves: record.ServesStreamline, Phase: "the whole kick", Place: record.UnderWater, Step: 2, MinAge: 11,
		Why:    "A short set in which everything practised is put together at race effort, with air in plenty between.",
		Source: commonPractice,
		How:    []string{"Push off, glide, six kicks at race effort, up.", "Swim easily to the wall, wait until breathing is calm.", "The coach names one thing only for each repeat."},
		Doses:  fewKicks(6), Cue: "One thing", Error: "Form goes: stop the set.",
		Sign: "The last repeat looks like the first.", Measures: []string{"speed", "kick_length"},
	},
	{
		ID: "film-set", Title: "Film set", Serves: record.ServesStreamline, Phase: "the whole kick", Place: record.UnderWater, Step: 1,
		Why:    "Two or three filmed runs of six to ten kicks under like conditions are what a retest needs.",
		Source: "This program's retest rules.",
		How:    []string{"Same effort, start, position and kit as the first film.", "Two or three runs of six to eight kicks, full rest between.", "Camera as the filming card says."},
		Doses: []record.Dose{
			{Repeats: 2, Kicks: 6, Rest: recovery, PerWeek: 1},
			{FromAge: 11, Level: record.Club, Repeats: 3, Kicks: 6, Rest: recovery, PerWeek: 1},
			{FromAge: 13, Repeats: 3, Kicks: 6, Rest: recovery, PerWeek: 1},
			{FromAge: 13, Level: record.Club, Repeats: 3, Kicks: 8, Rest: recovery, PerWeek: 1},
		},
		Stages: []record.Stage{{FromWeek: 1, Percent: 100, Words: "The same in every week it is done."}},
		Cue:    "Like last time", Error: "Only one run: one run proves little.",
		Sign: "Three whole, steady kicks in each run.", Measures: []string{"speed", "facing", "sweep", "build"},
	},
}
