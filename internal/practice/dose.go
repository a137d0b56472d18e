package practice

import "underkick/internal/record"

// commonPractice marks what no paper was found for.
const commonPractice = "Common practice, no source."

// recovery is the rest after every repeat under water.
const recovery = record.RestUnderWater

// fewKicks is the dose of most drills under water: short repeats, many breaths.
func fewKicks(kicks int) []record.Dose {
	return []record.Dose{
		{Repeats: 4, Kicks: min(kicks, 5), Rest: recovery, PerWeek: 2},
		{FromAge: 13, Repeats: 6, Kicks: kicks, Rest: recovery, PerWeek: 3},
		{FromAge: 16, Level: record.Regional, Repeats: 8, Kicks: kicks, Rest: recovery, PerWeek: 3},
	}
}

// surface is the dose of drills with the face free or a snorkel.
func surface(kicks int) []record.Dose {
	return []record.Dose{
		{Repeats: 4, Kicks: kicks, Rest: "easy swimming between", PerWeek: 2},
		{FromAge: 13, Repeats: 6, Kicks: kicks, Rest: "easy swimming between", PerWeek: 3},
		{FromAge: 16, Level: record.Regional, Repeats: 8, Kicks: kicks, Rest: "easy swimming between", PerWeek: 3},
	}
}

// upright is the dose of vertical kicking with the head out.
func upright(seconds int) []record.Dose {
	return []record.Dose{
		{Repeats: 4, Seconds: min(seconds, 8), Rest: "30 s of easy sculling between", PerWeek: 2},
		{FromAge: 13, Repeats: 6, Seconds: seconds, Rest: "30 s of easy sculling between", PerWeek: 3},
	}
}

// mat is the dose of dry-land tasks counted in seconds.
func mat(seconds int) []record.Dose {
	return []record.Dose{
		{Repeats: 3, Seconds: seconds, Rest: "as much rest as work", PerWeek: 3},
		{FromAge: 13, Repeats: 4, Seconds: seconds, Rest: "as much rest as work", PerWeek: 4},
	}
}

// strength is the dose of dry-land tasks for the grown or nearly grown.
func strength(seconds int) []record.Dose {
	return []record.Dose{
		{FromAge: 13, Repeats: 3, Seconds: seconds, Rest: "two minutes between", PerWeek: 2},
		{FromAge: 16, Level: record.Regional, Repeats: 4, Seconds: seconds, Rest: "two minutes between", PerWeek: 2},
	}
}
