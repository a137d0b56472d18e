package poolside

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"underkick/internal/record"
	"underkick/internal/report/paper"
)

// LessonView is a lesson ready for paper, with what only its author is told.
type LessonView struct {
	Lesson   record.Lesson
	Document paper.Document // one block for each of the lesson, in order
	Names    []LessonName   // of the runs on the sheet, as the sheet has them
	Warnings []string       // for the author alone: what is withheld and why, what to check
}

// LessonName is how a run is called on the sheet.
type LessonName struct{ RunID, Name string }

// LessonPictures tells how a lesson's pictures are reached.
type LessonPictures func(p LessonPicture) (address string, err error)

// LessonPage lays a lesson out. Consents are asked anew: what may not be shown today is
// withheld and Warnings say why. Names are shown as the lesson has it.
func (a *App) LessonPage(ctx context.Context, id string, pictures LessonPictures) (LessonView, error) {
	l, err := a.store.Lesson(ctx, id)
	if err != nil {
		return LessonView{}, err
	}
	t := &teacher{app: a, lesson: l, pictures: pictures, runs: map[string]*taughtRun{}, noted: map[string][]string{}}
	open := ctx
	if t.drills, err = a.drills(ctx); err != nil {
		return LessonView{}, err
	}
	if ctx, t.disguise, err = a.lessonNames(ctx, l); err != nil {
		return LessonView{}, err
	}
	for _, id := range l.RunIDs() {
		if t.runs[id], err = t.run(open, ctx, id); err != nil {
			return LessonView{}, err
		}
		t.order = append(t.order, id)
	}
	return t.lay(ctx)
}

// taughtRun is a run on the sheet.
type taughtRun struct {
	id       string
	view     KickView
	name     string // of the swimmer, as the sheet has it
	label    string // name and day
	withheld string // for the sheet: why nothing is shown; names nobody
	leaves   bool   // shown outside of the own squad
}

// teacher lays one lesson out.
type teacher struct {
	app      *App
	lesson   record.Lesson
	pictures LessonPictures
	disguise *Disguise // nil where names are shown
	runs     map[string]*taughtRun
	order    []string
	drills   []record.Drill
	warnings []string
	noted    map[string][]string // notes on pictures, with the runs they are about
}

// lessonNames returns the context in which the lesson's swimmers are called as it asks for.
// Names that are hidden on all pages stay hidden, whatever the lesson asks for.
func (a *App) lessonNames(ctx context.Context, l record.Lesson) (context.Context, *Disguise, error) {
	if l.Names == record.ShowNames {
		return a.Hiding(ctx)
	}
	names, err := a.store.Names(ctx)
	if err != nil {
		return ctx, nil, err
	}
	if l.Names == record.ShowNoNames {
		letters, err := a.lessonLetters(ctx, l)
		if err != nil {
			return ctx, nil, err
		}
		for i, n := range names {
			if names[i].Pseudonym = letters[n.ID]; names[i].Pseudonym == "" {
				names[i].Pseudonym = "a swimmer"
			}
		}
	}
	d := newDisguise(names)
	return context.WithValue(ctx, disguiseKey{}, d), d, nil
}

// lessonLetters calls the swimmers of a lesson A, B ... in the order of the sheet.
func (a *App) lessonLetters(ctx context.Context, l record.Lesson) (map[string]string, error) {
	letters := map[string]string{}
	for _, id := range l.RunIDs() {
		rc, err := a.store.RunWhole(ctx, id)
		if errors.Is(err, ErrNotFound) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if letters[rc.Swimmer.ID] == "" {
			letters[rc.Swimmer.ID] = fmt.Sprintf("Swimmer %c", 'A'+len(letters)%26)
		}
	}
	return letters, nil
}

// run makes a run ready, or says why nothing of it is shown. What only the author is told is
// said with the names of the author's own pages, which open has.
func (t *teacher) run(open, ctx context.Context, id string) (*taughtRun, error) {
	a, r := t.app, &taughtRun{id: id, name: "a swimmer"}
	rc, err := a.store.RunWhole(ctx, id)
	if errors.Is(err, ErrNotFound) {
		r.label, r.withheld = "A run", "This run is not there any more."
		return r, nil
	}
	if err != nil {
		return nil, err
	}
	r.leaves, r.name = leavesSquad(t.lesson, rc.Swimmer), a.ShownName(ctx, rc.Swimmer)
	r.label = r.name + ", " + longDate(rc.Visit.On)
	if err := a.mayBeOn(open, t.lesson, rc.Swimmer); errors.Is(err, ErrConsent) {
		t.warn("Withheld. " + err.Error())
		r.label, r.withheld = "A swimmer", "Withheld: there is no consent today for showing this here."
		return r, nil
	} else if err != nil {
		return nil, err
	}
	if r.leaves && t.lesson.Audience == record.InSquad && t.lesson.Names == record.ShowNames {
		t.warn(r.label + ": of another squad, and named. Choose pseudonyms or no names for this lesson, or see that the name may be said.")
	}
	return r, t.measure(ctx, r)
}

