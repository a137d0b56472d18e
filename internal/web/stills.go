package web

import (
	"bytes"
	"context"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"underkick/internal/drawing"
	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report"
)

// stillsCases is what the page of stills needs of package poolside.
type stillsCases interface {
	Stills(ctx context.Context, runID string, opt poolside.StillsOptions) (poolside.StillsView, error)
	StillPicture(ctx context.Context, runID string, opt poolside.StillPictureOptions) (data []byte, kind string, err error)
	StillSVG(ctx context.Context, runID string, opt poolside.StillPictureOptions) ([]byte, error)
	StillsPage(ctx context.Context, runID string, opt poolside.StillsOptions) ([]byte, error)
}

func (s *server) stillsRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /run/{id}/stills", s.stills)
	mux.HandleFunc("GET /run/{id}/stills.html", s.stillsFile)
	mux.HandleFunc("GET /run/{id}/still/{file}", s.stillFile)
	mux.HandleFunc("GET /run/{id}/curve/{file}", s.curveFile)
}

// stillsPage is the row of stills of a run with the choices of how it is made.
type stillsPage struct {
	shell
	poolside.StillsView
	Asked    stillsAsked
	Audience []clipAudience
	Rows     []stillRow
	Drawn    layerSwitches
	Rule     string
	PageFile string // address of the row as one file
}

// stillRow is one still with its files.
type stillRow struct {
	Moment, When string
	Caption      []string
	SVG          template.HTML
	PNG, Vector  string // addresses
}

// stillsAsked are the choices as they stand in the page's address.
type stillsAsked struct {
	Kick   string // "", "average" or a number
	Part   string // "down", "up" or "all"
	Whole  bool
	Swims  poolside.Swims
	Soften bool
	For    record.Audience // who will see them; their consent is asked
}

// readStills reads the choices of an address. What it does not know is the default.
func readStills(q url.Values) stillsAsked {
	a := stillsAsked{Kick: q.Get("kick"), Part: q.Get("part"), Whole: q.Get("show") == "body", Soften: q.Get("soften") != ""}
	if n, err := strconv.Atoi(a.Kick); a.Kick != "average" && (err != nil || n < 1) {
		a.Kick = ""
	}
	if a.Part != "up" && a.Part != "all" {
		a.Part = "down"
	}
	if to := poolside.Swims(q.Get("swims")); to == poolside.ToRight || to == poolside.ToLeft {
		a.Swims = to
	}
	if who := record.Audience(q.Get("for")); who == record.InSquad || who == record.OutsideSquad {
		a.For = who
	}
	return a
}

// query writes the choices as readStills reads them.
func (a stillsAsked) query() url.Values {
	q := url.Values{}
	set := func(key, value string, when bool) {
		if when {
			q.Set(key, value)
		}
	}
	set("kick", a.Kick, a.Kick != "")
	set("part", a.Part, a.Part != "down")
	set("show", "body", a.Whole)
	set("swims", string(a.Swims), a.Swims != "")
	set("soften", "yes", a.Soften)
	set("for", string(a.For), a.For != record.JustMe)
	return q
}

// options are the choices as package poolside takes them.
func (a stillsAsked) options(layers drawing.Switches) poolside.StillsOptions {
	number, err := strconv.Atoi(a.Kick)
	if err != nil {
		number = 0
	}
	all := poolside.AllMoments()
	opt := poolside.StillsOptions{Kick: number, Average: a.Kick == "average", Whole: a.Whole, Swims: a.Swims, Soften: a.Soften, Layers: layers, Moments: all}
	opt.Squad, opt.Outside = a.For == record.InSquad, a.For == record.OutsideSquad
	switch a.Part {
	case "down":
		opt.Moments = all[:len(all)/2]
	case "up":
		opt.Moments = all[len(all)/2:]
	}
	return opt
}

