package web

import (
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"underkick/internal/camera/filming"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

// filmingPage is the filming card with its form. Everything it shows follows from the
// address, so a card can be kept as a bookmark.
type filmingPage struct {
	shell
	Form     filmingForm
	Card     *poolside.FilmingCard // nil when a field cannot be
	Lines    []poolside.FilmingLine
	Steps    []string
	Plan     template.HTML // the set-up to scale
	Expected *poolside.FilmingBands
	Cautions []string
	Bands    string // address of this card with its bands
}

// filmingForm is the form's content and what its choices are.
type filmingForm struct {
	Query                  url.Values
	Faults                 record.Faults
	Presets                []poolside.FilmingPreset
	Lights                 []filming.Light
	Lens, Picture, Place   []numberPiece
	Swimmer, Window, Other []numberPiece
}

// Chosen returns what is chosen of a list.
func (f filmingForm) Chosen(name string) string { return f.Query.Get(name) }

func (s *server) filmingRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /filming-card", s.filmingCard)
}

func (s *server) filmingCard(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	in, faults := filmingInput(q)
	page := filmingPage{shell: s.shell("Filming card", "filming"), Cautions: poolside.FilmingCautions()}
	status := http.StatusOK
	card, err := poolside.PlanFilming(in)
	var wrong record.Faults
	switch {
	case errors.As(err, &wrong) || len(faults) > 0:
		faults, status = append(faults, wrong...), http.StatusUnprocessableEntity
	case err != nil:
		s.fail(w, r, err)
		return
	default:
		page.take(card)
	}
	if page.Card != nil && q.Get("bands") != "" {
		bands, err := poolside.ExpectBands(r.Context(), in)
		if err != nil {
			s.fail(w, r, err)
			return
		}
		page.Expected = &bands
	}
	q.Set("bands", "1")
	page.Bands = "/filming-card?" + q.Encode()
	page.Form = newFilmingForm(in, q, faults)
	s.render(w, r, status, "filming_card", page)
}

// take fills what the page shows of a card.
func (p *filmingPage) take(card poolside.FilmingCard) {
	p.Card, p.Lines, p.Steps = &card, card.Lines(), poolside.FilmingSteps(card)
	p.Plan = filmingPlan(card)
}

// SharedDoubts are the reasons that stand against every measure of the first table.
func (p filmingPage) SharedDoubts() []string {
	var shared []string
	first := true
	for _, b := range p.Expected.Bands {
		switch {
		case !b.Primary:
		case first:
			shared, first = slices.Clone(b.Doubts), false
		default:
			shared = slices.DeleteFunc(shared, func(why string) bool { return !slices.Contains(b.Doubts, why) })
		}
	}
	return shared
}

// OwnDoubts are the reasons against one measure that are not against all.
func (p filmingPage) OwnDoubts(b poolside.FilmingBand) []string {
	shared := p.SharedDoubts()
	return slices.DeleteFunc(slices.Clone(b.Doubts), func(why string) bool { return slices.Contains(shared, why) })
}

// filmingNumbers are the form's number fields and where they go.
func filmingNumbers(in *poolside.FilmingInput) map[string]*float64 {
	return map[string]*float64{
		"field_deg": &in.FieldDeg, "equivalent_mm": &in.EquivalentMM, "focal_mm": &in.FocalMM, "sensor_mm": &in.SensorMM,
		"fps": &in.FPS, "distance_m": &in.DistanceM, "behind_m": &in.BehindM, "pane_m": &in.PaneM,
		"camera_depth_m": &in.CameraDepthM, "swimmer_depth_m": &in.SwimmerDepthM, "pool_depth_m": &in.PoolDepthM,
		"height_m": &in.HeightM, "speed_m_s": &in.SpeedMPS, "tempo_hz": &in.TempoHz, "distance_sd_m": &in.DistanceSD,
	}
}

