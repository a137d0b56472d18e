package poolside

import (
	"fmt"
	"math"
	"strings"

	"underkick/internal/chart"
	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/record"
)

// The words of a sheet are for a swimmer of twelve and for parents: short sentences, everyday
// words, nothing named that its picture does not show. A test holds all of them against two
// published measures of how hard a text reads.

// plainThing says what a quality is, as the thing a sentence speaks of.
var plainThing = map[string]string{
	"facing": "how much of your foot and shin pushes the water back",
	"sweep":  "how far your feet travel",
	"build":  "how your feet gain speed in each kick",
	"tempo":  "how fast you kick, one kick after the next",
}

// plainMeasure says what a measure is where a finding rests on one that is no quality.
var plainMeasure = map[string]string{
	"toe_amplitude":        "how far your toes go up and down",
	"toe_amplitude_length": "how far your toes go up and down, for your size",
	"frequency_amplitude":  "how far your toes move each second",
	"kick_frequency":       "how many kicks you do each second",
	"knee_flexion_max":     "how much your knees bend",
	"knee_range":           "how much your knees open and close",
	"ankle_range":          "how much your ankles move",
}

// plainWhy says why a thing is practised.
var plainWhy = map[record.Serves][]string{
	record.ServesFacing:     {"You go forward when you push water back.", "Only the parts of your foot and leg that look back can do that."},
	record.ServesSweep:      {"Your feet push while they travel.", "A kick cut short leaves some of its push unused.", "A huge kick does not help: it slows you down."},
	record.ServesBuild:      {"A foot that starts calm and ends fast can push hard at the end.", "A foot thrown down at once has no more to give."},
	record.ServesTempo:      {"Each kick gives you a push.", "More kicks give more pushes, but only if they stay as big."},
	record.ServesUpkick:     {"The kick up can push too.", "Fast swimmers use both ways."},
	record.ServesStreamline: {"A long, straight body slips through the water.", "That makes you faster and costs no strength."},
}

// plainMoment says when in the kick a picture was taken.
var plainMoment = map[string]string{
	"set": "just before the kick down", "drive": "early in the kick down",
	"fastest": "in the kick down, when your foot is fastest", "finish": "at the end of the kick down",
	"set-up": "just before the kick up", "drive-up": "early in the kick up",
	"fastest-up": "in the kick up, when your foot is fastest", "finish-up": "at the end of the kick up",
}

// sheetSaw says what was seen.
func sheetSaw(f *limit.Finding) []string {
	var say []string
	switch f.Kind {
	case limit.TooFew:
		return []string{"We saw too few good kicks to tell you more.", "Next time we will film six or more."}
	case limit.Worthy:
		say = []string{fmt.Sprintf("The thing to work on is %s.", plainThing[f.Quality]), "A model of your kick told us so.", "That is a guess, not a test."}
		if f.Practice != "" && f.Practice != f.Quality {
			say = append(say, fmt.Sprintf("We start with %s. It makes you faster and no more tired.", plainThing[f.Practice]))
		}
	case limit.Changed:
		say = sheetChanged(f)
	case limit.OutOfLine:
		say = sheetOut(f)
	default:
		say = []string{"No one thing stands out in your kick.", "That is fine."}
		if serves := needOf(f).Serves; serves == "" || serves == record.ServesStreamline {
			say = append(say, "So we work on a long, straight body.")
		}
	}
	if f.Doubt != "" {
		say = append(say, "One number looks odd. Your coach will look at the film first.")
	}
	return say
}

func sheetChanged(f *limit.Finding) []string {
	for _, c := range f.Changes {
		if c.Measure != f.Evidence.Measure {
			continue
		}
		way, half := "less", "down"
		if c.Verdict == limit.Higher {
			way = "more"
		}
		if strings.HasSuffix(c.Measure, "_upkick") {
			half = "up"
		}
		return []string{
			fmt.Sprintf("Your kick %s has changed since %s.", half, c.When),
			fmt.Sprintf("What changed is %s. It is %s than it was.", plainThing[f.Quality], way),
			"The change is too big to be luck.",
		}
	}
	return nil
}

func sheetOut(f *limit.Finding) []string {
	id := f.Evidence.Measure
	what, ok := plainMeasure[id]
	if !ok {
		what = plainThing[f.Quality]
	}
	for _, c := range f.Context {
		if c.Measure.ID != id {
			continue
		}
		way := "more"
		if c.Standing == limit.Below {
			way = "less"
		}
		return []string{fmt.Sprintf("We looked at %s.", what), fmt.Sprintf("It is %s than in other swimmers who were tested.", way), "That can be fine. We will look at it first."}
	}
	return nil
}

