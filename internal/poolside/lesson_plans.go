package poolside

import (
	"context"
	"slices"
	"strings"

	"underkick/internal/limit"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// lessonPlan is what a template puts onto the sheet.
type lessonPlan struct {
	title   string
	words   string // for the page that offers it
	least   int    // runs it needs
	idea    string // the first text
	moments record.KickPart
	curve   string
	measure string
	more    []string      // further measures
	look    string        // second text, beside the curve
	serves  record.Serves // of the practice card, "" = by the finding
}

var lessonPlans = map[record.LessonTemplate]lessonPlan{
	record.FacingLesson: {
		title: "Facing: what of the foot pushes back", words: "How much of foot and shank faces back while it moves. Stills of each swimmer, the facing over the kick, one drill.",
		idea:    "Only what faces back while it moves pushes the swimmer forward. Look at the hatched part of foot and shank: the longer it is while the foot is fast, the better.",
		moments: record.DownkickPart, curve: record.FootFacingCurve, measure: "facing",
		look: "Follow the line from set to finish. Where does it drop? That is where the foot slices instead of pushing.", serves: record.ServesFacing,
	},
	record.SweepLesson: {
		title: "Sweep: how far the feet travel", words: "How far the feet travel behind and in front of the body line. Stills of each swimmer, the number, one drill.",
		idea:    "The feet travel behind the body line and in front of it. Look at the dashed line: how far behind it are the feet at the set, how far in front at the finish?",
		moments: record.DownkickPart, curve: record.KneeCurve, measure: "sweep",
		look: "Read sweep with tempo: a bigger kick alone is not a faster one.", serves: record.ServesSweep,
	},
	record.BuildLesson: {
		title: "Build: slow, then fast", words: "How foot speed rises through the kick and how late it peaks. Stills of each swimmer, foot speed over the kick, one drill.",
		idea:    "A kick that starts calmly and ends fast builds. Look at the pictures from set to finish, then at the line below: where is the foot fastest?",
		moments: record.DownkickPart, curve: record.FootSpeedCurve, measure: "build",
		look: "A line that climbs until late is a kick that builds. A line with an early top is a kick that was thrown down at once.", serves: record.ServesBuild,
	},
	record.BeforeAfter: {
		title: "Before and after", words: "Two runs of one swimmer: stills below each other, one curve, and whether the change is a real one.", least: 2,
		idea:    "The same swimmer on two days. First say what you see, then look at the numbers.",
		moments: record.DownkickPart, curve: record.FootSpeedCurve, measure: "speed", more: []string{"facing", "sweep", "build"},
		look: "Two numbers always differ a little. Only a difference larger than the smallest real change counts as one.",
	},
	record.OneSwimmer: {
		title: "One swimmer's kick", words: "One run: the finding, stills of both halves of the kick, the number behind it and what to practise.", least: 1,
		moments: record.WholePart, curve: record.FootSpeedCurve, measure: "speed",
	},
}

// LessonTemplateWords names a template and says what it puts onto the sheet.
func LessonTemplateWords(t record.LessonTemplate) (title, words string) {
	return lessonPlans[t].title, lessonPlans[t].words
}

// blocksOf fills a plan with the runs.
func (a *App) blocksOf(ctx context.Context, plan lessonPlan, start *LessonStart) ([]record.LessonBlock, error) {
	runs := make([]record.LessonRun, len(start.RunIDs))
	for i, id := range start.RunIDs {
		runs[i].RunID = id
	}
	idea, serves, curve, measure := plan.idea, plan.serves, plan.curve, plan.measure
	if len(runs) > 0 && (plan.idea == "" || plan.serves == "") {
		view, err := a.Kick(ctx, start.RunIDs[len(runs)-1], 0)
		if err != nil {
			return nil, err
		}
		if view.Finding == nil {
			return nil, inputf("This run is not measured yet. %s", view.Problem)
		}
		if plan.idea == "" {
			idea = view.Finding.Sentence
			if c, ok := curveOf[view.Finding.Evidence.Curve]; ok {
				curve = c
			}
			if id := view.Finding.Evidence.Measure; id != "" {
				measure = id
			}
		}
		if serves == "" {
			serves = needOf(view.Finding).Serves
		}
	}
	list := []record.LessonBlock{
		{Kind: record.TextBlock, Text: idea},
		{Kind: record.StillsBlock, Part: plan.moments, Runs: runs},
		{Kind: record.CurveBlock, Curve: curve, Runs: runs},
	}
	if plan.look != "" {
		list = append(list, record.LessonBlock{Kind: record.TextBlock, Text: plan.look})
	}
	for _, id := range append([]string{measure}, plan.more...) {
		list = append(list, record.LessonBlock{Kind: record.MeasureBlock, Measure: id, Runs: runs})
	}
	if drill, ok := firstDrill(serves); ok {
		list = append(list, record.LessonBlock{Kind: record.HeadingBlock, Text: "Try it"}, record.LessonBlock{Kind: record.PracticeBlock, Drill: drill, Runs: runs[:min(1, len(runs))]})
	}
	return list, nil
}

// curveOf is the lesson's curve for the finding's.
var curveOf = map[string]string{
	limit.CurveFootSpeed: record.FootSpeedCurve, limit.CurveFacing: record.FootFacingCurve,
	limit.CurveKnee: record.KneeCurve, limit.CurveAnkle: record.AnkleCurve,
}

// firstDrill is a drill for a squad: the easiest one in the water that suits every age.
func firstDrill(serves record.Serves) (string, bool) {
	if serves == "" {
		serves = record.ServesStreamline
	}
	var fit []record.Drill
	for _, d := range practice.Library() {
		if _, ok := d.DoseFor(0, ""); ok && d.Serves == serves && d.Place != record.DryLand {
			fit = append(fit, d)
		}
	}
	slices.SortStableFunc(fit, func(x, y record.Drill) int {
		if x.Step != y.Step {
			return x.Step - y.Step
		}
		return strings.Compare(string(x.Place), string(y.Place)) // at the surface first
	})
	if len(fit) == 0 {
		return "", false
	}
	return fit[0].ID, true
}
