package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"net/http"
	"strconv"

	"underkick/internal/chart"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

// remarkCases is what the pages of marking again need of package poolside.
type remarkCases interface {
	MarkerName(ctx context.Context) (string, error)
	SetMarkerName(ctx context.Context, name string) error
	Markers(ctx context.Context) (poolside.MarkersView, error)
	WriteMarkers(ctx context.Context, w io.Writer) error

	RemarkOffer(ctx context.Context, runID string) (poolside.RemarkOffer, error)
	StartRemark(ctx context.Context, runID string, frame int) (id string, err error)
	StartLaterRemark(ctx context.Context) (id string, err error)
	Remark(ctx context.Context, id string) (poolside.RemarkView, error)
	RemarkMark(ctx context.Context, id string, act poolside.BlindAction) (poolside.BlindState, error)
	JudgeRemark(ctx context.Context, id string, word record.RemarkWord) error

	AlikeChoices(ctx context.Context, swimmerID string) (poolside.AlikeChoices, error)
	StartPair(ctx context.Context, runA, runB string) (id string, err error)
	Pair(ctx context.Context, id string) (poolside.PairView, error)
	PairMark(ctx context.Context, id string, act poolside.BlindAction) (poolside.BlindState, error)
}

func (s *server) remarkRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /run/{id}/remark-offer.json", s.remarkOffer)
	mux.HandleFunc("POST /run/{id}/remark", s.startRemark)
	mux.HandleFunc("GET /remark/{id}", s.remark)
	mux.HandleFunc("GET /remark/{id}/blind.json", s.remarkJSON)
	mux.HandleFunc("POST /remark/{id}/marks", s.takeRemark)
	mux.HandleFunc("POST /remark/{id}/judge", s.judgeRemark)
	mux.HandleFunc("GET /swimmer/{id}/alike", s.alike)
	mux.HandleFunc("POST /swimmer/{id}/alike", s.startPair)
	mux.HandleFunc("GET /alike/{id}", s.pair)
	mux.HandleFunc("GET /alike/{id}/blind.json", s.pairJSON)
	mux.HandleFunc("POST /alike/{id}/marks", s.takePairMark)
	mux.HandleFunc("GET /markers", s.markers)
	mux.HandleFunc("POST /markers", s.setMarker)
	mux.HandleFunc("GET /markers.csv", s.markersCSV)
	mux.HandleFunc("POST /markers/later", s.startLater)
}

// remarkPage is the page on which one frame is marked again, before and after its
// first marks are shown.
type remarkPage struct {
	shell
	poolside.RemarkView
	Rows  []remarkRow
	Early bool // some first marks were made in the same sitting
}

// remarkRow is one landmark's two places.
type remarkRow struct {
	Landmark, Px, Share, FirstBy string
	Far                          bool
}

// farPart is the distance in body lengths from which two places are probably two
// different points: ten times the usual scatter.
const farPart = 0.03

func (s *server) remark(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Remark(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := remarkPage{RemarkView: view}
	page.shell = s.shell("Mark frame "+strconv.Itoa(view.Frame)+" again", "squad")
	for _, p := range view.Points {
		dx, dy := p.Second[0]-p.First[0], p.Second[1]-p.First[1]
		page.Early = page.Early || !p.Later
		page.Rows = append(page.Rows, remarkRow{
			Landmark: p.Landmark, Px: chart.Signed(dx, 1, "") + ", " + chart.Signed(dy, 1, ""), Share: shareOfBody(p.SizePart),
			FirstBy: p.FirstBy, Far: p.SizePart > farPart,
		})
	}
	s.render(w, r, http.StatusOK, "remark", page)
}

func shareOfBody(part float64) string {
	if math.IsNaN(part) {
		return "not known"
	}
	return fmt.Sprintf("%.2f %%", 100*part)
}

func (s *server) remarkOffer(w http.ResponseWriter, r *http.Request) {
	offer, err := s.opt.App.RemarkOffer(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, offer)
}

func (s *server) startRemark(w http.ResponseWriter, r *http.Request) {
	frame := -1
	if text := r.PostFormValue("frame"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 0 {
			s.problem(w, r, http.StatusUnprocessableEntity, "This frame is none", "Write the number of a frame of the run.")
			return
		}
		frame = n
	}
	id, err := s.opt.App.StartRemark(r.Context(), r.PathValue("id"), frame)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/remark/"+id, http.StatusSeeOther)
}

func (s *server) remarkJSON(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Remark(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, view.Blind)
}

func (s *server) takeRemark(w http.ResponseWriter, r *http.Request) {
	s.takeBlind(w, r, s.opt.App.RemarkMark)
}

// takeBlind keeps one marking action and answers with what stands then.
func (s *server) takeBlind(w http.ResponseWriter, r *http.Request, take func(context.Context, string, poolside.BlindAction) (poolside.BlindState, error)) {
	var act poolside.BlindAction
	if !s.readMark(w, r, &act) {
		return
	}
	state, err := take(r.Context(), r.PathValue("id"), act)
	if err != nil {
		s.markFailed(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, state)
}

// judgeRemark finishes, discards or restores, and goes back to where it was asked.
func (s *server) judgeRemark(w http.ResponseWriter, r *http.Request) {
	id := r.PathValue("id")
	err := s.opt.App.JudgeRemark(r.Context(), id, record.RemarkWord(r.PostFormValue("word")))
	if errors.Is(err, poolside.ErrAction) {
		s.problem(w, r, http.StatusBadRequest, "This cannot be done", sentence(err.Error()))
		return
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	next := "/remark/" + id
	if r.PostFormValue("from") == "markers" {
		next = "/markers"
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
}

// startLater begins to mark a frame again that was first marked on an earlier day.
func (s *server) startLater(w http.ResponseWriter, r *http.Request) {
	id, err := s.opt.App.StartLaterRemark(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/remark/"+id, http.StatusSeeOther)
}

// blindPart is what the part "blind" is drawn from.
type blindPart struct {
	Data, Marks string // addresses
	Walk        bool   // several frames, one after the other
	Landmarks   []poolside.BlindLandmark
}

// Part returns the marking part of the page.
func (p remarkPage) Part() blindPart {
	return blindPart{Data: "/remark/" + p.ID + "/blind.json", Marks: "/remark/" + p.ID + "/marks", Landmarks: p.Blind.Landmarks}
}