// filmingInput reads the form from the address, over the preset that it names.
func filmingInput(q url.Values) (in poolside.FilmingInput, faults record.Faults) {
	if i := slices.IndexFunc(poolside.FilmingPresets(), func(p poolside.FilmingPreset) bool { return p.ID == q.Get("preset") }); i >= 0 {
		in = poolside.FilmingPresets()[i].Input
	}
	for name, at := range filmingNumbers(&in) {
		if !q.Has(name) {
			continue
		}
		x, fault := numberField(q.Get(name))
		if fault != "" {
			faults = append(faults, record.Fault{Field: name, Text: fault})
		}
		*at = x
	}
	for name, at := range map[string]*int{"width_px": &in.WidthPx, "height_px": &in.HeightPx, "marked_frames": &in.Marked} {
		if text := strings.TrimSpace(q.Get(name)); q.Has(name) {
			*at = 0
			if text == "" {
				continue
			}
			n, err := strconv.Atoi(text)
			if err != nil {
				faults = append(faults, record.Fault{Field: name, Text: "is no whole number"})
			}
			*at = n
		}
	}
	if text := strings.TrimSpace(q.Get("shutter_s")); text != "" {
		x, err := poolside.ParseShutter(text)
		if err != nil {
			faults = append(faults, record.Fault{Field: "shutter_s", Text: "is a time such as 1/500 or 0.002"})
		}
		in.ShutterS = x
	}
	for name, at := range map[string]*string{"light": &in.Light, "housing": &in.Housing, "scale": &in.Scale} {
		if q.Get(name) != "" {
			*at = q.Get(name)
		}
	}
	if q.Get("level") != "" {
		in.Level = record.Level(q.Get("level"))
	}
	slices.SortFunc(faults, func(a, b record.Fault) int { return strings.Compare(a.Field, b.Field) })
	return in, faults
}

// newFilmingForm shows the set-up as far as it was given; what was not stays empty and
// its hint names the usual value.
func newFilmingForm(in poolside.FilmingInput, q url.Values, faults record.Faults) filmingForm {
	f := filmingForm{Query: q, Faults: faults, Presets: poolside.FilmingPresets(), Lights: filming.Lights()}
	for name, chosen := range map[string]string{"light": in.Light, "housing": in.Housing, "scale": in.Scale, "level": string(in.Level)} {
		f.Query.Set(name, chosen)
	}
	values := map[string]string{"width_px": whole(in.WidthPx), "height_px": whole(in.HeightPx), "marked_frames": whole(in.Marked), "shutter_s": q.Get("shutter_s")}
	for name, at := range filmingNumbers(&in) {
		values[name] = typed(*at)
		if q.Has(name) {
			values[name] = q.Get(name)
		}
	}
	piece := func(name, label, hint string) numberPiece {
		return numberPiece{name, label, hint, values[name], faults}
	}
	f.Lens = []numberPiece{
		piece("equivalent_mm", "35 mm equivalent, mm", "As the camera states it; 28 if empty."),
		piece("field_deg", "Or angle of view in air, degrees", "From side to side; goes first."),
		piece("focal_mm", "Or focal length, mm", "With the sensor's width."),
		piece("sensor_mm", "Sensor's width, mm", "As far as it films."),
	}
	f.Picture = []numberPiece{
		piece("width_px", "Picture's width, px", "1920 if empty."),
		piece("fps", "Frames per second", "As filmed, not as played; 60 if empty."),
		piece("shutter_s", "Shutter time", "Such as 1/500. Empty: by the light."),
	}
	f.Place = []numberPiece{
		piece("distance_m", "Water between camera and swimmer, m", "4 if empty."),
		piece("camera_depth_m", "Camera's depth, m", "The swimmer's if empty."),
		piece("swimmer_depth_m", "Swimmer's depth, m", "1 if empty."),
		piece("pool_depth_m", "Pool's depth, m", "For the drawing."),
	}
	f.Window = []numberPiece{
		piece("behind_m", "Air between lens and window, m", "Only for a window."),
		piece("pane_m", "Window's width, m", "Empty: wider than the view."),
	}
	f.Swimmer = []numberPiece{
		piece("height_m", "Height, m", "1.75 if empty."),
		piece("speed_m_s", "Speed under water, m/s", "Empty: usual at the level."),
		piece("tempo_hz", "Kicks per second", "Empty: usual at the level."),
	}
	f.Other = []numberPiece{
		piece("height_px", "Picture's height, px", "9/16 of its width if empty."),
		piece("distance_sd_m", "How well the swimmer keeps the lane, m", "Standard error of the distance; 0.07 if empty."),
		piece("marked_frames", "Frames marked per run", "Four a kick if empty."),
	}
	return f
}

func whole(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}
