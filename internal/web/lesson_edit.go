package web

import (
	"errors"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"underkick/internal/kick"
	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report/paper"
)

// lessonEditPage is the page on which a lesson is built: the sheet as it will be printed, and
// in its place the fields of the one block that is being edited.
type lessonEditPage struct {
	shell
	Lesson   record.Lesson
	Size     paper.Size
	Blocks   []editBlock
	Chosen   string // id of the block being edited, "about" for the lesson itself, "" for none
	After    template.HTML
	Warnings []string
	Problem  string
	Faults   record.Faults
	Kinds    []kindChoice
	Squads   []poolside.LessonChoiceSquad // with the runs that may come in, the lesson's own squad first
	Curves   []kindChoice
	Measures []kick.Definition
	Drills   []record.Drill
}

// editBlock is a block on the page.
type editBlock struct {
	record.LessonBlock
	Name   string // "Stills"
	Piece  template.HTML
	Chosen bool
	Rows   []editRun
}

// editRun is a run of the chosen block.
type editRun struct {
	record.LessonRun
	N        int
	Name     string
	Captions []editCaption
}

// editCaption is a still's caption: the author's, or empty where the measures fill it.
type editCaption struct{ Moment, Own string }

// kindChoice is a choice in words.
type kindChoice struct{ ID, Words string }

var blockKinds = []kindChoice{
	{string(record.TextBlock), "Text"},
	{string(record.HeadingBlock), "Heading"},
	{string(record.StillsBlock), "Stills"},
	{string(record.CurveBlock), "Curve"},
	{string(record.MeasureBlock), "Number"},
	{string(record.PracticeBlock), "Practice"},
	{string(record.ClipBlock), "Clip"},
	{string(record.CautionBlock), "Caution"},
}

var curveKinds = []kindChoice{
	{record.FootSpeedCurve, "foot speed"},
	{record.FootFacingCurve, "part of the foot that faces back"},
	{record.KneeCurve, "knee flexion"},
	{record.AnkleCurve, "ankle angle"},
	{record.SpeedCurve, "speed of the centre of mass"},
}

func wordsFor(list []kindChoice, id string) string {
	for _, k := range list {
		if k.ID == id {
			return k.Words
		}
	}
	return id
}

func (s *server) editLesson(w http.ResponseWriter, r *http.Request) {
	s.lessonEdit(w, r, http.StatusOK, lessonEditPage{Chosen: r.FormValue("block")})
}

// lessonEdit shows the page. What it says of a problem is set already.
func (s *server) lessonEdit(w http.ResponseWriter, r *http.Request, status int, p lessonEditPage) {
	view, err := s.opt.App.LessonPage(r.Context(), r.PathValue("id"), pageAddress)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	p.shell, p.Lesson = s.shell("Edit: "+view.Lesson.Title, "lessons"), view.Lesson
	p.Size, p.Warnings, p.Kinds, p.Curves = view.Document.Size, view.Warnings, blockKinds, curveKinds
	p.Measures = kick.Definitions()
	after := paper.Document{Cautions: view.Document.Cautions, Notes: view.Document.Notes}
	if p.After, err = paper.After(after); err != nil {
		s.fail(w, r, err)
		return
	}
	if err := s.fillChoices(r, &p); err != nil {
		s.fail(w, r, err)
		return
	}
	for i, b := range view.Lesson.Blocks {
		piece, err := paper.Piece(view.Document.Blocks[i])
		if err != nil {
			s.fail(w, r, err)
			return
		}
		p.Blocks = append(p.Blocks, newEditBlock(b, piece, p.Chosen, view.Names))
	}
	s.render(w, r, status, "lesson_edit", p)
}

// fillChoices lists what may be chosen for a block.
func (s *server) fillChoices(r *http.Request, p *lessonEditPage) error {
	choices, err := s.opt.App.LessonChoices(r.Context(), p.Lesson.RunIDs()...)
	if err != nil {
		return err
	}
	p.Squads = choices.For(p.Lesson)
	library, err := s.opt.App.PracticeLibrary(r.Context(), "")
	for _, c := range library.Choices {
		p.Drills = append(p.Drills, c.Drill)
	}
	return err
}

func newEditBlock(b record.LessonBlock, piece template.HTML, chosen string, names []poolside.LessonName) editBlock {
	e := editBlock{LessonBlock: b, Name: wordsFor(blockKinds, string(b.Kind)), Piece: piece, Chosen: b.ID == chosen}
	for i, run := range b.Runs {
		row := editRun{LessonRun: run, N: i, Name: "a run that is not there any more"}
		for _, n := range names {
			if n.RunID == run.RunID {
				row.Name = n.Name
			}
		}
		if b.Kind == record.StillsBlock {
			for _, m := range momentsOf(b.Part) {
				row.Captions = append(row.Captions, editCaption{m, run.Captions[m]})
			}
		}
		e.Rows = append(e.Rows, row)
	}
	return e
}

