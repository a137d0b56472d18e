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
	Swimmer   record.Swimmer // zero in the library
	Name      string         // of the swimmer as it is shown now
	Run       record.Run     // zero in the library
	Sentence  string         // the finding's; "" in the library
	For       string         // what is practised and why, one sentence; "" in the library
	Choices   []practice.Choice
	LeftOut   []string       // what was left out and why
	Others    []OtherDrill   // not proposed
	Now       []record.Given // practised now; none in the library
	Equipment []string       // everything that a drill needs, by name
	Without   []string       // what of it is not there
	From      record.Date    // proposed first day
	Weeks     int            // proposed
	RetestOn  record.Date    // proposed
	By        string         // proposed for who gives it, "" = nobody gave any here
	Cautions  []string       // stand on every page and print-out of practice
}

// OtherDrill is a drill that the rules do not propose.
type OtherDrill struct {
	Drill   record.Drill
	Never   string   // why it cannot be given at all, "" = it can, with a reason
	Against []string // the rules that giving it goes against
}

// PracticeOptions narrows down what is chosen; the zero value takes everything.
type PracticeOptions struct {
	DryLand bool     // dry land only
	Without []string // equipment that is not there
}

// PracticeFor chooses drills for the finding of a run: what worth says to practise
// first, else the quality the finding names, else the line through the water. Own
// drills stand beside ours; what is practised now, or was given before without a
// change shown, is not proposed. A run that cannot be measured is an ErrInput.
func (a *App) PracticeFor(ctx context.Context, runID string, opt PracticeOptions) (PracticeView, error) {
	kick, need, err := a.needOfRun(ctx, runID, opt)
	if err != nil {
		return PracticeView{}, err
	}
	library, err := a.drills(ctx)
	if err != nil {
		return PracticeView{}, err
	}
	view := PracticeView{
		Swimmer: kick.Swimmer, Name: a.ShownName(ctx, kick.Swimmer), Run: kick.Run, Sentence: kick.Finding.Sentence, For: whyServes(kick.Finding, need.Serves),
		Equipment: equipmentOf(library), Without: opt.Without, From: record.Date(today()), Weeks: practice.UsualWeeks, Cautions: PracticeCautions(),
	}
	view.Choices, view.LeftOut = practice.Choose(library, need)
	for _, d := range library {
		if !slices.ContainsFunc(view.Choices, func(c practice.Choice) bool { return c.Drill.ID == d.ID }) {
			never, against := practice.Against(d, need)
			view.Others = append(view.Others, OtherDrill{d, never, against})
		}
	}
	if view.RetestOn, err = practice.RetestOn(view.From, view.Weeks); err != nil {
		return PracticeView{}, err
	}
	if view.By, err = a.Giver(ctx); err != nil {
		return PracticeView{}, err
	}
	given, err := a.store.Given(ctx, kick.Swimmer.ID)
	view.Now = slices.DeleteFunc(given, func(g record.Given) bool { return g.Removed || g.Ended != "" })
	return view, err
}

// needOfRun is what the finding of a run asks for, with what the swimmer was given
// before.
func (a *App) needOfRun(ctx context.Context, runID string, opt PracticeOptions) (KickView, practice.Need, error) {
	kick, err := a.Kick(ctx, runID, 0)
	if err != nil {
		return KickView{}, practice.Need{}, err
	}
	if kick.Finding == nil {
		return kick, practice.Need{}, inputf("practice is chosen for a finding, and this run has none yet. %s", kick.Problem)
	}
	if kick.Finding.Kind == limit.TooFew {
		return kick, practice.Need{}, inputf("practice is chosen for a finding, and this run has fewer than three whole, steady kicks. Choose from the library, or film a run of six to ten kicks")
	}
	need := needOf(kick.Finding)
	need.DryLand, need.Without = opt.DryLand, opt.Without
	need.Level, need.Age = kick.Swimmer.Level, ageIn(kick.Swimmer, record.Date(today()))
	return kick, need, a.givenBefore(ctx, &need, kick.Swimmer)
}

// ageIn is the age that a swimmer reaches in the year of a day, as age groups of the
// sport count (common practice, no source); 0 = not known.
func ageIn(w record.Swimmer, on record.Date) int {
	if year := yearOf(on); year > 0 && w.BirthYear > 0 {
		return max(0, year-w.BirthYear)
	}
	return 0
}

// drills are all that may be given: the coach's own, not retired, then ours.
func (a *App) drills(ctx context.Context) ([]record.Drill, error) {
	own, err := a.store.OwnDrills(ctx)
	if err != nil {
		return nil, err
	}
	var all []record.Drill
	for _, o := range own {
		if !o.Retired {
			all = append(all, o.Drill)
		}
	}
	return append(all, practice.Library()...), nil
}

func equipmentOf(drills []record.Drill) []string {
	var all []string
	for _, d := range drills {
		if d.Equipment != "" {
			all = append(all, d.Equipment)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// PracticeLibrary returns every drill that serves something, or all where it is
// empty, the coach's own first, each with the dose of a grown swimmer of national
// level.
func (a *App) PracticeLibrary(ctx context.Context, serves record.Serves) (PracticeView, error) {
	library, err := a.drills(ctx)
	if err != nil {
		return PracticeView{}, err
	}
	return practiceLibrary(library, serves)
}

// OurLibrary is PracticeLibrary without the coach's own drills; it needs no data
// folder.
func OurLibrary(serves record.Serves) (PracticeView, error) {
	return practiceLibrary(practice.Library(), serves)
}

func practiceLibrary(library []record.Drill, serves record.Serves) (PracticeView, error) {
	if serves != "" && !slices.Contains(record.AllServes(), serves) {
		return PracticeView{}, inputf("no drill serves %q; choose one of %v", string(serves), record.AllServes())
	}
	view := PracticeView{Cautions: PracticeCautions()}
	for _, d := range library {
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
