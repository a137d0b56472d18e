package practice

import "underkick/internal/record"

// commonPractice marks what no paper was found for.
const commonPractice = "Common practice, no source."

// recovery is the rest after every repeat under water.
const recovery = record.RestUnderWater

// rung is how many repeats and sessions there are from an age and a level on.
type rung struct {
	age              int
	level            record.Level
	repeats, perWeek int
}

// The rungs of a dose. A level that is not known counts as beginner. Each is common
// practice, no source: more repeats and sessions with age and level, never longer
// repeats.
var (
	inWater = []rung{
		{0, "", 4, 2}, {0, record.Club, 5, 2}, {13, "", 5, 2}, {13, record.Club, 6, 3}, {16, record.Regional, 8, 3}, {16, record.National, 8, 4},
	}
	onMat = []rung{
		{0, "", 2, 3}, {0, record.Club, 3, 3}, {13, "", 3, 3}, {13, record.Club, 4, 4}, {16, record.Regional, 4, 5},
	}
	withLoad = []rung{
		{13, "", 2, 1}, {13, record.Club, 3, 2}, {16, record.Regional, 4, 2}, {16, record.National, 4, 3},
	}
)

// climb makes a dose of each rung: one with what a repeat and its rest are.
func climb(rungs []rung, one record.Dose) []record.Dose {
	doses := make([]record.Dose, len(rungs))
	for i, r := range rungs {
		doses[i] = one
		doses[i].FromAge, doses[i].Level, doses[i].Repeats, doses[i].PerWeek = r.age, r.level, r.repeats, r.perWeek
	}
	return doses
}

// fewKicks is the dose of most drills under water: short repeats, many breaths.
func fewKicks(kicks int) []record.Dose {
	return climb(inWater, record.Dose{Kicks: kicks, Rest: recovery})
}

// surface is the dose of drills with the face free or a snorkel.
func surface(kicks int) []record.Dose {
	return climb(inWater, record.Dose{Kicks: kicks, Rest: "easy swimming between"})
}

// upright is the dose of vertical kicking with the head out; the young kick for
// eight seconds at most.
func upright(seconds int) []record.Dose {
	doses := climb(inWater, record.Dose{Seconds: seconds, Rest: "30 s of easy sculling between"})
	for i := range doses {
		if doses[i].FromAge < 13 {
			doses[i].Seconds = min(seconds, 8)
		}
	}
	return doses
}

// mat is the dose of dry-land tasks counted in seconds.
func mat(seconds int) []record.Dose {
	return climb(onMat, record.Dose{Seconds: seconds, Rest: "as much rest as work"})
}

// strength is the dose of dry-land tasks for the grown or nearly grown.
func strength(seconds int) []record.Dose {
	return climb(withLoad, record.Dose{Seconds: seconds, Rest: "two minutes between"})
}
