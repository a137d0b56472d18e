package web

import (
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/wall"
)

// wallForm is the form of a wall plan. What was typed stays in the fields when something is
// wrong.
type wallForm struct {
	Input  poolside.WallInput
	Action string // where it is sent
	Name   string
	Own    []poolside.KickSource
	Faults record.Faults

	typed map[string]string // fields as typed; nil = from Input
}

// wallNumber is one number field of the form.
type wallNumber struct {
	Name, Label, Hint string
	at                func(in *poolside.WallInput) *float64
}

// Fields of the form, by group.
var (
	kickNumbers = []wallNumber{
		{"kick", "Kicking speed, m/s", "Steady speed of the head over whole kicks.", func(in *poolside.WallInput) *float64 { return &in.Kick }},
		{"tempo_hz", "Kick tempo, kicks per second", "Empty: from the source above.", func(in *poolside.WallInput) *float64 { return &in.Tempo }},
	}
	entryNumbers = []wallNumber{
		{"push_off_speed", "Push-off speed, m/s", "Of the head as the feet leave the wall.", func(in *poolside.WallInput) *float64 { return &in.PushOffSpeed }},
		{"push_off_at_m", "Head from the wall then, m", "Empty: one standing height.", func(in *poolside.WallInput) *float64 { return &in.PushOffAt }},
		{"start_at_m", "After the start: a place, m", "Head from the wall, before the first kick.", func(in *poolside.WallInput) *float64 { return &in.StartAt }},
		{"start_speed", "Speed there, m/s", "", func(in *poolside.WallInput) *float64 { return &in.StartSpeed }},
		{"start_time_s", "Time there from the signal, s", "Empty: times count from that place.", func(in *poolside.WallInput) *float64 { return &in.StartTime }},
	}
	splitNumbers = []wallNumber{
		{"first_kick_m", "First kick made at, m", "", func(in *poolside.WallInput) *float64 { return &in.FirstKick }},
	}
	glideNumbers = []wallNumber{
		{"glide_speed", "Speed at the first place, m/s", "Only with two places.", func(in *poolside.WallInput) *float64 { return &in.GlideSpeed }},
	}
	moreNumbers = []wallNumber{
		{"up_turn_m", "After a turn the head is up no nearer than, m", "Empty: 4.6 m.", func(in *poolside.WallInput) *float64 { return &in.UpTurn }},
		{"up_start_m", "After a dive no nearer than, m", "Empty: 7.5 m.", func(in *poolside.WallInput) *float64 { return &in.UpStart }},
		{"mark_m", "Time to another mark, m", "", func(in *poolside.WallInput) *float64 { return &in.Mark }},
		{"worth", "Worth of the limiter, m/s", "Tried on all walls. Empty: from the run's own estimate.", func(in *poolside.WallInput) *float64 { return &in.Worth }},
		{"worth_low", "its band from, m/s", "", func(in *poolside.WallInput) *float64 { return &in.WorthLow }},
		{"worth_high", "its band to, m/s", "", func(in *poolside.WallInput) *float64 { return &in.WorthHigh }},
		{"drag_factor", "Drag factor of the swim model", "Empty: from the run's own estimate.", func(in *poolside.WallInput) *float64 { return &in.DragFactor }},
	}
)

// Kicks, Entries, Splits, Glides and More are the groups for the template.
func (wallForm) Kicks() []wallNumber   { return kickNumbers }
func (wallForm) Entries() []wallNumber { return entryNumbers }
func (wallForm) Splits() []wallNumber  { return splitNumbers }
func (wallForm) Glides() []wallNumber  { return glideNumbers }
func (wallForm) More() []wallNumber    { return moreNumbers }

// Surfaces are the strokes that have a surface speed in a plan.
func (wallForm) Surfaces() []wall.Stroke {
	return []wall.Stroke{wall.Freestyle, wall.Backstroke, wall.Butterfly}
}

// Strokes and Pools are what the lists of the form hold.
func (wallForm) Strokes() []wall.Stroke { return wall.Strokes() }
func (wallForm) Pools() []wall.Pool     { return wall.Pools() }

