package poolside

import (
	"context"
	"errors"
	"fmt"
	"slices"

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
	Cut      bool // of some swimmers only the newest runs are listed
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

// LessonChoices lists every squad's measured runs, by swimmer, the newest run first; of large
// squads the newest of each swimmer, and all of the swimmers whose runs are given. A
// lesson may show runs of any of them: those of another squad than its own need the consent
// for showing outside.
func (a *App) LessonChoices(ctx context.Context, whose ...string) (LessonChoices, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return LessonChoices{}, err
	}
	consents, err := a.store.ConsentsOfAll(ctx)
	if err != nil {
		return LessonChoices{}, err
	}
	var view LessonChoices
	for _, q := range squads {
		section := LessonChoiceSquad{ID: q.ID, Name: q.Name}
		roster, cut, err := a.runsToChoose(ctx, q.ID, whose)
		if err != nil {
			return view, err
		}
		section.Cut = cut
		for _, row := range roster {
			of := a.allowances(ctx, row.Swimmer, consents[row.Swimmer.ID])
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

// allowances tells what may be shown of a swimmer today.
func (a *App) allowances(ctx context.Context, w record.Swimmer, consents []record.Consent) LessonChoice {
	c, on := LessonChoice{Swimmer: a.ShownName(ctx, w)}, record.Date(today())
	for _, p := range []struct {
		purpose record.Purpose
		may     *bool
	}{{record.ForSquad, &c.Squad}, {record.ForOutside, &c.Outside}} {
		if *p.may = record.Allowed(w.BirthYear, consents, p.purpose, on); !*p.may && c.Why == "" {
			c.Why = a.consentWords(ctx, w, consents, asked{p.purpose, on})
		}
	}
	return c
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
