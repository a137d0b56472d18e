package record

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"underkick/internal/body"
)

// validator is what every record has in common with these tests.
type validator func() error

func good() (Squad, Swimmer, Visit, Clip, Run, Step, Result, Job) {
	return Squad{Name: "Bay"},
		Swimmer{SquadID: "q", Name: "Mira Holm", Sex: Female, BirthYear: 2011, HeightM: 1.63, HeightOn: "2026-03-01", MassKg: 52, Level: Club, Habit: Supine},
		Visit{SquadID: "q", On: "2026-03-09", Pool: "Lake Hall"},
		Clip{VisitID: "v", SwimmerID: "w", Hash: strings.Repeat("0a", 32), Name: "a.mp4", Size: 1, TrueFPS: 240, Facts: Facts{WidthPx: 2, HeightPx: 2, Frames: 9, MeanFPS: 30}},
		Run{ClipID: "c", SwimmerID: "w", FromFrame: 3, ToFrame: 8, Effort: Max, Start: Dive, Position: Side, DepthM: 1, Repeat: 1},
		Set(PlaceMark, "me", body.Mark{Frame: 4, Landmark: body.Toe, X: 1, Y: 2, SD: 1}),
		Result{RunID: "r", Method: "kick 1", InputHash: "h", Body: json.RawMessage(`{}`), Values: []Value{{Measure: "speed", Value: 1}}},
		Job{Kind: "read", Args: json.RawMessage(`null`)}
}

