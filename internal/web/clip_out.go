package web

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"mime"
	"net/http"
	"net/url"
	"os"
	"strconv"

	"underkick/internal/drawing"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

// clipOutCases is what making clips needs of package poolside.
type clipOutCases interface {
	ClipOut(ctx context.Context, runID string) (poolside.ClipOutView, error)
	ClipPicture(ctx context.Context, spec poolside.ClipSpec) ([]byte, error)
	MakeClip(ctx context.Context, spec poolside.ClipSpec) (jobID string, err error)
	Made(ctx context.Context, jobID string) (poolside.MadeView, error)
	MadeClip(ctx context.Context, jobID string) (path, mediaType string, err error)
}

func (s *server) clipOutRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /run/{id}/clip-out", s.clipOut)
	mux.HandleFunc("GET /run/{id}/clip-out/picture.jpg", s.clipPicture)
	mux.HandleFunc("POST /run/{id}/clip-out", s.makeClip)
	mux.HandleFunc("GET /clip-out/{job}", s.madeClip)
	mux.HandleFunc("GET /clip-out/{job}/film", s.madeFilm)
	mux.HandleFunc("POST /clip-out/{job}/cancel", s.cancelClip)
}

// clipOutPage is the form on which a clip of a run is made.
type clipOutPage struct {
	shell
	poolside.ClipOutView
	Spec     poolside.ClipSpec
	Layers   []layerSwitch
	Picture  string // address of the picture that shows what it will be
	Refused  string // why the clip asked for cannot be made, "" when it can
	Speeds   []clipSpeed
	Widths   []int // px
	Audience []clipAudience
}

// clipWidths are the widths to choose from, px.
var clipWidths = []int{480, 640, 960, 1280, 1920}

// Width is the chosen width, px.
func (p clipOutPage) Width() int { return cmp.Or(p.Spec.WidthPx, 960) }

// clipSpeed is one choice of the speed.
type clipSpeed struct {
	Slow  int
	Words string
}

var clipSpeeds = []clipSpeed{{1, "full"}, {2, "half"}, {4, "a quarter"}, {8, "an eighth"}}

// clipAudience is one choice of who will see a clip.
type clipAudience struct {
	ID          record.Audience
	Words, Hint string
}

var clipAudiences = []clipAudience{
	{record.JustMe, "myself", "Nobody's consent is asked."},
	{record.InSquad, "the squad", "Each swimmer's consent to showing in the squad is asked."},
	{record.OutsideSquad, "outside the squad", "Each swimmer's consent to that is asked, now and when it is downloaded. It carries pseudonyms."},
}

// First and Second are the runs of the spec.
func (p clipOutPage) First() poolside.ClipRun { return p.Spec.Runs[0] }

// Second is the run beside, empty without one.
func (p clipOutPage) Second() poolside.ClipRun {
	if len(p.Spec.Runs) > 1 {
		return p.Spec.Runs[1]
	}
	return poolside.ClipRun{}
}

// clipSpec reads the form. A number that is none stays 0, as usual.
func (s *server) clipSpec(r *http.Request, form url.Values) poolside.ClipSpec {
	number := func(name string) int {
		n, err := strconv.Atoi(form.Get(name))
		if err != nil {
			return 0
		}
		return n
	}
	spec := poolside.ClipSpec{
		Runs: []poolside.ClipRun{{RunID: r.PathValue("id"), Kick: number("kick"), Kicks: number("kicks")}},
		Slow: number("slow"), WidthPx: number("width"), Audience: record.Audience(form.Get("for")),
		Follow: form.Get("shows") == "body" || form.Get("shows") == "legs", Legs: form.Get("shows") == "legs",
		Above: form.Get("place") == "above", Soften: form.Has("soften"),
	}
	if beside := form.Get("beside"); beside != "" {
		spec.Runs = append(spec.Runs, poolside.ClipRun{RunID: beside, Kick: number("beside_kick"), Kicks: number("kicks")})
	}
	if form.Has("asked") { // else the usual layers
		spec.Layers = drawing.None()
		for _, id := range form["layer"] {
			spec.Layers = spec.Layers.With(drawing.LayerID(id), true)
		}
	}
	return spec
}

func (s *server) clipOut(w http.ResponseWriter, r *http.Request) {
	query := r.URL.Query()
	spec := s.clipSpec(r, query)
	if !query.Has("asked") { // one kick is quickly made and shown often
		spec.Runs[0].Kick, spec.Runs[0].Kicks = max(spec.Runs[0].Kick, 1), max(spec.Runs[0].Kicks, 1)
	}
	s.clipOutForm(w, r, http.StatusOK, spec, nil)
}

