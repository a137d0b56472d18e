package poolside

import (
	"context"
	"fmt"
	"slices"

	"underkick/internal/limit"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// PracticeView is what could be practised, and by which rules.
type PracticeView struct {
	Swimmer  record.Swimmer // zero in the library
	Run      record.Run     // zero in the library
	Sentence string         // the finding's; "" in the library
	For      string         // what is practised and why, one sentence; "" in the library
	Choices  []practice.Choice
	LeftOut  []string // what was left out and why
	Cautions []string // stand on every page and print-out of practice
}

// PracticeFor chooses drills for the finding of a run: what worth says to practise
// first, else the quality the finding names, else the line through the water.
// dryLand keeps to dry land. A run that cannot be measured is an ErrInput.
func (a *App) PracticeFor(ctx context.Context, runID string, dryLand bool) (PracticeView, error) {
	kick, err := a.Kick(ctx, runID, 0)
	if err != nil {
		return PracticeView{}, err
	}
	if kick.Finding == nil {
		return PracticeView{}, fmt.Errorf("%w: practice is chosen for a finding, and this run has none yet. %s", ErrInput, kick.Problem)
	}
	if kick.Finding.Kind == limit.TooFew {
		return PracticeView{}, fmt.Errorf("%w: practice is chosen for a finding, and this run has fewer than three whole, steady kicks. Choose from the library, or film a run of six to ten kicks", ErrInput)
	}
	need := needOf(kick.Finding)
	need.DryLand, need.Level = dryLand, kick.Swimmer.Level
	if year := yearOf(kick.Visit.On); year > 0 && kick.Swimmer.BirthYear > 0 {
		need.Age = year - kick.Swimmer.BirthYear
	}
	view := PracticeView{Swimmer: kick.Swimmer, Run: kick.Run, Sentence: kick.Finding.Sentence, For: whyServes(kick.Finding, need.Serves)}
	view.Choices, view.LeftOut = practice.Choose(practice.Library(), need)
	view.Cautions = PracticeCautions()
	return view, nil
}

// PracticeLibrary returns every drill that serves something, or all where it is
// empty, each with the dose of a grown swimmer of national level.
func PracticeLibrary(serves record.Serves) (PracticeView, error) {
	if serves != "" && !slices.Contains(record.AllServes(), serves) {
		return PracticeView{}, fmt.Errorf("%w: no drill serves %q; choose one of %v", ErrInput, string(serves), record.AllServes())
	}
	view := PracticeView{Cautions: PracticeCautions()}
	for _, d := range practice.Library() {
		if serves != "" && d.Serves != serves {
			continue
		}
		dose, _ := d.DoseFor(adult, record.National)
		view.Choices = append(view.Choices, practice.Choice{Drill: d, Dose: dose})
	}
	return view, nil
}

// adult is an age at which no drill is withheld, years.
const adult = 18

// needOf is what the finding asks for.
func needOf(f *limit.Finding) practice.Need {
	serves := f.Practice
	if serves == "" {
		serves = f.Quality
	}
	n := practice.Need{Serves: record.Serves(serves)}
	if !slices.Contains(record.AllServes(), n.Serves) {
		n.Serves = ""
	}
	for _, c := range f.Changes {
		if c.Verdict == limit.Lower {
			n.Weak = append(n.Weak, c.Measure)
		}
	}
	for _, c := range f.Context {
		if c.Standing == limit.Below {
			n.Weak = append(n.Weak, c.Measure.ID)
		}
	}
	return n
}

// whyServes tells why something is practised.
func whyServes(f *limit.Finding, serves record.Serves) string {
	switch {
	case serves == "":
		return "No single quality stands out. The line through the water costs no effort to practise; any other may be chosen."
	case f.Practice == string(serves) && f.Practice != f.Quality:
		return fmt.Sprintf("The model expects %s to give speed at the same effort, so it comes before %s. A model estimate, not a measurement.", serves, f.Quality)
	case f.Practice == string(serves):
		return fmt.Sprintf("The model names %s as the limiter. A model estimate, not a measurement.", serves)
	}
	return fmt.Sprintf("The finding names %s.", serves)
}

// PracticeCautions are the cautions on breath-holding and on joints that stand
// wherever something is practised.
func PracticeCautions() []string {
	return append(BreathCautions(),
		"Ankles and knees: no forcing, no pushing by a partner on minors, stop at pain.")
}