// measure takes the run's result; what cannot be measured is said on the sheet.
func (t *teacher) measure(ctx context.Context, r *taughtRun) error {
	var err error
	if r.view, err = t.app.Kick(ctx, r.id, 0); err != nil {
		return err
	}
	if r.view.Result == nil {
		r.withheld = "Nothing is measured in this run."
		t.warn(r.label + ": " + r.view.Problem)
		return nil
	}
	return nil
}

func (t *teacher) warn(words string) {
	if !slices.Contains(t.warnings, words) {
		t.warnings = append(t.warnings, words)
	}
}

// lay lays the blocks out and adds what nobody can leave out.
func (t *teacher) lay(ctx context.Context) (LessonView, error) {
	d := paper.Document{Title: t.own(t.lesson.Title), Size: sizeOf(t.lesson.Paper)}
	for _, b := range t.lesson.Blocks {
		block, err := t.block(ctx, b)
		if err != nil {
			return LessonView{}, err
		}
		d.Blocks = append(d.Blocks, block)
	}
	t.caution(&d)
	d.Notes = t.notes()
	if t.disguise != nil && t.saysNames() {
		t.warn("A name in your own words is replaced on the sheet.")
	}
	for _, note := range slices.Sorted(maps.Keys(t.noted)) {
		t.warn(note + " This is about: " + strings.Join(t.noted[note], "; ") + ".")
	}
	view := LessonView{Lesson: t.lesson, Document: d, Warnings: t.warnings}
	for _, id := range t.order {
		view.Names = append(view.Names, LessonName{id, t.runs[id].label})
	}
	return view, nil
}

func sizeOf(p record.Paper) paper.Size {
	if p == record.Letter {
		return paper.Letter
	}
	return paper.A4
}

// own is a text of the author's, with names hidden where the lesson hides them.
func (t *teacher) own(text string) string {
	if t.disguise == nil {
		return text
	}
	return t.disguise.Text(text, nil)
}

// ownTexts are all texts that the author wrote or may have changed.
func (t *teacher) ownTexts() []string {
	texts := []string{t.lesson.Title}
	for _, b := range t.lesson.Blocks {
		texts = append(texts, b.Text)
		for _, r := range b.Runs {
			texts = append(texts, r.Words)
			for _, c := range r.Captions {
				texts = append(texts, c)
			}
		}
	}
	return texts
}

func (t *teacher) saysNames() bool {
	return slices.ContainsFunc(t.ownTexts(), func(s string) bool { return t.own(s) != s })
}

// practising finds words of practice in a text. It rather finds too much: a caution too many
// costs three lines.
var practising = regexp.MustCompile(`(?i)\b(practi[sc]\w*|drills?|sets? of|repeats?|reps?|breath\w*|apn\w+|train\w*|times a week|\d+ ?[x×] ?\d+)\b`)

// caution adds what nobody can leave out: on breath-holding and joints wherever practice is
// touched, below the first card of practice or else at the end; on film of minors at the end
// where it leaves the squad.
func (t *teacher) caution(d *paper.Document) {
	breath := paper.Caution{Title: "Before any kicking under water.", Lines: PracticeCautions()}
	first := slices.IndexFunc(t.lesson.Blocks, func(b record.LessonBlock) bool { return b.Kind == record.PracticeBlock })
	switch {
	case first >= 0:
		d.Blocks[first].Cautions = append(d.Blocks[first].Cautions, breath)
	case slices.ContainsFunc(t.ownTexts(), practising.MatchString):
		d.Cautions = append(d.Cautions, breath)
	}
	if t.showsMinorOutside() {
		d.Cautions = append(d.Cautions, paper.Caution{Title: "Film of minors.", Lines: []string{
			"Shown with the consent of a parent or guardian, for showing outside the squad. Show it only for that. Do not copy it, publish it or pass it on.",
			"The club's safeguarding policy comes first. When a consent is withdrawn, destroy this sheet and its file.",
		}})
	}
}

// showsMinorOutside reports whether a swimmer who is shown outside of the own squad may be
// under age.
func (t *teacher) showsMinorOutside() bool {
	for _, r := range t.runs {
		if r.leaves && r.withheld == "" && record.Minor(r.view.Swimmer.BirthYear, record.Date(today())) {
			return true
		}
	}
	return false
}

// notes are the small print.
func (t *teacher) notes() []string {
	list := []string{"All numbers are estimates from film. In brackets or as a bar: the 95 % band."}
	if slices.ContainsFunc(t.ownTexts(), func(s string) bool { return strings.Contains(strings.ToLower(s), "model") }) {
		list = append(list, "What the model expects is an estimate for comparing kicks of one swimmer, not a measurement.")
	}
	return list
}