// sheetNumber is one number with its band in words: the finding's own where plain words
// carry it, else the speed. Nothing where the film gives neither.
func sheetNumber(f *limit.Finding, r *kick.Result) []string {
	if m, ok := r.Measure(f.Evidence.Measure); ok && m.Known() && len(m.Reasons) == 0 {
		switch m.ID {
		case "facing":
			return banded(m, 100, "When they move fast, %s parts in 100 of your foot and shin face back.")
		case "sweep":
			return banded(m, 100, "In the kick down your feet travel %s cm.")
		case "kick_frequency":
			return bandedBy(m, 1, 1, "You do %s kicks a second.")
		case "knee_flexion_max":
			return banded(m, 1, "Your knees bend by %s degrees.")
		}
	}
	m, ok := r.Measure("speed")
	if !ok || !m.Known() {
		return nil
	}
	say := bandedBy(m, 1, 2, "You moved at %s metres a second.")
	if len(m.Reasons) > 0 {
		say = append(say, "The film was not the best, so this may be off.")
	}
	return say
}

func banded(m kick.Measure, factor float64, text string) []string {
	return bandedBy(m, factor, 0, text)
}

func bandedBy(m kick.Measure, factor float64, decimals int, text string) []string {
	number := func(v float64) string { return chart.FormatNumber(v*factor, decimals) }
	say := []string{fmt.Sprintf(text, number(m.Value))}
	if low, high := number(m.Low), number(m.High); !math.IsNaN(m.Low) && !math.IsNaN(m.High) && low != high {
		say = append(say, fmt.Sprintf("We can not be sure. The true number is most likely between %s and %s.", low, high))
	}
	return say
}

// sheetDose tells how much of a drill.
func sheetDose(d record.Drill, dose record.Dose) string {
	each := "kick"
	n := dose.Kicks
	if dose.Seconds > 0 {
		each, n = "second", dose.Seconds
	}
	if n != 1 {
		each += "s"
	}
	days := fmt.Sprintf("Do that on %d days a week.", dose.PerWeek)
	if dose.PerWeek == 1 {
		days = "Do that once a week."
	}
	rest := "Take a short rest in between."
	if d.Place == record.UnderWater {
		rest = "Come up each time. Rest until your breath is calm."
	}
	return fmt.Sprintf("Do %d %s, %d times. %s %s", n, each, dose.Repeats, rest, days)
}

// plainly puts everyday words in the place of those that coaches use.
var plainly = strings.NewReplacer(
	"shanks", "shins", "Shanks", "Shins", "shank", "shin", "Shank", "Shin",
	"downkicks", "kicks down", "downkick", "kick down", "upkicks", "kicks up", "upkick", "kick up",
	"both forefeet", "the front of both feet", "forefeet", "front of the feet", "forefoot", "front of the foot",
	"the body line", "the dashed line", "the still of the set", "the picture",
	", sweep kept", ", same size", "build in each", "from calm to fast in each",
)

// sheetSteps are a drill's steps in everyday words.
func sheetSteps(d record.Drill) []string {
	steps := make([]string, len(d.How))
	for i, s := range d.How {
		steps[i] = plainly.Replace(s)
	}
	return steps
}

// sheetKey says what the picture shows.
func sheetKey(moment string, facing bool) []string {
	say := []string{fmt.Sprintf("This is you %s.", plainMoment[moment])}
	if facing {
		say = append(say, "The stripes show which part of your foot and shin pushes the water back.")
	}
	return append(say, "The dashed line goes the way you swim.")
}

// SheetCautions are the cautions of practice in the words of a sheet. They say all that
// PracticeCautions say.
func SheetCautions() []string {
	return []string{
		"If you hold your breath in water, you can pass out and drown. It comes with no sign, and it has killed good swimmers.",
		"Never kick under water on your own. A trained lifeguard must watch you and be ready.",
		"Do not take a lot of quick, deep breaths first. Do not test how long or how often you can go with no air.",
		"Rest at the surface each time until your breath is calm. Do you need air, or feel dizzy? Come up and stop.",
		"Feet and knees: do not force them. No one may push on them. Stop if it hurts.",
		"The rules of the pool, of your sport and the law come first. Ask a doctor if you have a question on your health.",
	}
}
