package web

import (
	"bytes"
	"context"
	"fmt"
	"html/template"
	"io"
	"net/http"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report/paper"
)

// lessonCases is what the pages of lessons and sheets need of package poolside.
type lessonCases interface {
	Lessons(ctx context.Context) (poolside.LessonsView, error)
	LessonChoices(ctx context.Context, whose ...string) (poolside.LessonChoices, error)
	NewLesson(ctx context.Context, start poolside.LessonStart) (id string, err error)
	LessonPage(ctx context.Context, id string, pictures poolside.LessonPictures) (poolside.LessonView, error)
	LessonStill(ctx context.Context, p poolside.LessonPicture) ([]byte, error)
	ChangeLesson(ctx context.Context, id string, seq int64, body record.LessonBody) (record.Lesson, error)
	DuplicateLesson(ctx context.Context, id string) (copied string, err error)
	LessonAct(ctx context.Context, id string, act record.LessonAct) (record.Lesson, error)
	WriteLesson(ctx context.Context, id string, w io.Writer) (warnings []string, err error)
	sheetCases
}

func (s *server) lessonRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /lessons", s.lessons)
	mux.HandleFunc("GET /lesson/new", s.newLesson)
	mux.HandleFunc("POST /lesson/new", s.addLesson)
	mux.HandleFunc("GET /lesson/{id}", s.lesson)
	mux.HandleFunc("GET /lesson/{id}/edit", s.editLesson)
	mux.HandleFunc("POST /lesson/{id}/edit", s.changeLesson)
	mux.HandleFunc("POST /lesson/{id}/{act}", s.lessonAct)
	mux.HandleFunc("GET /lesson/{id}/lesson.html", s.lessonFile)
	mux.HandleFunc("GET /lesson/{id}/still/{run}/{kick}/{file}", s.lessonStill)
	mux.HandleFunc("GET /lesson/{id}/moving/{run}/{kick}/{file}", s.lessonMoving)
	mux.HandleFunc("GET /paper/{file}", s.paperFile)
	s.sheetRoutes(mux)
}

// paperFile answers with the style of a size of paper, or the script that plays clips.
func (s *server) paperFile(w http.ResponseWriter, r *http.Request) {
	kind, text := "text/css; charset=utf-8", ""
	switch r.PathValue("file") {
	case "a4.css":
		text = paper.Style(paper.A4)
	case "letter.css":
		text = paper.Style(paper.Letter)
	case "player.js":
		kind, text = "text/javascript; charset=utf-8", paper.Script()
	default:
		s.fail(w, r, poolside.ErrNotFound)
		return
	}
	w.Header().Set("Content-Type", kind)
	if _, err := io.WriteString(w, text); err != nil {
		s.opt.Log.Debug("answer not delivered", "path", r.URL.Path, "err", err)
	}
}

type lessonsPage struct {
	shell
	poolside.LessonsView
}

func (s *server) lessons(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Lessons(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "lessons", lessonsPage{s.shell("Lessons", "lessons"), view})
}

// lessonPage is the printed form of a lesson.
type lessonPage struct {
	shell
	Lesson   record.Lesson
	Size     paper.Size
	Article  template.HTML
	Warnings []string
}

func (s *server) lesson(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.LessonPage(r.Context(), r.PathValue("id"), pageAddress)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	article, err := paper.Article(view.Document)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "lesson", lessonPage{s.shell(view.Document.Title, "lessons"), view.Lesson, view.Document.Size, article, view.Warnings})
}

// pageAddress is where a page finds a lesson's picture.
func pageAddress(p poolside.LessonPicture) (string, error) {
	if p.Moving {
		return fmt.Sprintf("/lesson/%s/moving/%s/%d/%d.jpg", p.LessonID, p.RunID, p.Kick, p.Frame), nil
	}
	return fmt.Sprintf("/lesson/%s/still/%s/%d/%s.jpg", p.LessonID, p.RunID, p.Kick, p.Moment), nil
}

func (s *server) lessonStill(w http.ResponseWriter, r *http.Request) {
	s.lessonPicture(w, r, func(p *poolside.LessonPicture, name string) bool {
		p.Moment = name
		return true
	})
}

func (s *server) lessonMoving(w http.ResponseWriter, r *http.Request) {
	s.lessonPicture(w, r, func(p *poolside.LessonPicture, name string) bool {
		n, err := strconv.Atoi(name)
		p.Frame, p.Moving = n, true
		return err == nil
	})
}

// lessonPicture answers with a picture of a lesson. It is made anew each time: what may be shown
// is asked each time.
func (s *server) lessonPicture(w http.ResponseWriter, r *http.Request, which func(p *poolside.LessonPicture, name string) bool) {
	kick, err := strconv.Atoi(r.PathValue("kick"))
	name, isJPEG := strings.CutSuffix(r.PathValue("file"), ".jpg")
	p := poolside.LessonPicture{LessonID: r.PathValue("id"), RunID: r.PathValue("run"), Kick: kick}
	if err != nil || !isJPEG || !which(&p, name) {
		s.fail(w, r, poolside.ErrNotFound)
		return
	}
	picture, err := s.opt.App.LessonStill(r.Context(), p)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.picture(w, r, picture)
}

// lessonFile answers with the lesson as one file.
func (s *server) lessonFile(w http.ResponseWriter, r *http.Request) {
	var buf bytes.Buffer
	if _, err := s.opt.App.WriteLesson(r.Context(), r.PathValue("id"), &buf); err != nil {
		s.fail(w, r, err)
		return
	}
	s.file(w, r, "text/html; charset=utf-8", "lesson-"+r.PathValue("id")+".html", &buf)
}

// lessonAct duplicates, removes or puts back a lesson.
func (s *server) lessonAct(w http.ResponseWriter, r *http.Request) {
	id := r.PathValue("id")
	to, err := "/lessons", error(nil)
	switch r.PathValue("act") {
	case "duplicate":
		var copied string
		copied, err = s.opt.App.DuplicateLesson(r.Context(), id)
		to = "/lesson/" + copied + "/edit"
	case "remove":
		_, err = s.opt.App.LessonAct(r.Context(), id, record.RemoveLesson)
	case "put-back":
		_, err = s.opt.App.LessonAct(r.Context(), id, record.UndoLesson)
	default:
		err = poolside.ErrNotFound
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}
