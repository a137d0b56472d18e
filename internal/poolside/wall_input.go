package poolside

import (
	"fmt"
	"math"

	"underkick/internal/record"
	"underkick/internal/wall"
)

// WallInput is what a person gives for the walls of an event. Zero is not known and is
// taken from the swimmer's own runs or assumed, aloud. It is also the body of a kept plan:
// its JSON is read by `underkick wall --in`.
type WallInput struct {
	Event   wall.Event              `json:"event"`
	Surface map[wall.Stroke]float64 `json:"surface,omitempty"` // swimming speed by stroke, m/s

	KickFrom string  `json:"kick_from,omitempty"` // "", "typed", "splits", "run:ID", "ladder:ID"; "" = the best there is
	Kick     float64 `json:"kick,omitempty"`      // kicking speed, m/s
	KickSD   float64 `json:"kick_sd,omitempty"`   // 0 = 3 % of it
	Tempo    float64 `json:"tempo_hz,omitempty"`  // kicks per second

	Splits     []wall.Split `json:"splits,omitempty"`       // head under water, two places
	FirstKick  float64      `json:"first_kick_m,omitempty"` // where the first kick of that trial was made
	SplitKicks int          `json:"split_kicks,omitempty"`  // kicks between the places

	Glide      []wall.Point `json:"glide,omitempty"`       // head in a glide without kicks
	GlideSpeed float64      `json:"glide_speed,omitempty"` // at the first of two points, m/s

	PushOffAt    float64 `json:"push_off_at_m,omitempty"`
	PushOffSpeed float64 `json:"push_off_speed,omitempty"`
	StartAt      float64 `json:"start_at_m,omitempty"`
	StartSpeed   float64 `json:"start_speed,omitempty"`
	StartTime    float64 `json:"start_time_s,omitempty"` // from the signal to StartAt

	UpTurn  float64 `json:"up_turn_m,omitempty"`  // nearest place where the head can be up after a turn
	UpStart float64 `json:"up_start_m,omitempty"` // and after a dive

	DragFactor float64     `json:"drag_factor,omitempty"` // the swim model's personal factor
	MostKicks  int         `json:"most_kicks,omitempty"`  // the swimmer's own limit
	Worth      float64     `json:"worth,omitempty"`       // of the limiter, m/s
	WorthLow   float64     `json:"worth_low,omitempty"`
	WorthHigh  float64     `json:"worth_high,omitempty"`
	Mark       float64     `json:"mark_m,omitempty"` // a place of interest, m; 0 = 15
	Meet       string      `json:"meet,omitempty"`   // where Done was swum
	Done       []wall.Done `json:"done,omitempty"`
}

// wallFields are the numbers of a WallInput with the range of each.
func (in *WallInput) fields() []wallField {
	return []wallField{
		{"kick", in.Kick, 0.3, 3, "m/s"},
		{"kick_sd", in.KickSD, 0.001, 1, "m/s"},
		{"tempo_hz", in.Tempo, 0.8, 4, "kicks per second"},
		{"first_kick_m", in.FirstKick, 0.5, 14, "m"},
		{"glide_speed", in.GlideSpeed, 0.5, 6, "m/s"},
		{"push_off_at_m", in.PushOffAt, 0.5, 6, "m"},
		{"push_off_speed", in.PushOffSpeed, 0.5, 5, "m/s"},
		{"start_at_m", in.StartAt, 1, 12, "m"},
		{"start_speed", in.StartSpeed, 0.5, 7, "m/s"},
		{"start_time_s", in.StartTime, 0.2, 10, "s"},
		{"up_turn_m", in.UpTurn, 1, 14, "m"},
		{"up_start_m", in.UpStart, 2, 14, "m"},
		{"drag_factor", in.DragFactor, 0.3, 3, ""},
		{"worth", in.Worth, 0.001, 0.5, "m/s"},
		{"mark_m", in.Mark, 2, 25, "m"},
	}
}

type wallField struct {
	name   string
	value  float64
	lo, hi float64
	unit   string
}

