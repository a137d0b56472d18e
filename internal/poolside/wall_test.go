package poolside

import (
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"

	"underkick/internal/limit/worth"
	"underkick/internal/record"
	"underkick/internal/wall"
)

func freestyle() WallInput {
	return WallInput{Event: wall.Event{Pool: wall.Pool25m, Distance: 100, Stroke: wall.Freestyle}, Surface: map[wall.Stroke]float64{wall.Freestyle: 1.6}}
}

func source(key string, speed float64) KickSource {
	return KickSource{Key: key, Words: key, Speed: wall.Given{Value: speed, SD: 0.03, From: key}, Tempo: wall.Given{Value: 2, SD: 0.05, From: key}}
}

func usedOf(a *WallAnswer, name string) UsedInput {
	for _, u := range a.Used {
		if u.Name == name {
			return u
		}
	}
	return UsedInput{}
}

// What is typed comes before split times, those before own runs; runs that were easy, on the back or
// with fins are not taken for the front; a source that was chosen is.
func TestWhereTheKickingSpeedComesFrom(t *testing.T) {
	easy, back, fins := source("run:easy", 1.1), source("run:back", 1.3), source("run:fins", 2)
	easy.Easy, back.Supine, fins.Fins = true, true, "fins"
	who := WallSwimmer{Mass: 60, Height: 1.7, Own: []KickSource{fins, easy, back, source("run:new", 1.5), source("run:old", 1.4)}}
	splits := []wall.Split{{X: 5, T: 2}, {X: 10, T: 5.4}}
	for name, c := range map[string]struct {
		change func(in *WallInput)
		from   string
		value  float64
	}{
		"newest":         {func(*WallInput) {}, "run:new", 1.5},
		"chosen":         {func(in *WallInput) { in.KickFrom = "run:old" }, "run:old", 1.4},
		"chosen easy":    {func(in *WallInput) { in.KickFrom = "run:easy" }, "run:easy", 1.1},
		"typed":          {func(in *WallInput) { in.Kick = 1.35 }, "typed", 1.35},
		"typed, chosen":  {func(in *WallInput) { in.Kick, in.KickFrom = 1.35, "run:old" }, "run:old", 1.4},
		"gone":           {func(in *WallInput) { in.KickFrom = "run:gone" }, "run:new", 1.5},
		"from the times": {func(in *WallInput) { in.Splits, in.FirstKick = splits, 2 }, "split times", 0},
	} {
		in := freestyle()
		c.change(&in)
		a, err := PlanWalls(t.Context(), in, who)
		if err != nil {
			t.Fatal(name, err)
		}
		got := usedOf(a, "kicking speed")
		if got.From != c.from || c.value > 0 && got.Value != c.value {
			t.Errorf("%s: %+v, want %s %g", name, got, c.from, c.value)
		}
		if name == "gone" && !hasReason(a, "source-gone") {
			t.Error("a source that is gone is not told")
		}
	}
	in := freestyle()
	in.Event.Stroke = wall.Backstroke
	in.Surface = map[wall.Stroke]float64{wall.Backstroke: 1.45}
	a, err := PlanWalls(t.Context(), in, who)
	if err != nil || usedOf(a, "kicking speed on the back").Value != 1.3 || hasReason(a, "back-from-front") {
		t.Errorf("on the back: %+v %v", a.Used, err)
	}
	who.Own = who.Own[3:]
	if a, err = PlanWalls(t.Context(), in, who); err != nil || !hasReason(a, "back-from-front") {
		t.Errorf("without a run on the back: %v %v", a.Reasons, err)
	}
}

func hasReason(a *WallAnswer, code string) bool {
	for _, r := range a.Reasons {
		if r.Code == code {
			return true
		}
	}
	return false
}

