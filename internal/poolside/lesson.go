package poolside

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"underkick/internal/record"
	"underkick/internal/store"
)

// LessonsView lists every squad's lessons.
type LessonsView struct {
	Squads []LessonSection
}

// LessonSection is one squad's lessons, the one changed last first.
type LessonSection struct {
	ID, Name string
	Rows     []LessonRow
	Removed  []LessonRow
}

// LessonRow is one lesson in the list.
type LessonRow struct {
	ID, Title string
	Template  record.LessonTemplate
	Audience  record.Audience
	Swimmers  []string // as they are shown
	Changed   time.Time
}

// Lessons lists every squad's lessons, the removed apart.
func (a *App) Lessons(ctx context.Context) (LessonsView, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return LessonsView{}, err
	}
	var view LessonsView
	for _, q := range squads {
		section, err := a.lessonSection(ctx, q)
		if err != nil {
			return view, err
		}
		view.Squads = append(view.Squads, section)
	}
	return view, nil
}

func (a *App) lessonSection(ctx context.Context, q record.Squad) (LessonSection, error) {
	section := LessonSection{ID: q.ID, Name: q.Name}
	lessons, err := a.store.Lessons(ctx, q.ID)
	if err != nil {
		return section, err
	}
	for _, l := range lessons {
		row := LessonRow{ID: l.ID, Title: l.Title, Template: l.Template, Audience: l.Audience, Changed: l.At}
		for _, id := range l.RunIDs() {
			rc, err := a.store.RunWhole(ctx, id)
			if errors.Is(err, ErrNotFound) {
				continue
			}
			if err != nil {
				return section, err
			}
			if name := a.ShownName(ctx, rc.Swimmer); !slices.Contains(row.Swimmers, name) {
				row.Swimmers = append(row.Swimmers, name)
			}
		}
		if l.Removed {
			section.Removed = append(section.Removed, row)
			continue
		}
		section.Rows = append(section.Rows, row)
	}
	newest := func(x, y LessonRow) int { return y.Changed.Compare(x.Changed) }
	slices.SortStableFunc(section.Rows, newest)
	slices.SortStableFunc(section.Removed, newest)
	return section, nil
}

// Lesson returns a lesson as it is kept, removed or not.
func (a *App) Lesson(ctx context.Context, id string) (record.Lesson, error) {
	return a.store.Lesson(ctx, id)
}

// ErrChangedElsewhere: a lesson was changed since the page was loaded.
var ErrChangedElsewhere = fmt.Errorf("%w: the lesson was changed in another window; load the page again and do it once more", ErrInput)

// ChangeLesson keeps a new body of a lesson. seq is that of the lesson which was changed; with
// another one standing now nothing is kept and ErrChangedElsewhere returned. A body that is as
// the one that stands is not kept again. Runs that come in need the consent that the audience
// asks for (ErrConsent), and so does every run when the audience changes.
func (a *App) ChangeLesson(ctx context.Context, id string, seq int64, body record.LessonBody) (record.Lesson, error) {
	var kept record.Lesson
	err := a.store.Together(ctx, func(ctx context.Context) error {
		now, err := a.store.Lesson(ctx, id)
		switch {
		case err != nil:
			return err
		case now.Seq != seq:
			return ErrChangedElsewhere
		case sameLesson(now.LessonBody, body):
			kept = now
			return nil
		}
		if err := body.Validate(); err != nil {
			return err
		}
		fresh := body.RunIDs()
		if body.Audience == now.Audience {
			had := now.RunIDs()
			fresh = slices.DeleteFunc(fresh, func(id string) bool { return slices.Contains(had, id) })
		}
		now.LessonBody = body
		if err := a.mayTeach(ctx, now, fresh); err != nil {
			return err
		}
		kept, err = a.store.AddLessonVersion(ctx, id, record.LessonVersion{Act: record.KeepLesson, LessonBody: body})
		return err
	})
	return kept, err
}

// sameLesson compares bodies by what is kept of them.
func sameLesson(x, y record.LessonBody) bool {
	a, err1 := json.Marshal(x)
	b, err2 := json.Marshal(y)
	return err1 == nil && err2 == nil && bytes.Equal(a, b)
}

// DuplicateLesson keeps a copy of a lesson as it stands and returns its id. Runs whose consent
// has ended come along; they are withheld as in the first.
func (a *App) DuplicateLesson(ctx context.Context, id string) (string, error) {
	l, err := a.store.Lesson(ctx, id)
	if err != nil {
		return "", err
	}
	l.Title = copyTitle(l.Title)
	copied, err := a.store.AddLesson(ctx, record.Lesson{SquadID: l.SquadID, LessonVersion: record.LessonVersion{LessonBody: l.LessonBody}})
	return copied.ID, err
}

// copyTitle names a copy, within the length that a title may have.
func copyTitle(title string) string {
	const most = 100
	runes := []rune(title)
	if len(runes) > most {
		title = strings.TrimSpace(string(runes[:most]))
	}
	return title + ", copy"
}

// LessonAct removes a lesson, or takes an act back or brings it forward again. Nothing to do
// is an ErrInput.
func (a *App) LessonAct(ctx context.Context, id string, act record.LessonAct) (record.Lesson, error) {
	l, err := a.store.AddLessonVersion(ctx, id, record.LessonVersion{Act: act})
	if errors.Is(err, store.ErrNothing) {
		err = fmt.Errorf("%w: %w", ErrInput, err)
	}
	return l, err
}

// purposeOf is the consent that an audience asks for.
func purposeOf(audience record.Audience) record.Purpose {
	if audience == record.OutsideSquad {
		return record.ForOutside
	}
	return record.ForSquad
}

// leavesSquad reports whether showing a swimmer on a lesson of a squad leaves the swimmer's own
// squad: to people outside, or to another squad. Each needs the consent for outside.
func leavesSquad(lesson record.Lesson, w record.Swimmer) bool {
	return lesson.Audience == record.OutsideSquad || w.SquadID != lesson.SquadID
}

// mayBeOn returns nil when a swimmer may be shown on a lesson today. What is refused for
// another squad's swimmer says why that consent is asked for.
func (a *App) mayBeOn(ctx context.Context, lesson record.Lesson, w record.Swimmer) error {
	if !leavesSquad(lesson, w) {
		return a.MayShow(ctx, w.ID, record.ForSquad)
	}
	err := a.MayShow(ctx, w.ID, record.ForOutside)
	if errors.Is(err, ErrConsent) && lesson.Audience == record.InSquad {
		err = fmt.Errorf("%w. This is another squad's lesson, so showing leaves the swimmer's own squad", err)
	}
	return err
}

// mayTeach returns nil when the swimmer of every run may be shown on the lesson, else the
// first reason why not.
func (a *App) mayTeach(ctx context.Context, lesson record.Lesson, runIDs []string) error {
	for _, id := range runIDs {
		rc, err := a.store.RunWhole(ctx, id)
		if errors.Is(err, ErrNotFound) {
			return inputf("There is no run %q any more. Choose another.", id)
		}
		if err != nil {
			return err
		}
		if err := a.mayBeOn(ctx, lesson, rc.Swimmer); err != nil {
			return err
		}
	}
	return nil
}
