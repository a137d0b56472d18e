package poolside

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"

	"underkick/internal/camera/filming"
	"underkick/internal/record"
)

// FilmingInput is a set-up for filming as a coach knows it. Zero is not known and gets
// the usual value; its JSON is the input part of `underkick film-card --json`.
type FilmingInput struct {
	FieldDeg     float64 `json:"field_deg,omitempty"`     // horizontal angle of view in air; else by one of the next two
	EquivalentMM float64 `json:"equivalent_mm,omitempty"` // '35 mm equivalent' focal length
	FocalMM      float64 `json:"focal_mm,omitempty"`      // with the sensor's width
	SensorMM     float64 `json:"sensor_mm,omitempty"`

	WidthPx  int     `json:"width_px,omitempty"`
	HeightPx int     `json:"height_px,omitempty"` // 0 = 9/16 of the width
	FPS      float64 `json:"fps,omitempty"`
	ShutterS float64 `json:"shutter_s,omitempty"` // 0 = as Light has it
	Light    string  `json:"light,omitempty"`     // an id of filming.Lights

	Housing   string  `json:"housing,omitempty"`    // "flat", "dome", "window"
	DistanceM float64 `json:"distance_m,omitempty"` // water between housing or window and the swimmer
	BehindM   float64 `json:"behind_m,omitempty"`   // air between lens and window
	PaneM     float64 `json:"pane_m,omitempty"`     // width of the window; 0 = wider than the view

	CameraDepthM  float64 `json:"camera_depth_m,omitempty"`
	SwimmerDepthM float64 `json:"swimmer_depth_m,omitempty"`
	PoolDepthM    float64 `json:"pool_depth_m,omitempty"` // of the drawing

	HeightM  float64      `json:"height_m,omitempty"`
	Level    record.Level `json:"level,omitempty"`
	SpeedMPS float64      `json:"speed_m_s,omitempty"` // 0 = usual at this level
	TempoHz  float64      `json:"tempo_hz,omitempty"`

	Scale      string  `json:"scale,omitempty"`         // "length", "rectangle", "height": what the scale will rest on
	DistanceSD float64 `json:"distance_sd_m,omitempty"` // how well the swimmer's distance is that of the scale
	Marked     int     `json:"marked_frames,omitempty"` // frames that will be marked per run; 0 = four a kick
}

// FilmingPreset is a set-up by its properties.
type FilmingPreset struct {
	ID, Words string
	Input     FilmingInput
}

// FilmingPresets lists common set-ups; lenses and rates are common practice, no source.
func FilmingPresets() []FilmingPreset {
	return []FilmingPreset{
		{"phone-main", "phone in a flat case, main lens, 120 frames per second", FilmingInput{EquivalentMM: 28, WidthPx: 1920, FPS: 120, Housing: "flat", DistanceM: 5}},
		{"phone-wide", "phone in a flat case, wide lens, 120 frames per second", FilmingInput{EquivalentMM: 16, WidthPx: 1920, FPS: 120, Housing: "flat", DistanceM: 3.5}},
		{"phone-slow", "phone in a flat case, main lens, 240 frames per second", FilmingInput{EquivalentMM: 28, WidthPx: 1920, FPS: 240, Housing: "flat", DistanceM: 5}},
		{"action-flat", "action camera, flat port, straight-line wide view, 120 frames per second", FilmingInput{FieldDeg: 85, WidthPx: 2704, HeightPx: 1520, FPS: 120, Housing: "flat", DistanceM: 4}},
		{"action-dome", "action camera behind a dome, straight-line wide view, 120 frames per second", FilmingInput{FieldDeg: 85, WidthPx: 2704, HeightPx: 1520, FPS: 120, Housing: "dome", DistanceM: 3.5}},
		{"window", "camera behind a window in the pool wall, 60 frames per second", FilmingInput{EquivalentMM: 24, WidthPx: 3840, FPS: 60, Housing: "window", DistanceM: 3.75, BehindM: 0.6}},
	}
}

