package web

import (
	"fmt"
	"math"
	"net/http"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// markPage is the marking page of a run.
type markPage struct {
	shell
	poolside.MarkingView
	Figure  []figurePoint
	GoodFor []goodFor
	LengthM string // known length as kept or typed
	markAnswer
}

// markAnswer is what the page says about a form that was just sent.
type markAnswer struct {
	Faults  record.Faults
	Problem string   // what is wrong, in words
	Notes   []string // what to know about what was kept
}

// figurePoint is a landmark's place on the drawn figure, in its view box.
type figurePoint struct {
	ID   string
	X, Y float64
}

// goodFor is a bar of the meter.
type goodFor struct {
	ID    string
	Share float64 // 0 to 1
	Words string
}

func goodRows(m poolside.MeterView) []goodFor {
	rows := []goodFor{{ID: "speed", Share: m.Speed}, {ID: "sweep", Share: m.Sweep}, {ID: "build", Share: m.Build}, {ID: "facing", Share: m.Facing}}
	for i, r := range rows {
		rows[i].Words = "enough"
		if r.Share < 1 {
			rows[i].Words = fmt.Sprintf("%.0f %%", math.Floor(100*r.Share))
		}
	}
	return rows
}

// figure is the drawn swimmer of templates/pages/mark.html.
var figure = []figurePoint{
	{"fingertip", 293, 29},
	{"wrist", 268, 29},
	{"elbow", 238, 28},
	{"head", 217, 17},
	{"shoulder", 199, 30},
	{"rib", 170, 33},
	{"hip", 140, 34},
	{"knee", 92, 36},
	{"ankle", 48, 34},
	{"heel", 39, 29},
	{"toe", 10, 38},
}

func (s *server) mark(w http.ResponseWriter, r *http.Request) {
	s.markForm(w, r, http.StatusOK, func(*markPage) {})
}

// markForm shows the marking page; fill puts in what a form that was just sent
// had typed and what is to be said about it.
func (s *server) markForm(w http.ResponseWriter, r *http.Request, status int, fill func(page *markPage)) {
	view, err := s.opt.App.Marking(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := markPage{MarkingView: view, Figure: figure, GoodFor: goodRows(view.Marks.Meter), LengthM: typed(view.Run.Scale.LengthM)}
	page.shell = s.shell("Mark a run of "+view.Swimmer.Name, "squad")
	fill(&page)
	s.render(w, r, status, "mark", page)
}

// markingData is what the marking page's script starts from.
type markingData struct {
	Frames    []frameData        `json:"frames"`
	Width     int                `json:"width"`  // px
	Height    int                `json:"height"` // px
	Landmarks []landmarkData     `json:"landmarks"`
	Marks     poolside.MarksView `json:"marks"`

	Earlier []poolside.EarlierView `json:"earlier"`
}

type frameData struct {
	N int     `json:"n"` // index within the clip
	T float64 `json:"t"` // s
}

type landmarkData struct {
	ID     string `json:"id"`
	Key    string `json:"key"`
	Needed bool   `json:"needed"`
}

func (s *server) markingJSON(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Marking(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	data := markingData{Width: view.WidthPx, Height: view.HeightPx, Marks: view.Marks, Earlier: view.Earlier}
	for _, f := range view.Frames {
		data.Frames = append(data.Frames, frameData{f.N, f.Time})
	}
	for _, l := range view.Landmarks {
		data.Landmarks = append(data.Landmarks, landmarkData{l.ID, l.Key, l.Needed})
	}
	s.json(w, r, http.StatusOK, data)
}

// takeMark keeps one marking action and answers with what stands then.
func (s *server) takeMark(w http.ResponseWriter, r *http.Request) {
	var act poolside.MarkAction
	if !s.readMark(w, r, &act) {
		return
	}
	view, err := s.opt.App.Mark(r.Context(), r.PathValue("id"), "", act) // by whoever marks at this computer
	if err != nil {
		s.markFailed(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, view)
}

// changeRun reads a form into a run, keeps it, and goes back to the marking page.
func (s *server) changeRun(w http.ResponseWriter, r *http.Request, read func(run *record.Run) record.Faults) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	run, err := s.opt.App.Run(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	faults := read(&run)
	if len(faults) == 0 {
		err = s.opt.App.UpdateRun(r.Context(), run)
	}
	if err != nil || len(faults) > 0 {
		s.formFailed(w, r, err, &faults, func(status int) {
			s.markForm(w, r, status, func(page *markPage) {
				page.Run, page.Faults, page.Problem = run, faults, "Nothing was changed. "+faultList(faults)
			})
		})
		return
	}
	http.Redirect(w, r, "/run/"+run.ID+"/mark", http.StatusSeeOther)
}

func faultList(faults record.Faults) string {
	parts := make([]string, len(faults))
	for i, f := range faults {
		parts[i] = sentence(strings.ReplaceAll(f.Field, "_", " ") + " " + f.Text)
	}
	return strings.Join(parts, " ")
}

func (s *server) setConditions(w http.ResponseWriter, r *http.Request) {
	s.changeRun(w, r, func(run *record.Run) (faults record.Faults) {
		number := func(field string) float64 {
			x, fault := numberField(r.PostFormValue(field))
			if fault != "" {
				faults = append(faults, record.Fault{Field: field, Text: fault})
			}
			return x
		}
		run.FromFrame, run.ToFrame = int(number("from_frame")), int(number("to_frame"))
		run.Effort = record.Effort(r.PostFormValue("effort"))
		run.Start = record.Start(r.PostFormValue("start"))
		run.Position = record.Position(r.PostFormValue("position"))
		run.DepthM, run.TrueFPS = number("depth_m"), number("true_fps")
		run.Contact = record.Contact(r.PostFormValue("contact"))
		run.Equipment = strings.TrimSpace(r.PostFormValue("equipment"))
		run.Repeat = int(number("repeat"))
		run.MarkedBy = strings.TrimSpace(r.PostFormValue("marked_by"))
		return faults
	})
}

func (s *server) setTrueFPS(w http.ResponseWriter, r *http.Request) {
	fps, fault := numberField(r.PostFormValue("fps"))
	if fault != "" {
		s.problem(w, r, http.StatusUnprocessableEntity, "This rate cannot be used", "The rate "+fault+".")
		return
	}
	if err := s.opt.App.SetTrueFPS(r.Context(), r.PathValue("id"), fps); err != nil {
		s.fail(w, r, err)
		return
	}
	next := "/"
	if run := r.PostFormValue("run"); run != "" {
		kept, err := s.opt.App.Run(r.Context(), run) // so that only our own ids go into the address
		if err != nil {
			s.fail(w, r, err)
			return
		}
		next = fmt.Sprintf("/run/%s/mark", kept.ID)
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
}
