package poolside

import (
	"context"
	"fmt"
	"io"
	"slices"

	"underkick/internal/limit"
	"underkick/internal/practice"
	"underkick/internal/record"
	"underkick/internal/report/paper"
)

// SheetView is the one page for a swimmer and parents.
type SheetView struct {
	RunID     string
	SwimmerID string
	Sheet     paper.Sheet
	Problem   string // why there is none, "" when Sheet stands
}

// SheetPicture is the picture of a sheet.
type SheetPicture struct {
	RunID  string
	Kick   int
	Moment string
}

// Sheet writes the sheet of a run: what was seen, one picture, one number, one thing to do, why,
// and the cautions, in words that a child of twelve reads. It goes to the swimmer and the
// parents, so it asks for no consent to show; its picture is softened by nothing.
func (a *App) Sheet(ctx context.Context, runID string, size record.Paper, picture func(SheetPicture) (string, error)) (SheetView, error) {
	kick, err := a.Kick(ctx, runID, 0)
	if err != nil {
		return SheetView{}, err
	}
	view := SheetView{RunID: kick.Run.ID, SwimmerID: kick.Swimmer.ID, Problem: kick.Problem}
	if kick.Finding == nil {
		return view, nil
	}
	view.Sheet = paper.Sheet{
		Title: "How " + a.ShownName(ctx, kick.Swimmer) + " kicks", Size: sizeOf(size), Sub: longDate(kick.Visit.On),
		Saw: sheetSaw(kick.Finding), Number: sheetNumber(kick.Finding, kick.Result),
		Caution: paper.Caution{Title: "Stay safe.", Lines: SheetCautions()},
		Notes:   []string{"The numbers come from film. They may be a bit off."},
	}
	if kick.Visit.Pool != "" {
		view.Sheet.Sub += ", " + kick.Visit.Pool
	}
	if err := a.sheetTask(ctx, kick, sheetWords{&view.Sheet}); err != nil {
		return view, err
	}
	return view, a.sheetPicture(ctx, kick, &view.Sheet, picture)
}

// sheetTask adds the one thing to do: what the swimmer practises now, else the first drill for
// the finding.
func (a *App) sheetTask(ctx context.Context, kick KickView, s sheetWords) error {
	if kick.Finding.Kind == limit.TooFew {
		s.DoTitle, s.Do = "Film it again", []string{"Push off and glide.", "Kick six to ten times, all alike.", "Come up. Rest until your breath is calm."}
		s.Why = []string{"Three or more good kicks tell us what to work on."}
		return nil
	}
	now, err := a.Practising(ctx, kick.Swimmer.ID)
	if err != nil {
		return err
	}
	if len(now.Now) > 0 {
		given := now.Now[0]
		s.task(given.Drill, given.Amount)
		s.Next = fmt.Sprintf("You began on %s. We film again on %s and look if it changed.", longDate(given.From), longDate(given.RetestOn))
		if given.GivenBy != "" {
			s.Next = fmt.Sprintf("%s gave you this. %s", given.GivenBy, s.Next)
		}
		return nil
	}
	proposed, err := a.PracticeFor(ctx, kick.Run.ID, PracticeOptions{})
	if err != nil {
		return err
	}
	if len(proposed.Choices) > 0 {
		s.task(proposed.Choices[0].Drill, proposed.Choices[0].Dose)
		s.Next = fmt.Sprintf("We film again in about %d weeks and look if it changed.", practice.UsualWeeks)
	}
	return nil
}

// sheetWords is a sheet being written.
type sheetWords struct{ *paper.Sheet }

// task makes a drill the one thing to do.
func (s sheetWords) task(d record.Drill, dose record.Dose) {
	s.DoTitle, s.Do, s.Cue = plainly.Replace(d.Title), sheetSteps(d), plainly.Replace(d.Cue)
	s.Dose, s.Why = sheetDose(d, dose), plainWhy[d.Serves]
	if d.Caution != "" {
		s.Caution.Lines = append([]string{plainly.Replace(d.Caution)}, s.Caution.Lines...)
	}
}

// sheetPicture adds the still that shows the finding.
func (a *App) sheetPicture(ctx context.Context, kick KickView, s *paper.Sheet, picture func(SheetPicture) (string, error)) error {
	made, err := a.stillsOf(ctx, kick.Run.ID, sheetStills(kick.Finding.Evidence.Kick))
	if _, cannot := problemOf(err); cannot { // a run without a whole kick has no stills
		return nil
	}
	if err != nil {
		return err
	}
	stills := made.view.Stills
	still := stills[len(stills)/4] // a moment of the downkick
	for _, moment := range slices.Backward(kick.Finding.Evidence.Moments) {
		if i := slices.IndexFunc(stills, func(v StillView) bool { return v.Moment == moment }); i >= 0 {
			still = stills[i]
		}
	}
	address, err := picture(SheetPicture{RunID: kick.Run.ID, Kick: made.view.Kick, Moment: still.Moment})
	if err != nil {
		return err
	}
	s.Picture = drawnStill(still, address, "You "+plainMoment[still.Moment])
	s.Key = sheetKey(still.Moment, still.Facing)
	return nil
}

// sheetStills is how a sheet's picture is made: to the right, as a lesson's.
func sheetStills(number int) StillsOptions {
	return StillsOptions{Kick: number, Moments: []string{"all"}, Swims: ToRight}
}

// SheetStill returns the picture of a sheet as JPEG.
func (a *App) SheetStill(ctx context.Context, p SheetPicture) ([]byte, error) {
	return a.framed(ctx, LessonPicture{RunID: p.RunID, Kick: p.Kick, Moment: p.Moment}, sheetStills(p.Kick))
}

// WriteSheet writes the sheet of a run as one HTML file. A run without a finding is an ErrInput.
func (a *App) WriteSheet(ctx context.Context, runID string, size record.Paper, w io.Writer) error {
	view, err := a.Sheet(ctx, runID, size, func(p SheetPicture) (string, error) {
		text, err := a.SheetStill(ctx, p)
		return dataAddress(text), err
	})
	if err != nil {
		return err
	}
	if view.Problem != "" {
		return inputf("There is no sheet yet. %s", view.Problem)
	}
	return paper.WriteSheetFile(w, view.Sheet)
}

// PrintSheet writes the sheet of a run as a PDF file; ErrNoBrowser where no browser is installed.
func (a *App) PrintSheet(ctx context.Context, runID string, size record.Paper, pdf string) error {
	return printed(ctx, pdf, func(w io.Writer) error { return a.WriteSheet(ctx, runID, size, w) })
}