// momentsOf are the moments that a part of the kick shows.
func momentsOf(part record.KickPart) []string {
	down, up := []string{"set", "drive", "fastest", "finish"}, []string{"set-up", "drive-up", "fastest-up", "finish-up"}
	switch part {
	case record.UpkickPart:
		return up
	case record.WholePart:
		return append(down, up...)
	}
	return down
}

// changeLesson keeps what the form holds and does what its button says.
func (s *server) changeLesson(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	id, chosen := r.PathValue("id"), r.PostFormValue("block")
	do, detail, _ := strings.Cut(r.PostFormValue("do"), ":")
	var err error
	switch do {
	case "undo":
		_, err = s.opt.App.LessonAct(r.Context(), id, record.UndoLesson)
	case "redo":
		_, err = s.opt.App.LessonAct(r.Context(), id, record.RedoLesson)
	default:
		chosen, err = s.keepLesson(r, id, lessonDoing{do: do, detail: detail, block: chosen})
	}
	var faults record.Faults
	switch {
	case errors.As(err, &faults):
		s.lessonEdit(w, r, http.StatusUnprocessableEntity, lessonEditPage{Chosen: chosen, Faults: faults, Problem: sentence(faults.Error())})
	case unusable(err):
		s.lessonEdit(w, r, http.StatusUnprocessableEntity, lessonEditPage{Chosen: chosen, Problem: sentence(err.Error())})
	case err != nil:
		s.fail(w, r, err)
	default:
		http.Redirect(w, r, "/lesson/"+id+"/edit?block="+chosen+"#"+chosen, http.StatusSeeOther)
	}
}

// lessonDoing is what a button does.
type lessonDoing struct{ do, detail, block string }

// keepLesson changes the lesson and returns the block that is edited then.
func (s *server) keepLesson(r *http.Request, id string, d lessonDoing) (chosen string, err error) {
	view, err := s.opt.App.LessonPage(r.Context(), id, pageAddress)
	if err != nil {
		return d.block, err
	}
	seq, err := strconv.ParseInt(r.PostFormValue("seq"), 10, 64)
	if err != nil {
		return d.block, poolside.ErrChangedElsewhere
	}
	body := view.Lesson.LessonBody
	if d.block == "about" {
		readAbout(r, &body)
	} else if block, ok := body.Block(d.block); ok {
		body = body.Set(readBlock(r, block))
	}
	body, chosen = d.apply(r, body)
	_, err = s.opt.App.ChangeLesson(r.Context(), id, seq, body)
	return chosen, err
}

// apply does what the button says to a body that holds what the form held.
func (d lessonDoing) apply(r *http.Request, body record.LessonBody) (record.LessonBody, string) {
	n, _ := strconv.Atoi(d.detail) // 0 where the button names no number
	block, _ := body.Block(d.block)
	switch d.do {
	case "up":
		body = body.Move(d.block, -1)
	case "down":
		body = body.Move(d.block, 1)
	case "drop":
		i := slices.IndexFunc(body.Blocks, func(b record.LessonBlock) bool { return b.ID == d.block })
		body = body.Drop(d.block)
		if len(body.Blocks) == 0 {
			return body, ""
		}
		return body, body.Blocks[min(max(i, 0), len(body.Blocks)-1)].ID
	case "add":
		fresh := record.LessonBlock{Kind: record.BlockKind(r.PostFormValue("add_kind"))}
		if block.ID != "" && takesRuns(fresh.Kind) {
			fresh.Runs = sameRuns(body, d.block)
		}
		return body.Add(fresh, d.block)
	case "add-run":
		if run := r.PostFormValue("add_run"); run != "" {
			block.Runs = append(slices.Clone(block.Runs), record.LessonRun{RunID: run})
		}
		body = body.Set(block)
	case "drop-run":
		if n < len(block.Runs) {
			block.Runs = slices.Delete(slices.Clone(block.Runs), n, n+1)
		}
		body = body.Set(block)
	case "run-up":
		if n > 0 && n < len(block.Runs) {
			block.Runs = slices.Clone(block.Runs)
			block.Runs[n-1], block.Runs[n] = block.Runs[n], block.Runs[n-1]
		}
		body = body.Set(block)
	}
	return body, d.block
}

func takesRuns(kind record.BlockKind) bool {
	return slices.Contains([]record.BlockKind{record.StillsBlock, record.CurveBlock, record.MeasureBlock}, kind)
}

// sameRuns are the runs of the block itself, or of the nearest one above it that has any, so
// that a new block begins with them; without their own words.
func sameRuns(body record.LessonBody, from string) []record.LessonRun {
	i := slices.IndexFunc(body.Blocks, func(b record.LessonBlock) bool { return b.ID == from })
	for ; i >= 0; i-- {
		var runs []record.LessonRun
		for _, r := range body.Blocks[i].Runs {
			runs = append(runs, record.LessonRun{RunID: r.RunID})
		}
		if len(runs) > 0 {
			return runs
		}
	}
	return nil
}

// fieldsOf is what the fields of a block need.
type fieldsOf struct {
	Page  lessonEditPage
	Block editBlock
}

func partsOf(p lessonEditPage, b editBlock) fieldsOf { return fieldsOf{p, b} }