// usual values of what is not given.
const (
	usualEquivalent = 28.0
	usualWidthPx    = 1920
	usualFPS        = 60.0
	usualLight      = "hall"
	usualDistance   = 4.0
	usualDepth      = 1.0 // of camera and swimmer, m
	usualPoolDepth  = 2.0
	usualHeight     = 1.75
	usualPerKick    = 4 // frames marked
	leastMarked     = 16
	// usualDistanceSD makes the scale's error of a known length 1.5 % at 5 m, that
	// which a measurement takes when nothing better is known.
	usualDistanceSD = 0.07
)

// Complete returns in with the usual values where nothing is given.
func (in FilmingInput) Complete() FilmingInput {
	if in.FieldDeg == 0 && in.EquivalentMM == 0 && (in.FocalMM == 0 || in.SensorMM == 0) {
		in.EquivalentMM = usualEquivalent
	}
	in.WidthPx = cmp.Or(in.WidthPx, usualWidthPx)
	in.HeightPx = cmp.Or(in.HeightPx, in.WidthPx*9/16)
	in.FPS = cmp.Or(in.FPS, usualFPS)
	if in.ShutterS == 0 {
		in.Light = cmp.Or(in.Light, usualLight)
	}
	in.Housing = cmp.Or(in.Housing, "flat")
	in.DistanceM = cmp.Or(in.DistanceM, usualDistance)
	in.SwimmerDepthM = cmp.Or(in.SwimmerDepthM, usualDepth)
	in.CameraDepthM = cmp.Or(in.CameraDepthM, in.SwimmerDepthM)
	in.PoolDepthM = max(cmp.Or(in.PoolDepthM, usualPoolDepth), in.CameraDepthM, in.SwimmerDepthM)
	in.HeightM = cmp.Or(in.HeightM, usualHeight)
	in.Level = cmp.Or(in.Level, record.Club)
	usual := usualSwim(in.Level)
	in.SpeedMPS, in.TempoHz = cmp.Or(in.SpeedMPS, usual.speed), cmp.Or(in.TempoHz, usual.tempo)
	in.Scale = cmp.Or(in.Scale, "length")
	in.DistanceSD = cmp.Or(in.DistanceSD, usualDistanceSD)
	return in
}

// Validate returns nil or record.Faults named as the JSON fields.
func (in FilmingInput) Validate() error {
	var f record.Faults
	add := func(field, format string, args ...any) {
		f = append(f, record.Fault{Field: field, Text: fmt.Sprintf(format, args...)})
	}
	for _, n := range in.numbers() {
		if n.value != 0 && !(n.value >= n.lo && n.value <= n.hi) {
			add(n.name, "is %g %s; it must lie between %g and %g, or stay empty", n.value, n.unit, n.lo, n.hi)
		}
	}
	if (in.FocalMM == 0) != (in.SensorMM == 0) {
		add("focal_mm", "and the sensor's width belong together; give both or neither")
	}
	if in.Light != "" {
		if _, ok := lightOf(in.Light); !ok {
			add("light", "is %q; choose sun, bright, hall or dim", in.Light)
		}
	}
	if _, ok := housings[in.Housing]; in.Housing != "" && !ok {
		add("housing", "is %q; choose flat, dome or window", in.Housing)
	}
	if _, ok := usualSwims[in.Level]; in.Level != "" && !ok {
		add("level", "is %q; choose beginner, club, regional, national or international", in.Level)
	}
	switch in.Scale {
	case "", "length", "rectangle", "height":
	default:
		add("scale", "is %q; choose length, rectangle or height", in.Scale)
	}
	if len(f) > 0 {
		return f
	}
	return nil
}