func TestOwnGlideIsTakenWhenItIsGoodEnough(t *testing.T) {
	in, who := freestyle(), WallSwimmer{Mass: 60, Own: []KickSource{source("run:a", 1.5)}}
	in.Glide = []wall.Point{{T: 0, X: 1.8}, {T: 0.3, X: 2.5}, {T: 0.7, X: 3.3}, {T: 1.2, X: 4.15}, {T: 1.8, X: 5.0}}
	a, err := PlanWalls(t.Context(), in, who)
	if err != nil || a.Glide == nil || hasReason(a, "glide-assumed") || usedOf(a, "glide length").Value == 0 {
		t.Fatalf("%+v %v", a, err)
	}
	in.Glide = []wall.Point{{T: 0, X: 1.8}, {T: 0.1, X: 2.03}, {T: 0.2, X: 2.25}}
	if a, err = PlanWalls(t.Context(), in, who); err != nil || !hasReason(a, "glide-too-rough") && !hasReason(a, "glide-not-fitted") || !hasReason(a, "glide-assumed") {
		t.Errorf("three near points: %+v %v", a.Reasons, err)
	}
	in.Glide = []wall.Point{{T: 0, X: 1.8}, {T: 0.5, X: 2.3}, {T: 1, X: 3.2}}
	if a, err = PlanWalls(t.Context(), in, who); err != nil || !hasReason(a, "glide-not-fitted") {
		t.Errorf("speeding up: %+v %v", a.Reasons, err)
	}
}