func (s *server) stills(w http.ResponseWriter, r *http.Request) {
	asked := readStills(r.URL.Query())
	layers, err := s.opt.App.Layers(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	opt := asked.options(layers)
	opt.KeepOff = true
	view, err := s.opt.App.Stills(r.Context(), r.PathValue("id"), opt)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := stillsPage{StillsView: view, Asked: asked, Audience: clipAudiences, Rule: poolside.CaptionRule}
	page.shell = s.shell("Stills of "+view.Name, "squad")
	page.Drawn = newLayerSwitches(layers, address(fmt.Sprintf("/run/%s/stills", view.Run.ID), asked.query()))
	page.PageFile = address(fmt.Sprintf("/run/%s/stills.html", view.Run.ID), asked.query())
	for _, v := range view.Stills {
		page.Rows = append(page.Rows, stillRowOf(view, v, asked))
	}
	s.render(w, r, http.StatusOK, "stills", page)
}

// address joins a path and its query.
func address(path string, q url.Values) string {
	if len(q) == 0 {
		return path
	}
	return path + "?" + q.Encode()
}

// stillRowOf draws one still; its picture is the film's own frame, or, softened, a
// picture that was cut for it.
func stillRowOf(view poolside.StillsView, v poolside.StillView, asked stillsAsked) stillRow {
	asked.Kick = strconv.Itoa(view.Kick)
	base, q := fmt.Sprintf("/run/%s/still/%s", view.Run.ID, v.Moment), asked.query()
	st := report.Still{
		Picture: fmt.Sprintf("/clip/%s/frame/%d.jpg", view.Clip.ID, v.Frame),
		WidthPx: view.WidthPx, HeightPx: view.HighPx, Crop: v.Crop, Scene: v.Scene,
		Title: fmt.Sprintf("The swimmer at %s of kick %d", v.Moment, view.Kick),
	}
	if asked.Soften {
		st.Picture, st.Cut = address(base+".jpg", q), true
	}
	return stillRow{
		Moment: v.Moment, When: fmt.Sprintf("%.2f s", v.Time), Caption: v.Caption, SVG: st.SVG(),
		PNG: address(base+".png", q), Vector: address(base+".svg", q),
	}
}

// stillWidthPx is the width of a still's PNG file.
const stillWidthPx = 1280

// stillFile answers with one still: as a picture with the drawing in it, as vectors over
// the picture, or as the bare picture that a page draws on.
func (s *server) stillFile(w http.ResponseWriter, r *http.Request) {
	moment, ending, _ := strings.Cut(r.PathValue("file"), ".")
	asked := readStills(r.URL.Query())
	layers, err := s.opt.App.Layers(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	opt := poolside.StillPictureOptions{StillsOptions: asked.options(layers), Moment: moment}
	id := r.PathValue("id")
	var data []byte
	var kind string
	switch ending {
	case "png":
		opt.PNG, opt.Drawn, opt.WidthPx = true, true, stillWidthPx
		data, kind, err = s.opt.App.StillPicture(r.Context(), id, opt)
	case "svg":
		kind = "image/svg+xml"
		data, err = s.opt.App.StillSVG(r.Context(), id, opt)
	case "jpg":
		data, kind, err = s.opt.App.StillPicture(r.Context(), id, opt)
	default:
		err = poolside.ErrNotFound
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if ending != "jpg" {
		s.file(w, r, kind, poolside.StillName(id, opt.Kick, moment, ending), bytes.NewBuffer(data))
		return
	}
	s.picture(w, r, data)
}

// stillsFile answers with the whole row as one HTML file.
func (s *server) stillsFile(w http.ResponseWriter, r *http.Request) {
	layers, err := s.opt.App.Layers(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	id := r.PathValue("id")
	data, err := s.opt.App.StillsPage(r.Context(), id, readStills(r.URL.Query()).options(layers))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.file(w, r, "text/html; charset=utf-8", "stills-"+id+".html", bytes.NewBuffer(data))
}
