package web

import (
	"context"
	"net/http"
	"strings"

	"underkick/internal/drawing"
)

// drawingCases is what drawing on film needs of package poolside.
type drawingCases interface {
	Layers(ctx context.Context) (drawing.Switches, error)
	SetLayers(ctx context.Context, sw drawing.Switches) error
}

func (s *server) drawingRoutes(mux *http.ServeMux) {
	mux.HandleFunc("POST /drawing/layers", s.setLayers)
}

// layerSwitches are the switches of what is drawn on the stills of a page.
type layerSwitches struct {
	Layers []layerSwitch
	Back   string // page to come back to
}

// layerSwitch is one of them.
type layerSwitch struct {
	drawing.LayerInfo
	Key int // digit that switches it
	On  bool
}

func newLayerSwitches(sw drawing.Switches, back string) layerSwitches {
	out := layerSwitches{Back: back}
	for i, l := range drawing.Layers() {
		out.Layers = append(out.Layers, layerSwitch{LayerInfo: l, Key: i + 1, On: sw.On(l.ID)})
	}
	return out
}

// setLayers keeps which layers are drawn and goes back to the page that asked.
func (s *server) setLayers(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	sw := drawing.None()
	for _, id := range r.PostForm["layer"] {
		sw = sw.With(drawing.LayerID(id), true)
	}
	if err := s.opt.App.SetLayers(r.Context(), sw); err != nil {
		s.fail(w, r, err)
		return
	}
	back := r.PostFormValue("back")
	if !ownPage(back) {
		back = "/"
	}
	http.Redirect(w, r, back, http.StatusSeeOther)
}

// ownPage reports whether an address leads to a page of this server.
func ownPage(address string) bool {
	return strings.HasPrefix(address, "/") && !strings.HasPrefix(address, "//") && !strings.ContainsAny(address, "\\\r\n")
}
