package practice

import "underkick/internal/record"

// How a dose grows over the weeks where a drill says nothing of its own. Common
// practice, no source: first the movement, then the whole of the dose, then the
// speed at which it is tested.
var (
	waterStages = []record.Stage{
		{FromWeek: 1, Percent: 60, Words: "Slow enough to feel it. End the set when the form goes."},
		{FromWeek: 3, Percent: 100, Words: "The whole dose, in the same form."},
		{FromWeek: 5, Percent: 100, Words: "Half of the repeats at the effort of the test."},
	}
	surfaceStages = []record.Stage{
		{FromWeek: 1, Percent: 60, Words: "Slow and whole."},
		{FromWeek: 3, Percent: 100, Words: "The whole dose, the same shape."},
		{FromWeek: 5, Percent: 100, Words: "A little quicker; go back when the shape goes."},
	}
	matStages = []record.Stage{
		{FromWeek: 1, Percent: 60, Words: "Only as far as is easy."},
		{FromWeek: 3, Percent: 100, Words: "The whole dose; no further, but calmer."},
	}
	loadStages = []record.Stage{
		{FromWeek: 1, Percent: 50, Words: "Learn the movement while somebody who teaches it looks on."},
		{FromWeek: 3, Percent: 75, Words: "More, as long as every repeat looks alike."},
		{FromWeek: 5, Percent: 100, Words: "The whole dose."},
	}
)

// Cautions of a place, for drills that need no words of their own. They come on top
// of those that every practice carries.
var placeCaution = map[record.Place]string{
	record.UnderWater: "Calm breathing before every repeat. Come up at once when it stops being easy, and end the set when anyone feels unwell.",
	record.AtSurface:  "Water deep enough to kick in and an edge within reach. Stop when the neck or the low back hurts.",
	record.DryLand:    "A dry floor that does not slip, and room around. Stop at pain.",
}

// complete fills in what a drill leaves to its kind.
func complete(d record.Drill) record.Drill {
	if d.Caution == "" {
		d.Caution = placeCaution[d.Place]
	}
	if d.Stages != nil {
		return d
	}
	switch {
	case d.Place == record.UnderWater:
		d.Stages = waterStages
	case d.Place == record.AtSurface:
		d.Stages = surfaceStages
	case d.MinAge >= 13 && !d.Joint:
		d.Stages = loadStages
	default:
		d.Stages = matStages
	}
	return d
}