// Validate returns nil or record.Faults named as the JSON fields; surface_STROKE for speeds
// at the surface, event, splits, glide, done.
func (in *WallInput) Validate() error {
	var f record.Faults
	add := func(field, format string, args ...any) {
		f = append(f, record.Fault{Field: field, Text: fmt.Sprintf(format, args...)})
	}
	if _, err := in.Event.Walls(); err != nil {
		add("event", "cannot be planned: %v", err)
	}
	for _, n := range in.fields() {
		if n.value != 0 && !(n.value >= n.lo && n.value <= n.hi) {
			add(n.name, "is %g %s; it must lie between %g and %g, or stay empty", n.value, n.unit, n.lo, n.hi)
		}
	}
	for _, s := range wall.Strokes() {
		if v := in.Surface[s]; v != 0 && !(v >= 0.3 && v <= 2.6) {
			add("surface_"+string(s), "is %g m/s; it must lie between 0.3 and 2.6, or stay empty", v)
		}
	}
	if in.MostKicks < 0 || in.MostKicks > 40 {
		add("most_kicks", "is %d; it must lie between 1 and 40, or stay empty", in.MostKicks)
	}
	if (in.StartAt == 0) != (in.StartSpeed == 0) {
		add("start_speed", "and its place belong together; give both or neither")
	}
	if (in.WorthLow != 0 || in.WorthHigh != 0) && !(in.WorthLow <= in.Worth && in.Worth <= in.WorthHigh) {
		add("worth", "lies outside its own band")
	}
	in.checkLists(add)
	if len(f) > 0 {
		return f
	}
	return nil
}

func (in *WallInput) checkLists(add func(field, format string, args ...any)) {
	if in.KickFrom == "splits" && len(in.Splits) < 2 {
		add("splits", "need two places with their times")
	}
	if in.KickFrom == "typed" && in.Kick == 0 {
		add("kick", "is missing; give the kicking speed, or choose another source")
	}
	for _, s := range in.Splits {
		if !(s.X > 0 && s.X <= 25) || !(s.T >= 0 && s.T < 60) {
			add("splits", "hold %g m at %g s; places lie up to 25 m and times up to 60 s", s.X, s.T)
			break
		}
	}
	for _, d := range in.Done {
		if math.IsNaN(d.To15) || d.To15 < 0 || d.To15 > 60 || d.Breakout < 0 || d.Breakout > 50 || d.Kicks > 60 {
			add("done", "holds a number that cannot be: wall %d, %d kicks, %g m, %g s", d.Wall, d.Kicks, d.Breakout, d.To15)
			break
		}
	}
}

// Standard errors of what is typed, where nothing better is known (our choices).
const (
	typedKickRel    = 0.03 // of a kicking speed
	typedTempoRel   = 0.03
	typedSurfaceRel = 0.02
	typedSpeedRel   = 0.05 // of a push-off or start speed
	typedPlaceSD    = 0.10 // m
	typedTimeSD     = 0.05 // s
	ownRunRel       = 0.02 // one run against another of the same swimmer
)

func typed(value, rel float64) wall.Given {
	return wall.Given{Value: value, SD: rel * value, From: "typed"}
}

// entries returns the entries of push-off and start as given.
func (in *WallInput) entries() (turn, start wall.Entry) {
	if in.PushOffAt > 0 {
		turn.At = wall.Given{Value: in.PushOffAt, SD: typedPlaceSD, From: "typed"}
	}
	if in.PushOffSpeed > 0 {
		turn.Speed = typed(in.PushOffSpeed, typedSpeedRel)
	}
	if in.StartAt > 0 {
		start = wall.Entry{At: wall.Given{Value: in.StartAt, SD: typedPlaceSD, From: "typed"}, Speed: typed(in.StartSpeed, typedSpeedRel)}
		if in.StartTime > 0 {
			start.Time = wall.Given{Value: in.StartTime, SD: typedTimeSD, From: "typed"}
		}
	}
	return turn, start
}

// worthGiven is the worth with the standard deviation of its band.
func (in *WallInput) worthGiven() wall.Given {
	g := wall.Given{Value: in.Worth, From: "typed"}
	if in.WorthHigh > in.WorthLow {
		g.SD = (in.WorthHigh - in.WorthLow) / (2 * 1.96)
	}
	return g
}