// Typed returns a field as it was typed, or as it is kept.
func (f wallForm) Typed(field string) string {
	if f.typed != nil {
		return f.typed[field]
	}
	in := &f.Input
	for _, n := range wallNumbers() {
		if n.Name == field {
			return typed(*n.at(in))
		}
	}
	switch field {
	case "distance":
		return typed(float64(in.Event.Distance))
	case "most_kicks":
		return typed(float64(in.MostKicks))
	case "split_kicks":
		return typed(float64(in.SplitKicks))
	case "splits":
		return pairsText(len(in.Splits), func(i int) (float64, float64) { return in.Splits[i].X, in.Splits[i].T })
	case "glide":
		return pairsText(len(in.Glide), func(i int) (float64, float64) { return in.Glide[i].T, in.Glide[i].X })
	}
	if stroke, ok := strings.CutPrefix(field, "surface_"); ok {
		return typed(in.Surface[wall.Stroke(stroke)])
	}
	return ""
}

func wallNumbers() []wallNumber {
	var all []wallNumber
	for _, g := range [][]wallNumber{kickNumbers, entryNumbers, splitNumbers, glideNumbers, moreNumbers} {
		all = append(all, g...)
	}
	return all
}

// read takes the form's fields over into the input and notes what is no number.
func (f *wallForm) read(r *http.Request) {
	f.typed = map[string]string{}
	f.Name = strings.TrimSpace(r.PostFormValue("name"))
	in := &f.Input
	in.Event.Pool, in.Event.Stroke = wall.Pool(r.PostFormValue("pool")), wall.Stroke(r.PostFormValue("stroke"))
	in.Event.Distance = f.whole(r, "distance")
	in.KickFrom = r.PostFormValue("kick_from")
	for _, n := range wallNumbers() {
		*n.at(in) = f.number(r, n.Name)
	}
	in.Surface = map[wall.Stroke]float64{}
	for _, s := range f.Surfaces() {
		if v := f.number(r, "surface_"+string(s)); v != 0 {
			in.Surface[s] = v
		}
	}
	in.MostKicks, in.SplitKicks = f.whole(r, "most_kicks"), f.whole(r, "split_kicks")
	in.Splits, in.Glide = nil, nil
	for _, p := range f.pairs(r, "splits", "place and time, such as 5.0 2.10") {
		in.Splits = append(in.Splits, wall.Split{X: p[0], T: p[1]})
	}
	for _, p := range f.pairs(r, "glide", "time and place, such as 0.25 2.31") {
		in.Glide = append(in.Glide, wall.Point{T: p[0], X: p[1]})
	}
}

func (f *wallForm) fault(field, text string) {
	f.Faults = append(f.Faults, record.Fault{Field: field, Text: text})
}

func (f *wallForm) number(r *http.Request, field string) float64 {
	f.typed[field] = r.PostFormValue(field)
	x, wrong := numberField(f.typed[field])
	if wrong != "" {
		f.fault(field, wrong)
	}
	return x
}

func (f *wallForm) whole(r *http.Request, field string) int {
	x := f.number(r, field)
	if x != math.Trunc(x) || x > 1e6 {
		f.fault(field, "is no whole number")
		return 0
	}
	return int(x)
}

// pairs reads lines of two numbers.
func (f *wallForm) pairs(r *http.Request, field, like string) [][2]float64 {
	f.typed[field] = r.PostFormValue(field)
	list, line := pairsOf(f.typed[field])
	if line > 0 {
		f.fault(field, fmt.Sprintf("cannot be read in line %d; write %s on each line", line, like))
	}
	return list
}

// pairsOf reads two numbers from every line that is not empty, with points or commas. The second
// result is the number of the first line that holds something else, 0 if none does.
func pairsOf(text string) (list [][2]float64, wrong int) {
	for i, line := range strings.Split(text, "\n") {
		words := strings.FieldsFunc(line, func(c rune) bool { return c == ' ' || c == '\t' || c == ';' || c == '\r' })
		if len(words) == 0 {
			continue
		}
		if len(words) != 2 {
			return nil, i + 1
		}
		var pair [2]float64
		for k, word := range words {
			x, bad := numberField(strings.TrimRight(word, ","))
			if bad != "" || math.IsNaN(x) || math.IsInf(x, 0) {
				return nil, i + 1
			}
			pair[k] = x
		}
		list = append(list, pair)
	}
	return list, 0
}

func pairsText(n int, at func(i int) (float64, float64)) string {
	var b strings.Builder
	for i := range n {
		x, y := at(i)
		fmt.Fprintf(&b, "%s %s\n", strconv.FormatFloat(x, 'f', -1, 64), strconv.FormatFloat(y, 'f', -1, 64))
	}
	return b.String()
}

// numberPiece is what the template of one number field needs.
type numberPiece struct {
	Name, Label, Hint, Value string
	Faults                   record.Faults
}

func newNumberField(f wallForm, name, label, hint string) numberPiece {
	return numberPiece{name, label, hint, f.Typed(name), f.Faults}
}
