package web

import (
	"context"
	"fmt"
	"io"
	"slices"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report/paper"
)

// lessonFixture keeps one lesson, as the store does, and lays it out in few words.
type lessonFixture struct {
	history []record.LessonVersion
	copied  string
}

func (f *lessonFixture) lesson() record.Lesson {
	if f.history == nil {
		body := record.LessonBody{
			Title: "Slow <then> fast", Template: record.BuildLesson, Audience: record.InSquad, Paper: record.Letter, Names: record.ShowNames, Soften: true,
			Blocks: []record.LessonBlock{
				{ID: "b1", Kind: record.TextBlock, Text: "Look at the foot."},
				{ID: "b2", Kind: record.StillsBlock, Part: record.WholePart, Runs: []record.LessonRun{{RunID: "r1", Captions: map[string]string{"set": "high <heels>"}}}},
				{ID: "b3", Kind: record.PracticeBlock, Drill: "point-late"},
			},
		}
		f.history = []record.LessonVersion{{Seq: 1, Act: record.KeepLesson, LessonBody: body}}
	}
	l := record.Lesson{ID: "l1", SquadID: "q1"}
	l.LessonVersion, l.Undos, l.Redos = record.ReplayLesson(f.history)
	return l
}

func (f *lessonFixture) add(v record.LessonVersion) record.Lesson {
	v.Seq = f.lesson().Seq + 1
	f.history = append(f.history, v)
	return f.lesson()
}

func (f *lessonFixture) Lessons(context.Context) (poolside.LessonsView, error) {
	l := f.lesson()
	row := poolside.LessonRow{ID: l.ID, Title: l.Title, Audience: l.Audience, Swimmers: []string{"Mira Okonjo"}}
	section := poolside.LessonSection{ID: "q1", Name: "Harbour Juniors", Rows: []poolside.LessonRow{row}}
	if l.Removed {
		section.Rows, section.Removed = nil, section.Rows
	}
	return poolside.LessonsView{Squads: []poolside.LessonSection{section}}, nil
}

func (f *lessonFixture) LessonChoices(context.Context, ...string) (poolside.LessonChoices, error) {
	return poolside.LessonChoices{Squads: []poolside.LessonChoiceSquad{{ID: "q1", Name: "Harbour Juniors", Runs: []poolside.LessonChoice{
		{RunID: "r1", Swimmer: "Mira Okonjo", When: "3 May 2026", Speed: "1.40 m/s", Squad: true, Outside: true},
		{RunID: "r2", Swimmer: "Ivo Brandt", When: "3 May 2026", Squad: true},
		{RunID: "r3", Swimmer: "Lena Moor", When: "3 May 2026"},
	}}}}, nil
}

func (f *lessonFixture) NewLesson(_ context.Context, start poolside.LessonStart) (string, error) {
	switch {
	case start.Template == record.BeforeAfter && len(start.RunIDs) < 2:
		return "", record.Faults{{Field: "runs", Text: "are too few; this lesson begins with 2 or more"}}
	case slices.Contains(start.RunIDs, "r3"):
		return "", fmt.Errorf("%w: Lena Moor: no consent for showing in the squad", poolside.ErrInput)
	}
	return "l1", nil
}

func (f *lessonFixture) LessonPage(_ context.Context, id string, pictures poolside.LessonPictures) (poolside.LessonView, error) {
	if id != "l1" {
		return poolside.LessonView{}, poolside.ErrNotFound
	}
	l := f.lesson()
	view := poolside.LessonView{Lesson: l, Names: []poolside.LessonName{{RunID: "r1", Name: "Mira Okonjo, 3 May 2026"}}, Warnings: []string{"Withheld. Lena Moor: no consent."}}
	view.Document = paper.Document{Title: l.Title, Size: paper.Letter, Cautions: []paper.Caution{{Title: "Before any kicking under water.", Lines: []string{"Never alone."}}}}
	for _, b := range l.Blocks {
		piece := paper.Block{Kind: string(b.Kind)}
		if b.Kind == record.TextBlock || b.Kind == record.HeadingBlock {
			piece.Text = []string{b.Text}
		} else {
			piece.Empty = "Nothing here yet."
		}
		for _, r := range b.Runs {
			address, err := pictures(poolside.LessonPicture{LessonID: id, RunID: r.RunID, Kick: 2, Moment: "set"})
			if err != nil {
				return view, err
			}
			piece.Rows = append(piece.Rows, paper.Row{Label: "row of " + r.RunID, Stills: []paper.Still{{Moment: "set", Caption: address}}})
		}
		view.Document.Blocks = append(view.Document.Blocks, piece)
	}
	return view, nil
}

func (f *lessonFixture) LessonStill(_ context.Context, p poolside.LessonPicture) ([]byte, error) {
	if p.RunID != "r1" {
		return nil, fmt.Errorf("%w: no consent", poolside.ErrInput)
	}
	return []byte("\xff\xd8\xff"), nil
}

func (f *lessonFixture) ChangeLesson(_ context.Context, id string, seq int64, body record.LessonBody) (record.Lesson, error) {
	if id != "l1" {
		return record.Lesson{}, poolside.ErrNotFound
	}
	if seq != f.lesson().Seq {
		return record.Lesson{}, poolside.ErrChangedElsewhere
	}
	if err := body.Validate(); err != nil {
		return record.Lesson{}, err
	}
	return f.add(record.LessonVersion{Act: record.KeepLesson, LessonBody: body}), nil
}

func (f *lessonFixture) DuplicateLesson(_ context.Context, id string) (string, error) {
	f.copied = id
	return "l2", nil
}

func (f *lessonFixture) LessonAct(_ context.Context, id string, act record.LessonAct) (record.Lesson, error) {
	if id != "l1" {
		return record.Lesson{}, poolside.ErrNotFound
	}
	return f.add(record.LessonVersion{Act: act}), nil
}

func (f *lessonFixture) WriteLesson(ctx context.Context, id string, w io.Writer) ([]string, error) {
	view, err := f.LessonPage(ctx, id, pageAddress)
	if err != nil {
		return nil, err
	}
	return nil, paper.WriteFile(w, view.Document)
}

func (f *lessonFixture) Sheet(_ context.Context, runID string, size record.Paper, picture func(poolside.SheetPicture) (string, error)) (poolside.SheetView, error) {
	v := poolside.SheetView{RunID: runID}
	switch runID {
	case "r1":
		address, err := picture(poolside.SheetPicture{RunID: runID, Kick: 2, Moment: "fastest"})
		v.Sheet = paper.Sheet{Title: "How Mira kicks", Saw: []string{"Your feet <can> push more."}, Key: []string{address}, DoTitle: "Point late", Caution: paper.Caution{Title: "Stay safe.", Lines: []string{"Never alone."}}}
		return v, err
	case "poor":
		v.Problem = "Nothing is marked yet."
		return v, nil
	}
	return v, poolside.ErrNotFound
}

func (f *lessonFixture) SheetStill(context.Context, poolside.SheetPicture) ([]byte, error) {
	return []byte("\xff\xd8\xff"), nil
}

func (f *lessonFixture) WriteSheet(ctx context.Context, runID string, size record.Paper, w io.Writer) error {
	v, err := f.Sheet(ctx, runID, size, func(poolside.SheetPicture) (string, error) { return "", nil })
	if err != nil {
		return err
	}
	return paper.WriteSheetFile(w, v.Sheet)
}