// clipOutForm shows the form with what was asked for, and why it was refused.
func (s *server) clipOutForm(w http.ResponseWriter, r *http.Request, status int, spec poolside.ClipSpec, refused error) {
	view, err := s.opt.App.ClipOut(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if spec.Slow == 0 {
		spec.Slow = 4
	}
	page := clipOutPage{
		shell: s.shell("Make a clip", "squad"), ClipOutView: view, Spec: spec,
		Speeds: clipSpeeds, Audience: clipAudiences,
		Layers: newLayerSwitches(spec.Layers, "").Layers,
	}
	for _, w := range clipWidths {
		if w <= view.Widest {
			page.Widths = append(page.Widths, w)
		}
	}
	if view.Problem == "" && spec.Runs[0].Kick > len(view.Kicks) && len(view.Kicks) > 0 {
		page.Spec.Runs[0].Kick = view.Kicks[0]
	}
	page.Picture = fmt.Sprintf("/run/%s/clip-out/picture.jpg?%s", view.Run.ID, clipQuery(page.Spec).Encode())
	if refused != nil {
		page.Refused = sentence(refused.Error())
	}
	s.render(w, r, status, "clip_out", page)
}

// clipQuery writes a spec as the form's fields.
func clipQuery(spec poolside.ClipSpec) url.Values {
	q := url.Values{"asked": {"1"}, "slow": {strconv.Itoa(spec.Slow)}}
	set := func(name string, n int) {
		if n > 0 {
			q.Set(name, strconv.Itoa(n))
		}
	}
	set("kick", spec.Runs[0].Kick)
	set("kicks", spec.Runs[0].Kicks)
	set("width", spec.WidthPx)
	if len(spec.Runs) > 1 {
		q.Set("beside", spec.Runs[1].RunID)
		set("beside_kick", spec.Runs[1].Kick)
	}
	switch {
	case spec.Legs:
		q.Set("shows", "legs")
	case spec.Follow:
		q.Set("shows", "body")
	}
	if spec.Above {
		q.Set("place", "above")
	}
	if spec.Soften {
		q.Set("soften", "1")
	}
	if spec.Audience != "" {
		q.Set("for", string(spec.Audience))
	}
	for _, l := range drawing.Layers() {
		if spec.Layers.On(l.ID) {
			q.Add("layer", string(l.ID))
		}
	}
	return q
}

// clipPicture answers with one picture as the clip will be.
func (s *server) clipPicture(w http.ResponseWriter, r *http.Request) {
	picture, err := s.opt.App.ClipPicture(r.Context(), s.clipSpec(r, r.URL.Query()))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.picture(w, r, picture)
}

func (s *server) makeClip(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	spec := s.clipSpec(r, r.PostForm)
	job, err := s.opt.App.MakeClip(r.Context(), spec)
	if unusable(err) && !errors.Is(err, poolside.ErrNotFound) {
		s.clipOutForm(w, r, http.StatusUnprocessableEntity, spec, err)
		return
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/clip-out/"+job, http.StatusSeeOther)
}

// madeClipPage shows a clip being made, or to be played and downloaded.
type madeClipPage struct {
	shell
	poolside.MadeView
	Again string // address of the form with the same choices
}

// Ended reports whether nothing more will happen.
func (p madeClipPage) Ended() bool { return p.Job.State != "waiting" && p.Job.State != "running" }

func (s *server) madeClip(w http.ResponseWriter, r *http.Request) {
	made, err := s.opt.App.Made(r.Context(), r.PathValue("job"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	title := "The clip is being made"
	switch made.Job.State {
	case "done":
		title = "The clip is made"
	case "failed":
		title = "The clip could not be made"
	case "cancelled":
		title = "Making the clip was stopped"
	}
	page := madeClipPage{
		shell: s.shell(title, "squad"), MadeView: made,
		Again: "/run/" + made.RunID + "/clip-out?" + clipQuery(made.Spec).Encode(),
	}
	s.render(w, r, http.StatusOK, "made_clip", page)
}

// madeFilm answers with a made clip, in parts where the browser asks for parts.
func (s *server) madeFilm(w http.ResponseWriter, r *http.Request) {
	path, mediaType, err := s.opt.App.MadeClip(r.Context(), r.PathValue("job"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	f, err := os.Open(path)
	if err != nil {
		s.fail(w, r, fmt.Errorf("open the made clip: %w", err))
		return
	}
	defer func() { _ = f.Close() }() // read only
	info, err := f.Stat()
	if err != nil {
		s.fail(w, r, fmt.Errorf("open the made clip: %w", err))
		return
	}
	w.Header().Set("Content-Type", mediaType)
	if r.URL.Query().Has("download") {
		made, err := s.opt.App.Made(r.Context(), r.PathValue("job"))
		if err != nil {
			s.fail(w, r, err)
			return
		}
		w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": made.Name}))
	}
	http.ServeContent(w, r, "", info.ModTime(), f)
}

func (s *server) cancelClip(w http.ResponseWriter, r *http.Request) {
	id := r.PathValue("job")
	if err := s.opt.App.CancelJob(r.Context(), id); err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/clip-out/"+id, http.StatusSeeOther)
}