func TestGoodRecordsPass(t *testing.T) {
	q, w, v, c, r, s, e, j := good()
	for name, check := range map[string]validator{
		"squad": q.Validate, "swimmer": w.Validate, "visit": v.Validate, "clip": c.Validate, "result": e.Validate, "job": j.Validate,
		"run":              func() error { return r.Validate(9) },
		"run, length open": func() error { return r.Validate(0) },
		"step":             func() error { return s.Validate(9) },
		"undo":             func() error { return Step{Act: Undo}.Validate(9) },
		"bare swimmer":     Swimmer{SquadID: "q", Name: "Ø"}.Validate,
		"bare visit":       Visit{SquadID: "q", On: "2024-02-29"}.Validate,
		"no scale":         Scale{}.Validate,
		"height":           Scale{Kind: BodyHeight}.Validate,
		"known length":     Scale{Kind: KnownLength, LengthM: 5, PointsPx: [2][2]float64{{0, 0}, {500, 3}}}.Validate,
		"plane":            Scale{Kind: Plane, Plane: json.RawMessage(`{"points_px":[[0,0],[9,0]],"points_m":[[0,0],[2,0]]}`)}.Validate,
	} {
		if err := check(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Each bad value is told with its own field and nothing else.
func TestEachBadFieldIsNamed(t *testing.T) {
	q, w, v, c, r, s, e, j := good()
	long := strings.Repeat("x", 5000)
	nan := math.NaN()
	change := func(m body.Mark) validator {
		return func() error { return Step{Act: MoveMark, Changes: []Change{{Mark: m}}}.Validate(9) }
	}
	for _, c := range []struct {
		field string
		check validator
	}{
		{"name", func() error { x := q; x.Name = " \t"; return x.Validate() }},
		{"name", func() error { x := q; x.Name = "a\nb"; return x.Validate() }},
		{"name", func() error { x := q; x.Name = long[:121]; return x.Validate() }},
		{"name", func() error { x := q; x.Name = "a\xff"; return x.Validate() }},
		{"notes", func() error { x := q; x.Notes = long; return x.Validate() }},
		{"notes", func() error { x := q; x.Notes = "a\x00b"; return x.Validate() }},
		{"squad", func() error { x := w; x.SquadID = ""; return x.Validate() }},
		{"pseudonym", func() error { x := w; x.Pseudonym = " "; return x.Validate() }},
		{"sex", func() error { x := w; x.Sex = "f"; return x.Validate() }},
		{"birth_year", func() error { x := w; x.BirthYear = 11; return x.Validate() }},
		{"height_m", func() error { x := w; x.HeightM = 163; return x.Validate() }},
		{"height_m", func() error { x := w; x.HeightM = nan; return x.Validate() }},
		{"height_on", func() error { x := w; x.HeightOn = "2025-02-29"; return x.Validate() }},
		{"mass_kg", func() error { x := w; x.MassKg = -1; return x.Validate() }},
		{"mass_on", func() error { x := w; x.MassOn = "yesterday"; return x.Validate() }},
		{"level", func() error { x := w; x.Level = "elite"; return x.Validate() }},
		{"habit", func() error { x := w; x.Habit = Side; return x.Validate() }},
		{"on", func() error { x := v; x.On = ""; return x.Validate() }},
		{"on", func() error { x := v; x.On = "2026-3-9"; return x.Validate() }},
		{"pool", func() error { x := v; x.Pool = "a\nb"; return x.Validate() }},
		{"visit", func() error { x := c; x.VisitID = ""; return x.Validate() }},
		{"swimmer", func() error { x := c; x.SwimmerID = ""; return x.Validate() }},
		{"hash", func() error { x := c; x.Hash = strings.ToUpper(x.Hash); return x.Validate() }},
		{"size", func() error { x := c; x.Size = 0; return x.Validate() }},
		{"true_fps", func() error { x := c; x.TrueFPS = 0.5; return x.Validate() }},
		{"frames", func() error { x := c; x.Facts = Facts{Frames: -1}; return x.Validate() }},
		{"size_px", func() error { x := c; x.Facts = Facts{Frames: 1}; return x.Validate() }},
		{"mean_fps", func() error { x := c; x.Facts.MeanFPS = nan; return x.Validate() }},
		{"duration_s", func() error { x := c; x.Facts.DurationS = math.Inf(1); return x.Validate() }},
		{"clip", func() error { x := r; x.ClipID = ""; return x.Validate(9) }},
		{"from_frame", func() error { x := r; x.FromFrame = -1; return x.Validate(9) }},
		{"to_frame", func() error { x := r; x.ToFrame = 3; return x.Validate(9) }},
		{"to_frame", func() error { x := r; x.ToFrame = 9; return x.Validate(9) }},
		{"effort", func() error { x := r; x.Effort = "hard"; return x.Validate(9) }},
		{"start", func() error { x := r; x.Start = "turn"; return x.Validate(9) }},
		{"position", func() error { x := r; x.Position = "up"; return x.Validate(9) }},
		{"depth_m", func() error { x := r; x.DepthM = -0.1; return x.Validate(9) }},
		{"equipment", func() error { x := r; x.Equipment = long; return x.Validate(9) }},
		{"repeat", func() error { x := r; x.Repeat = -1; return x.Validate(9) }},
		{"scale", func() error { x := r; x.Scale.Kind = "guess"; return x.Validate(9) }},
		{"length_m", func() error {
			x := r
			x.Scale = Scale{Kind: KnownLength, PointsPx: [2][2]float64{{0, 0}, {99, 0}}}
			return x.Validate(9)
		}},
		{"points_px", func() error { x := r; x.Scale = Scale{Kind: KnownLength, LengthM: 2}; return x.Validate(9) }},
		{"plane", func() error { x := r; x.Scale = Scale{Kind: Plane}; return x.Validate(9) }},
		{"plane", func() error { x := r; x.Scale = Scale{Plane: json.RawMessage(`{`)}; return x.Validate(9) }},
		{"scale", func() error { x := r; x.Scale = Scale{Kind: KnownLength, LengthM: nan}; return x.Validate(9) }},
		{"act", func() error { x := s; x.Act = ""; return x.Validate(9) }},
		{"act", func() error { x := s; x.Act = "shift"; return x.Validate(9) }},
		{"changes", func() error { return Step{Act: PlaceMark}.Validate(9) }},
		{"changes", func() error { x := s; x.Act = Undo; return x.Validate(9) }},
		{"changes", func() error { x := s; x.Changes = append(x.Changes, x.Changes...); return x.Validate(9) }},
		{"changes", change(body.Mark{Frame: -1})},
		{"changes", change(body.Mark{Frame: 9})},
		{"changes", change(body.Mark{Landmark: body.NumLandmarks})},
		{"changes", change(body.Mark{X: nan})},
		{"changes", change(body.Mark{Y: 1e7})},
		{"changes", change(body.Mark{SD: -1})},
		{"run", func() error { x := e; x.RunID = ""; return x.Validate() }},
		{"method", func() error { x := e; x.Method = ""; return x.Validate() }},
		{"input_hash", func() error { x := e; x.InputHash = ""; return x.Validate() }},
		{"body", func() error { x := e; x.Body = nil; return x.Validate() }},
		{"values", func() error { x := e; x.Values = []Value{{Measure: "a", Value: nan}}; return x.Validate() }},
		{"values", func() error { x := e; x.Values = []Value{{Measure: "a"}, {Measure: "a"}}; return x.Validate() }},
		{"kind", func() error { x := j; x.Kind = ""; return x.Validate() }},
		{"args", func() error { x := j; x.Args = nil; return x.Validate() }},
	} {
		var faults Faults
		err := c.check()
		if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Field != c.field || faults.For(c.field) == "" || !strings.HasPrefix(err.Error(), c.field+": ") {
			t.Errorf("%s: %v", c.field, err)
		}
	}
}

func TestAllFaultsAreToldAtOnce(t *testing.T) {
	err := Swimmer{Name: " ", HeightM: 9}.Validate()
	var faults Faults
	if !errors.As(err, &faults) || len(faults) != 3 || faults.For("squad") == "" || faults.For("name") == "" || faults.For("height_m") == "" || faults.For("mass_kg") != "" {
		t.Errorf("%v", err)
	}
}

func TestMomentsSortAsTextsAndComeBack(t *testing.T) {
	zone := time.FixedZone("east", 2*3600)
	a := time.Date(2026, 3, 9, 1, 2, 3, 4_999_999, zone)
	if got := FormatTime(a); got != "2026-03-08T23:02:03.004Z" {
		t.Errorf("%s", got)
	}
	back, err := ParseTime(FormatTime(a))
	if err != nil || !back.Equal(a.Truncate(time.Millisecond)) || back.Location() != time.UTC {
		t.Errorf("%v %v", back, err)
	}
	if FormatTime(a) >= FormatTime(a.Add(time.Millisecond)) {
		t.Error("texts do not sort as moments do")
	}
	if _, err := ParseTime("2026-03-09"); err == nil {
		t.Error("a day was taken for a moment")
	}
	if DateOf(a) != "2026-03-09" {
		t.Errorf("day where it stands: %s", DateOf(a))
	}
}

func TestSubject(t *testing.T) {
	got := Swimmer{HeightM: 1.7, MassKg: 60, Sex: Female}.Subject()
	if got != (body.Subject{Height: 1.7, Mass: 60, Sex: body.Female}) {
		t.Errorf("%+v", got)
	}
	if Male.Body() != body.Male || Sex("").Body() != body.SexUnknown {
		t.Error("sex")
	}
}

// A film that plays at 30 pictures per second and was taken at 240 shows one
// true second in eight.
func TestSpeed(t *testing.T) {
	c := Clip{Facts: Facts{MeanFPS: 30}}
	if got := c.Speed(Run{}); got != 1 {
		t.Errorf("as it plays: %v", got)
	}
	c.TrueFPS = 240
	if got := c.Speed(Run{}); got != 8 {
		t.Errorf("slow motion: %v", got)
	}
	if got := c.Speed(Run{TrueFPS: 60}); got != 2 {
		t.Errorf("the run knows better: %v", got)
	}
	c.Facts = Facts{}
	if got := c.Speed(Run{}); got != 1 {
		t.Errorf("film not read yet: %v", got)
	}
}

func TestOutside(t *testing.T) {
	f := Facts{WidthPx: 100, HeightPx: 50, Frames: 1}
	for m, want := range map[body.Mark]bool{{X: 0, Y: 0}: false, {X: 100, Y: 50}: false, {X: -0.1}: true, {Y: -1}: true, {X: 101}: true, {X: 1, Y: 51}: true} {
		if f.Outside(m) != want {
			t.Errorf("%+v: %v", m, !want)
		}
	}
	if (Facts{}).Outside(body.Mark{X: -1}) {
		t.Error("a film that was not read has no outside")
	}
}

func TestAlike(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"Mira Holm", "Mira Holm", true},
		{"Mira Holm", " mira  HOLM ", true},
		{"Mira Holm", "Holm, Mira", true},
		{"Zoë Núñez", "Zoe Nunez", true},
		{"Zoe\u0308 Ask", "Zoe Ask", true}, // accent as a sign of its own
		{"Anne-Marie Vik", "Anne Marie Vik", true},
		{"Sinéad O'Dell", "Sinead ODell", true},
		{"Mira Holm", "Mira Holms", true},
		{"Mira Holm", "Mria Holm", true},
		{"Mira Holm", "Mila Holm", true},
		{"Mira Holm", "Ira Holm", true},
		{"Mira Holm", "Nina Holt", false},
		{"Mira Holm", "Mira Holland", false},
		{"Ada", "Ida", false}, // too short for a slip to be likely
		{"Bo", "Bo", true},
		{"", "", false},
		{"小林", "小林", true},
		{"小林", "大林", false},
	} {
		if got := Alike(c.a, c.b); got != c.want || Alike(c.b, c.a) != c.want {
			t.Errorf("%q, %q: %v", c.a, c.b, got)
		}
	}
}

func FuzzAlike(f *testing.F) {
	f.Add("Mira Holm", "holm, MÍRA")
	f.Add("a\xff", "'")
	f.Add("aaaaaa", "aaaaab")
	f.Fuzz(func(t *testing.T, a, b string) {
		if Alike(a, b) != Alike(b, a) {
			t.Errorf("%q and %q are alike one way only", a, b)
		}
		if plain(a) != "" && !Alike(a, a+" ") {
			t.Errorf("%q is not like itself", a)
		}
	})
}