func TestWallInputFaults(t *testing.T) {
	for field, spoil := range map[string]func(in *WallInput){
		"event":             func(in *WallInput) { in.Event.Distance = 33 },
		"kick":              func(in *WallInput) { in.Kick = 9 },
		"tempo_hz":          func(in *WallInput) { in.Tempo = 120 },
		"surface_freestyle": func(in *WallInput) { in.Surface[wall.Freestyle] = 62 },
		"most_kicks":        func(in *WallInput) { in.MostKicks = -1 },
		"start_speed":       func(in *WallInput) { in.StartAt = 5 },
		"worth":             func(in *WallInput) { in.Worth, in.WorthLow, in.WorthHigh = 0.05, 0.06, 0.1 },
		"splits":            func(in *WallInput) { in.KickFrom = "splits" },
		"done":              func(in *WallInput) { in.Done = []wall.Done{{Wall: 1, Kicks: 900}} },
	} {
		in := freestyle()
		spoil(&in)
		var f record.Faults
		if _, err := PlanWalls(t.Context(), in, WallSwimmer{}); !errors.As(err, &f) || f.For(field) == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
	// Nothing known of the swimmer but the event is a plan that says why it has no numbers.
	a, err := PlanWalls(t.Context(), freestyle(), WallSwimmer{})
	if err != nil || !a.Walls[0].Refused || !hasReason(a, "no-kicking-speed") || len(a.Cautions) == 0 {
		t.Errorf("%+v %v", a, err)
	}
	if _, err := json.Marshal(a); err != nil {
		t.Error(err)
	}
}

// Plans are kept in versions, undone, listed for the swimmer and the squad; a ladder becomes a source.
func TestKeptPlans(t *testing.T) {
	ctx, app := t.Context(), openApp(t)
	swimmer := addSwimmer(t, app)
	steps := []wall.Step{{Tempo: 1.7, Speed: 1.31}, {Tempo: 1.9, Speed: 1.42}, {Tempo: 2.1, Speed: 1.49}, {Tempo: 2.3, Speed: 1.5}, {Tempo: 2.5, Speed: 1.44}}
	ladder, err := app.KeepLadder(ctx, swimmer, "", "May", LadderInput{On: "2026-05-03", Steps: steps})
	if err != nil {
		t.Fatal(err)
	}
	id, err := app.KeepWalls(ctx, swimmer, "", "100 free", freestyle())
	if err != nil {
		t.Fatal(err)
	}
	v, err := app.WallPlan(ctx, id)
	if err != nil || v.Answer == nil || usedOf(v.Answer, "kicking speed").From != "tempo ladder May" || v.Plan.Name != "100 free" {
		t.Fatalf("%+v %v", v, err)
	}
	if !reflect.DeepEqual(v.Input, freestyle()) {
		t.Errorf("kept %+v", v.Input)
	}
	changed := freestyle()
	changed.MostKicks = 3
	if _, err := app.KeepWalls(ctx, swimmer, id, "100 free", changed); err != nil {
		t.Fatal(err)
	}
	if _, err := app.KeepWalls(ctx, swimmer, id, "100 free", changed); err != nil {
		t.Fatal(err)
	}
	if v, _ = app.WallPlan(ctx, id); v.Plan.Undos != 1 || v.Input.MostKicks != 3 { // the same again is no version
		t.Errorf("changed: %+v", v.Plan)
	}
	if p, err := app.TurnPlan(ctx, id, record.UndoPlan); err != nil || p.Redos != 1 {
		t.Errorf("%+v %v", p, err)
	}
	if p, err := app.TurnPlan(ctx, id, record.UndoPlan); err != nil || p.Redos != 1 {
		t.Errorf("nothing left to undo: %+v %v", p, err)
	}
	squad, err := app.SquadWalls(ctx)
	if err != nil || len(squad.Squads) != 1 || squad.Squads[0].Rows[0].Turn == nil || squad.Squads[0].Rows[0].Total.Planned != 4 {
		t.Errorf("%+v %v", squad, err)
	}
	bare := freestyle()
	bare.Surface = nil
	if _, err := app.KeepWalls(ctx, swimmer, "", "no speed", bare); err != nil {
		t.Fatal(err)
	}
	if squad, err = app.SquadWalls(ctx); err != nil || !strings.Contains(squad.Squads[0].Rows[0].Problem, "surface") || squad.Squads[0].Rows[0].More != 1 {
		t.Errorf("a plan without numbers: %+v %v", squad, err)
	}
	for _, err := range []error{
		second(app.WallPlan(ctx, ladder)), second(app.Ladder(ctx, id)), second(app.WallPlan(ctx, "zz")), second(app.Plans(ctx, "zz")),
		second(app.NewWalls(ctx, "zz", WallInput{})), second(app.KeepWalls(ctx, swimmer, ladder, "x", freestyle())),
	} {
		if !errors.Is(err, ErrNotFound) {
			t.Errorf("another kind or none: %v", err)
		}
	}
	if _, err := app.TurnPlan(ctx, id, record.RemovePlan); err != nil {
		t.Fatal(err)
	}
	list, err := app.Plans(ctx, swimmer)
	if err != nil || len(list.Walls) != 1 || len(list.Removed) != 1 || len(list.Ladders) != 1 {
		t.Errorf("%+v %v", list, err)
	}
	if squad, _ = app.SquadWalls(ctx); squad.Squads[0].Rows[0].PlanID == id || squad.Squads[0].Rows[0].More != 0 {
		t.Error("a removed plan stands in the squad's table")
	}
}

// Runs of the store give kicking speed, tempo, and by their kept estimates factor and worth; they make
// a ladder.
func TestOwnRunsOfTheStore(t *testing.T) {
	ctx, app := t.Context(), openApp(t)
	swimmer := addSwimmer(t, app)
	w, err := app.store.Swimmer(ctx, swimmer)
	if err != nil {
		t.Fatal(err)
	}
	visit, err := app.store.AddVisit(ctx, record.Visit{SquadID: w.SquadID, On: "2026-05-03"})
	if err != nil {
		t.Fatal(err)
	}
	facts := record.Facts{WidthPx: 640, HeightPx: 360, Frames: 400, DurationS: 8, MeanFPS: 50, NominalFPS: 50}
	clip, err := app.store.ImportClip(ctx, strings.NewReader("film"), "a.mp4", record.Clip{VisitID: visit.ID, SwimmerID: swimmer, Facts: facts})
	if err != nil {
		t.Fatal(err)
	}
	add := func(n int, position record.Position, tempo, speed float64) string {
		t.Helper()
		r, err := app.store.AddRun(ctx, record.Run{ClipID: clip.ID, SwimmerID: swimmer, FromFrame: 50 * n, ToFrame: 50*n + 40, Repeat: n, Position: position, Effort: record.Max})
		if err == nil {
			_, err = app.store.AddResult(ctx, record.Result{RunID: r.ID, Method: "kick/1", InputHash: "x", Body: []byte(`{}`), Values: []record.Value{
				{Measure: "speed", Unit: "m/s", Value: speed, Low: speed - 0.04, High: speed + 0.04, N: 4}, {Measure: "kick_frequency", Unit: "Hz", Value: tempo, Low: tempo - 0.05, High: tempo + 0.05, N: 4},
			}})
		}
		if err != nil {
			t.Fatal(err)
		}
		return r.ID
	}
	var ids []string
	for i, s := range [][2]float64{{1.8, 1.3}, {2, 1.42}, {2.2, 1.47}, {2.4, 1.45}} {
		ids = append(ids, add(i+1, record.Prone, s[0], s[1]))
	}
	add(5, record.Supine, 2, 1.25)
	estimate := `{"limiter":"facing","personal_factor":1.21,"worth":[{"quality":"sweep","speed_change":0.2},{"quality":"facing","speed_change":0.07,"low":0.03,"high":0.11}]}`
	if err := app.store.KeepEstimate(ctx, record.Estimate{RunID: ids[3], Method: worth.Method, InputHash: "x", Body: []byte(estimate)}); err != nil {
		t.Fatal(err)
	}
	v, err := app.NewWalls(ctx, swimmer, freestyle())
	if err != nil || len(v.Own) != 5 {
		t.Fatalf("%+v %v", v.Own, err)
	}
	a := v.Answer
	if u := usedOf(a, "kicking speed"); u.Value != 1.45 || !strings.Contains(u.From, "3 May 2026, number 4") || u.SD < 0.03 || u.SD > 0.05 {
		t.Errorf("kicking speed %+v", u)
	}
	if a.Limiter != "facing" || a.Worth.Value != 0.07 || usedOf(a, "drag factor of the swim model").Value != 1.21 || !(a.Gain.Value > 0) {
		t.Errorf("estimate: %s %+v %+v", a.Limiter, a.Worth, a.Gain)
	}
	l, err := app.NewLadder(ctx, swimmer, LadderInput{})
	if err != nil || len(l.Runs) != 5 || l.Answer != nil {
		t.Errorf("%+v %v", l, err)
	}
}

func second[T any](_ T, err error) error { return err }

func FuzzReadWallInput(f *testing.F) {
	text, err := json.Marshal(freestyle())
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add([]byte(`{"event":{"pool":"25 yd","distance":500,"stroke":"medley"},"glide":[{"t":0,"x":1},{"t":1e308,"x":2}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		in, err := ReadWallInput(text)
		if err != nil {
			if !errors.Is(err, ErrInput) {
				t.Errorf("%v is not about the input", err)
			}
			return
		}
		if in.Event.Distance > 200 {
			return // only slower
		}
		a, err := PlanWalls(t.Context(), in, WallSwimmer{Mass: 60, Own: []KickSource{source("run:a", 1.5)}})
		var faults record.Faults
		if err != nil && !errors.As(err, &faults) {
			t.Errorf("%v", err)
		}
		if err == nil {
			if out, err := json.Marshal(a); err != nil || strings.Contains(string(out), "NaN") {
				t.Errorf("no JSON: %v", err)
			}
		}
	})
}

// A run's own estimate gives the personal factor and the limiter's worth, unless they are typed.
func TestTheEstimateOfARunIsTaken(t *testing.T) {
	s := source("run:a", 1.5)
	s.Factor, s.Limiter, s.Worth = 1.3, "sweep", wall.Given{Value: 0.06, SD: 0.02}
	who := WallSwimmer{Mass: 60, Own: []KickSource{s}}
	a, err := PlanWalls(t.Context(), freestyle(), who)
	if err != nil || usedOf(a, "drag factor of the swim model").Value != 1.3 || a.Limiter != "sweep" || !(a.Gain.Value > 0) {
		t.Errorf("%+v %v", a, err)
	}
	in := freestyle()
	in.DragFactor, in.Worth = 0.9, 0.02
	b, err := PlanWalls(t.Context(), in, who)
	if err != nil || usedOf(b, "drag factor of the swim model").Value != 0.9 || b.Limiter != "" || b.Gain.Value >= a.Gain.Value {
		t.Errorf("typed: %+v %v", b, err)
	}
}

// The walls page of a squad of twenty, each with a plan.
func BenchmarkSquadWalls(b *testing.B) {
	app, err := Open(b.Context(), Options{DataDir: b.TempDir()})
	if err != nil {
		b.Fatal(err)
	}
	defer func() { _ = app.Close() }()
	squad, err := app.AddSquad(b.Context(), record.Squad{Name: "Quiet Lane"})
	if err != nil {
		b.Fatal(err)
	}
	in := freestyle()
	in.Kick = 1.5
	for i := range 20 {
		id, _, err := app.AddSwimmer(b.Context(), record.Swimmer{SquadID: squad, Name: "Swimmer " + string(rune('A'+i)), MassKg: 60})
		if err == nil {
			_, err = app.KeepWalls(b.Context(), id, "", "100 free", in)
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	for b.Loop() {
		if _, err := app.SquadWalls(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}