func (in FilmingInput) numbers() []wallField {
	return []wallField{
		{"field_deg", in.FieldDeg, 5, 150, "degrees"},
		{"equivalent_mm", in.EquivalentMM, 8, 300, "mm"},
		{"focal_mm", in.FocalMM, 1, 300, "mm"},
		{"sensor_mm", in.SensorMM, 2, 40, "mm"},
		{"width_px", float64(in.WidthPx), 320, 8192, "px"},
		{"height_px", float64(in.HeightPx), 180, 8192, "px"},
		{"fps", in.FPS, 10, 1000, "frames per second"},
		{"shutter_s", in.ShutterS, 1e-5, 0.2, "s"},
		{"distance_m", in.DistanceM, 0.5, 25, "m"},
		{"behind_m", in.BehindM, 0.02, 20, "m"},
		{"pane_m", in.PaneM, 0.1, 20, "m"},
		{"camera_depth_m", in.CameraDepthM, 0.05, 5, "m"},
		{"swimmer_depth_m", in.SwimmerDepthM, 0.2, 5, "m"},
		{"pool_depth_m", in.PoolDepthM, 0.8, 10, "m"},
		{"height_m", in.HeightM, 0.9, 2.4, "m"},
		{"speed_m_s", in.SpeedMPS, 0.3, 3, "m/s"},
		{"tempo_hz", in.TempoHz, 0.8, 4, "kicks per second"},
		{"distance_sd_m", in.DistanceSD, 0.005, 1, "m"},
		{"marked_frames", float64(in.Marked), 6, 400, "frames"},
	}
}

// housings by their words in forms and files.
var housings = map[string]filming.Housing{"flat": filming.FlatPort, "dome": filming.Dome, "window": filming.Window}

func lightOf(id string) (filming.Light, bool) {
	for _, l := range filming.Lights() {
		if l.ID == id {
			return l, true
		}
	}
	return filming.Light{}, false
}

// swimOf is how somebody of a level kicks.
type swimOf struct{ speed, tempo float64 } // m/s, Hz

// usualSwims are what the card takes for a level where nothing is given: orientation
// from published means of groups, not norms. Club: 35 children (Wadrzyk et al. 2017,
// 1.08 m/s, 2.00 Hz); regional: 41 youths (Wadrzyk et al. 2019, 1.24 and 1.35 m/s, 1.81
// and 1.83 Hz); national: slower and faster group of 16 adults (1.31, 1.53 m/s) at rates
// quoted of others (1.99 to 2.26 Hz); international: 1.46 to 1.75 m/s, 1.9 to 2.35 Hz,
// quoted. Nothing is published of beginners: a fifth slower than club, our choice.
var usualSwims = map[record.Level]swimOf{
	record.Beginner:      {0.85, 1.8},
	record.Club:          {1.08, 2.0},
	record.Regional:      {1.30, 1.82},
	record.National:      {1.42, 2.1},
	record.International: {1.60, 2.2},
}

func usualSwim(l record.Level) swimOf { return usualSwims[l] }

// setup is the camera of a completed input.
func (in FilmingInput) setup() filming.Setup {
	s := filming.Setup{
		WidthPx: in.WidthPx, HeightPx: in.HeightPx, Housing: housings[in.Housing],
		Distance: in.DistanceM, Behind: in.BehindM, PaneWidth: in.PaneM,
	}
	switch {
	case in.FieldDeg > 0:
		s.Field = in.FieldDeg * math.Pi / 180
	case in.EquivalentMM > 0:
		s.Field = filming.FieldOfLens(in.EquivalentMM, filming.FullFrameWidth)
	default:
		s.Field = filming.FieldOfLens(in.FocalMM, in.SensorMM)
	}
	return s
}

// ParseShutter reads a shutter time as cameras show it, "1/500", or in seconds, "0.002";
// more than 0, at most 1 s.
func ParseShutter(text string) (float64, error) {
	part, found := strings.CutPrefix(strings.TrimSpace(text), "1/")
	x, err := strconv.ParseFloat(part, 64)
	if found {
		x = 1 / x
	}
	if err != nil || !(x > 0) || x > 1 {
		return 0, inputf("a shutter time reads 1/500 or 0.002, not %q", text)
	}
	return x, nil
}

// shutter is the time for which the shutter is open, s.
func (in FilmingInput) shutter() float64 {
	if in.ShutterS > 0 {
		return min(in.ShutterS, 1/in.FPS)
	}
	l, _ := lightOf(in.Light)
	return l.ShutterIn(in.FPS)
}
