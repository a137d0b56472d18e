package poolside

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"underkick/internal/limit"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// LessonStart is what a new lesson is made from.
type LessonStart struct {
	Template record.LessonTemplate
	Title    string // "" = the template's
	SquadID  string // "" = the runs' squad, or the only one
	RunIDs   []string
	Audience record.Audience // "" = squad
	Paper    record.Paper    // "" = A4
}

// LessonChoices lists the measured runs a lesson can show, by squad and swimmer.
type LessonChoices struct {
	Squads []LessonChoiceSquad
}

// LessonChoiceSquad is one squad's runs.
type LessonChoiceSquad struct {
	ID, Name string
	Runs     []LessonChoice
}

// LessonChoice is a measured run with what its swimmer allows.
type LessonChoice struct {
	RunID   string
	Swimmer string // as shown
	When    string
	Speed   string
	Finding string
	Squad   bool // may be shown in the squad
	Outside bool // may be shown outside
	Why     string
}

// LessonChoices lists every squad's measured runs, by swimmer, the newest run first. A
// lesson may show runs of any of them: those of another squad than its own need the consent
// for showing outside.
func (a *App) LessonChoices(ctx context.Context) (LessonChoices, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return LessonChoices{}, err
	}
	var view LessonChoices
	for _, q := range squads {
		section := LessonChoiceSquad{ID: q.ID, Name: q.Name}
		roster, err := a.store.Roster(ctx, q.ID, "speed")
		if err != nil {
			return view, err
		}
		for _, row := range roster {
			of, err := a.allowances(ctx, row.Swimmer)
			if err != nil {
				return view, err
			}
			for _, m := range slices.Backward(row.Measured) {
				c := of
				c.RunID, c.When, c.Finding = m.RunID, longDate(m.On), m.Word
				if speed := keptMeasure(m.Values, "speed"); speed != nil {
					c.Speed = valueWithBand(*speed)
				}
				section.Runs = append(section.Runs, c)
			}
		}
		view.Squads = append(view.Squads, section)
	}
	return view, nil
}

// allowances tells what may be shown of a swimmer.
func (a *App) allowances(ctx context.Context, w record.Swimmer) (LessonChoice, error) {
	c := LessonChoice{Swimmer: a.ShownName(ctx, w)}
	for _, p := range []struct {
		purpose record.Purpose
		may     *bool
	}{{record.ForSquad, &c.Squad}, {record.ForOutside, &c.Outside}} {
		err := a.MayShow(ctx, w.ID, p.purpose)
		if err != nil && !errors.Is(err, ErrConsent) {
			return c, err
		}
		if *p.may = err == nil; err != nil && c.Why == "" {
			c.Why = err.Error()
		}
	}
	return c, nil
}

// NewLesson keeps a lesson made from a template and returns its id. Its runs need the consent
// that the audience asks for (ErrConsent).
func (a *App) NewLesson(ctx context.Context, start LessonStart) (string, error) {
	body, err := a.begin(ctx, &start)
	if err != nil {
		return "", err
	}
	if err := body.Validate(); err != nil {
		return "", err
	}
	l := record.Lesson{SquadID: start.SquadID, LessonVersion: record.LessonVersion{LessonBody: body}}
	if err := a.mayTeach(ctx, l, body.RunIDs()); err != nil {
		return "", err
	}
	if l.Names, err = a.namesAtFirst(ctx, l); err != nil {
		return "", err
	}
	l, err = a.store.AddLesson(ctx, l)
	return l.ID, err
}

// namesAtFirst is how a new lesson names its swimmers: by pseudonyms where one is shown
// outside of the own squad.
func (a *App) namesAtFirst(ctx context.Context, l record.Lesson) (record.NamesShown, error) {
	for _, id := range l.RunIDs() {
		rc, err := a.store.RunWhole(ctx, id)
		if err != nil {
			return l.Names, err
		}
		if leavesSquad(l, rc.Swimmer) {
			return record.ShowPseudonyms, nil
		}
	}
	return l.Names, nil
}

func (a *App) begin(ctx context.Context, start *LessonStart) (record.LessonBody, error) {
	if err := a.squadOf(ctx, start); err != nil {
		return record.LessonBody{}, err
	}
	if len(start.RunIDs) > record.MaxLessonRuns {
		return record.LessonBody{}, inputf("A lesson begins with at most %d runs. More can be added to it in further blocks.", record.MaxLessonRuns)
	}
	b := record.LessonBody{Title: start.Title, Template: start.Template, Audience: start.Audience, Paper: start.Paper, Names: record.ShowNames, Soften: true}
	if b.Audience == "" {
		b.Audience = record.InSquad
	}
	if b.Audience == record.OutsideSquad {
		b.Names = record.ShowPseudonyms
	}
	if b.Paper == "" {
		b.Paper = record.A4
	}
	plan, ok := lessonPlans[start.Template]
	if !ok {
		return b, record.Faults{{Field: "template", Text: "is missing; choose one of facing, sweep, build, before-and-after, one-swimmer"}}
	}
	if len(start.RunIDs) < plan.least {
		return b, record.Faults{{Field: "runs", Text: fmt.Sprintf("are too few; this lesson begins with %d or more", plan.least)}}
	}
	if b.Title == "" {
		b.Title = plan.title
	}
	blocks, err := a.blocksOf(ctx, plan, start)
	for i := range blocks {
		blocks[i].ID = fmt.Sprintf("b%d", i+1)
	}
	b.Blocks = blocks
	return b, err
}

// squadOf fills in the squad: that of the first run, or the only one there is.
func (a *App) squadOf(ctx context.Context, start *LessonStart) error {
	if start.SquadID != "" {
		return nil
	}
	if len(start.RunIDs) > 0 {
		rc, err := a.store.RunWhole(ctx, start.RunIDs[0])
		if errors.Is(err, ErrNotFound) {
			return inputf("There is no run %q; the address of its page ends in its id.", start.RunIDs[0])
		}
		start.SquadID = rc.Swimmer.SquadID
		return err
	}
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return err
	}
	if len(squads) != 1 {
		return record.Faults{{Field: "squad", Text: "is missing; choose the squad of the lesson"}}
	}
	start.SquadID = squads[0].ID
	return nil
}

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
