package practice

import "underkick/internal/record"

// Papers that more than one drill rests on.
const (
	kuhn       = "Kuhn & Legerlotz 2022, Front Sports Act Living 4:948034: taping the ankle cost about 6 % of speed; stretching beyond normal gave 2 %, not significant."
	willems    = "Willems et al. 2014, Hum Mov Sci 36:167-176: foot strength (lifting and turning the foot in) went with speed; plain ankle range did not."
	wadrzyk    = "Wądrzyk et al., 41 trained swimmers of 16-17 years: faster swimmers reached more ankle extension and moved the toes further back in the downkick."
	atkison    = "Atkison et al. 2014, Hum Mov Sci 33:298-311: a smaller difference between down- and upkick toe speed went with speed."
	tanaka     = "Tanaka et al. 2022, IJERPH 19(7):3998: the faster of 13 swimmers moved the lower waist further, and waist and chest faster."
	ruizPulley = "Ruiz-Navarro et al. 2024, J Hum Kinet 93:53-68: five weeks in the water with a pulley on land raised speed and toe speed; water alone did not."
	ruizYoung  = "Ruiz-Navarro et al., 17 swimmers of 10-12 years: seven weeks of kicking and gliding, three times 30 minutes a week, improved speed; there was no control group."
)

var facing = []record.Drill{
	{
		ID: "long-sit-point", Title: "Sit long and point", Serves: record.ServesFacing, Phase: "downkick", Place: record.DryLand, Step: 1, Joint: true,
		Why:    "Where the ankle is stiff the foot cannot turn its top backwards. Restoring a restricted range pays; range beyond normal adds little.",
		Source: kuhn,
		How:    []string{"Sit with straight legs, hands beside the hips.", "Point both feet slowly with the muscles alone until the pull is mild.", "Stay and breathe, draw the feet up slowly, repeat."},
		Doses:  mat(20), Cue: "Reach with the toes, quiet calves", Error: "Cramp in the calf or curled toes: point less far, toes long.",
		Sign: "Sitting, the big toe comes nearer to the floor over the weeks without help.", Measures: []string{"facing_foot", "facing"},
	},
	{
		ID: "kneel-and-lean", Title: "Kneel and lean back a little", Serves: record.ServesFacing, Phase: "downkick", Place: record.DryLand, Step: 2, MinAge: 13, Joint: true,
		Why:    "The front of the ankle is often the tight side. Own weight, taken mostly by the hands, lengthens it slowly.",
		Source: kuhn,
		How:    []string{"Kneel on a mat with the tops of the feet flat, hands on the floor behind or beside.", "Let the hands carry the weight and sit back until the pull is mild.", "Breathe three times, come forward, repeat."},
		Doses:  mat(20), Cue: "Hands carry you", Error: "Weight drops on the ankles: put a rolled towel under the shins and lean less.",
		Equipment: "mat", Caution: "Not with knee pain. Nobody pushes from outside.",
		Sign: "The same lean feels easier, and the foot's facing in the downkick rises on the next film.", Measures: []string{"facing_foot", "facing"},
	},
	{
		ID: "band-point", Title: "Point against a band", Serves: record.ServesFacing, Phase: "downkick", Place: record.DryLand, Step: 2, MinAge: 11,
		Why:    "Water pushes the foot up and flat in the downkick. A foot that can hold its point against a pull keeps facing back while it is fast.",
		Source: commonPractice,
		How:    []string{"Sit long, a light band round the forefoot, ends in the hands.", "Point in one second, hold one, return in three.", "Keep the big toes close together."},
		Doses:  mat(30), Cue: "Slow on the way back", Error: "The feet turn outwards: lighter band.",
		Equipment: "light stretch band", Sign: "The last repeat looks like the first.", Measures: []string{"facing_foot"},
	},
	{
		ID: "turn-in-and-lift", Title: "Turn in, lift, lower", Serves: record.ServesFacing, Phase: "the whole kick", Place: record.DryLand, Step: 2, MinAge: 11,
		Why:    "Feet turned in show the water more area. The muscles that lift the foot and turn it in were stronger in faster kickers.",
		Source: willems,
		How:    []string{"Sit on a chair, heels on the floor, a band round both forefeet.", "Turn the forefeet towards each other, lift them, lower slowly.", "The knees stay still."},
		Doses:  mat(30), Cue: "Big toes say hello", Error: "Knees roll in to cheat: hold a fist's width between them.",
		Equipment: "light stretch band", Sign: "From behind, the big toes stay together through the kick.", Measures: []string{"facing_foot", "rearward_area"},
	},
	{
		ID: "edge-push", Title: "Push the pool with the tops of the feet", Serves: record.ServesFacing, Phase: "downkick", Place: record.AtSurface, Step: 1,
		Why:    "Sitting still, the swimmer feels on the top of the foot whether it pushes water away or slices through it.",
		Source: commonPractice,
		How:    []string{"Sit on the edge, lower legs in the water.", "Throw the water forwards with the tops of both feet, slowly, then a little faster.", "Change the point of the foot and feel the pressure come and go."},
		Doses:  surface(12), Cue: "Feel the laces press", Error: "Splash instead of a wave: the feet leave the water; kick lower.",
		Sign: "A wave runs out from the feet without splash.", Measures: []string{"facing_foot"},
	},
	{
		ID: "point-late", Title: "Point late", Serves: record.ServesFacing, Phase: "downkick", Place: record.UnderWater, Step: 2,
		Why:    "The foot needs its point while it is fast, not at the top. A loose ankle at the set that is turned by the water and then held makes area when it counts.",
		Source: wadrzyk,
		How:    []string{"Kick away from the wall with loose ankles.", "From the third kick hold the point from the middle of each downkick to its finish.", "Come up, rest, tell the coach which kicks felt heavy on the foot."},
		Doses:  fewKicks(6), Cue: "Loose, then long", Error: "Feet pointed hard all the time, calves cramp: loosen at the top.",
		Sign: "Facing of the foot rises; toes move further back.", Measures: []string{"facing_foot", "facing", "toe_back"},
	},
	{
		ID: "two-and-two", Title: "Two flat, two long", Serves: record.ServesFacing, Phase: "downkick", Place: record.UnderWater, Step: 1,
		Why:    "Feeling the difference on purpose teaches more than being told. The flat kicks are there to be felt, not trained.",
		Source: commonPractice,
		How:    []string{"Two kicks with the feet a little drawn up.", "Two kicks with long feet.", "Say at the surface which two moved you."},
		Doses:  fewKicks(4), Cue: "Which two moved you", Error: "All four alike: let the swimmer watch the film of it.",
		Sign: "The swimmer names the right two without film, and facing of the foot rises in the long ones.", Measures: []string{"facing_foot", "speed"},
	},
	{
		ID: "shank-sets-first", Title: "Shank first, then foot", Serves: record.ServesFacing, Phase: "its start", Place: record.UnderWater, Step: 3, MinAge: 11,
		Why:    "The shank is most of the area. How far it faces back is set by the knee bend at the top: enough to show the shank, not so much that the thigh drops and brakes.",
		Source: "Wądrzyk et al. 2017, Human Movement 18(4):23-29: in children of 11-12 years more knee bend went with less speed, so the bend is set, not maximised.",
		How:    []string{"Before each downkick let the heels rise while the knees stay on the body line.", "Kick once the shanks look back, not before.", "Five kicks, rest, look at the still of the set together."},
		Doses:  fewKicks(5), Cue: "Heels up, knees high", Error: "Knees sink under the body: less bend, hips drive first.",
		Sign: "Facing of the shank rises while the largest knee flexion stays.", Measures: []string{"facing_shank", "facing"},
	},
	{
		ID: "soles-up-at-the-wall", Title: "Soles back at the wall", Serves: record.ServesFacing, Phase: "upkick", Place: record.AtSurface, Step: 1,
		Why:    "On the way up it is the sole that can face back. A foot left pointed shows the water its edge; one that the water draws up a little shows its sole.",
		Source: commonPractice,
		How:    []string{"Hold the edge with long arms, face in with a snorkel or chin on the water.", "Lift straight legs from the hips and let the water bend the ankles.", "Feel the soles press, lower without kicking, repeat."},
		Doses:  surface(10), Cue: "Soles carry the water", Error: "Toes stay pointed hard: loose ankles, slower lift.",
		Equipment: "snorkel", Sign: "Facing of the upkick rises on the next film, and the soles feel the press.", Measures: []string{"facing_upkick"},
	},
	{
		ID: "tops-then-soles", Title: "Tops, then soles", Serves: record.ServesFacing, Phase: "the whole kick", Place: record.UnderWater, Step: 3, MinAge: 11,
		Why:    "The foot has a front side for the way down and a back side for the way up. Thinking of one at a time, then of both, turns two habits into one kick.",
		Source: commonPractice,
		How:    []string{"Two kicks thinking of the tops of the feet on the way down.", "Two kicks thinking of the soles on the way up.", "Two kicks with both. Come up, rest."},
		Doses:  fewKicks(6), Cue: "Tops down, soles up", Error: "The kick turns stiff: only one side of the foot for a whole session.",
		Sign: "Facing rises in the downkick and in the upkick, not in one at the other's cost.", Measures: []string{"facing_foot", "facing_upkick", "facing"},
		Stages: []record.Stage{
			{FromWeek: 1, Percent: 60, Words: "Only tops, all six."},
			{FromWeek: 2, Percent: 60, Words: "Only soles, all six."},
			{FromWeek: 3, Percent: 100, Words: "Two, two and two, as described."},
			{FromWeek: 5, Percent: 100, Words: "Both, at the effort of the test."},
		},
	},
}
