package wall

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

func typical() Question {
	return Question{
		Swimmer: Swimmer{
			Mass: 70, Kick: Given{Value: 1.55, SD: 0.04}, Tempo: Given{Value: 2.1, SD: 0.05},
			Surface: Given{Value: 1.65, SD: 0.02}, Glide: Given{Value: 0.25, SD: 0.01},
		},
		Entry:  Entry{At: Given{Value: 1.8, SD: 0.05}, Speed: Given{Value: 2.5, SD: 0.08}},
		Stroke: Freestyle, Height: 1.78, Seed: 1,
	}
}

func find(t *testing.T, q Question) *Plan {
	t.Helper()
	p, err := Find(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Whatever the inputs, the whole band of the breakout lies before 15 m, the plan asks for no more
// kicks than are fast, and it is reproducible.
func TestNeverBeyondFifteenMetres(t *testing.T) {
	for _, vk := range []float64{0.9, 1.3, 1.6, 1.9, 2.2} {
		for _, v0 := range []float64{1.6, 2.3, 3, 4.5} {
			for _, vs := range []float64{0.8, 1.4, 1.8, 2.1} {
				for _, at := range []float64{0, 1.7, 5.5, 12.9} {
					q := typical()
					q.Draws = 60
					q.Swimmer.Kick.Value, q.Swimmer.Surface.Value = vk, vs
					q.Entry.Speed.Value, q.Entry.At.Value = v0, at
					if at == 0 {
						q.Entry.At = Given{}
					}
					p := find(t, q)
					if p.Refused || p.Kicks < 0 {
						t.Fatalf("%+v: %+v", q, p.Reasons)
					}
					if p.Breakout.High > Limit || p.Breakout.Value > Limit-reserve+1e-9 && p.Kicks > 0 {
						t.Errorf("vk %g v0 %g vs %g at %g: breakout %+v after %d kicks", vk, v0, vs, at, p.Breakout, p.Kicks)
					}
					if p.Kicks > p.AsFast[1] || p.Window[1] < p.Window[0] || p.Window[1] > Limit-reserve {
						t.Errorf("kicks %d as fast %v window %v", p.Kicks, p.AsFast, p.Window)
					}
				}
			}
		}
	}
}

// Away from the plan every further kick costs more: the time has one lowest place.
func TestCostsAreMonotone(t *testing.T) {
	for _, vk := range []float64{1.2, 1.45, 1.6, 1.9} {
		q := typical()
		q.Swimmer.Kick = Given{Value: vk}
		p := find(t, q)
		for i := 1; i < len(p.Costs); i++ {
			a, b := p.Costs[i-1], p.Costs[i]
			if b.Kicks <= p.AsFast[0] && b.Cost.Value > a.Cost.Value+1e-9 || a.Kicks >= p.AsFast[1] && b.Cost.Value < a.Cost.Value-1e-9 {
				t.Errorf("kicking speed %g, plan %d: cost %+v then %+v", vk, p.Kicks, a, b)
			}
			if a.Kicks > 0 && b.Breakout.Value < a.Breakout.Value { // without kicks the glide goes on to the surface speed
				t.Errorf("more kicks come up nearer: %+v then %+v", a, b)
			}
		}
		if c := p.CostOf(p.Kicks); c.Value != 0 || c.Low != 0 || c.High != 0 {
			t.Errorf("the plan costs %+v against itself", c)
		}
	}
}

// Slower kickers come up earlier, faster ones later; a slow kicker makes no kick or few.
func TestPlansFollowTheSpeeds(t *testing.T) {
	last := -1
	for _, vk := range []float64{1.0, 1.3, 1.5, 1.7, 1.9} {
		q := typical()
		q.Swimmer.Kick = Given{Value: vk}
		q.Swimmer.Tempo = Given{Value: 2.1}
		p := find(t, q)
		if p.Kicks < last {
			t.Errorf("kicking speed %g plans %d kicks, a slower one %d", vk, p.Kicks, last)
		}
		last = p.Kicks
	}
	q := typical()
	q.Swimmer.Kick.Value = 1.9
	if p := find(t, q); p.Bound != "rule" {
		t.Errorf("a kicker faster than the surface is ended by %q", p.Bound)
	}
}

// Of equally fast plans the one with the fewest kicks is taken, and the swimmer's own limit is
// kept to.
func TestNoPlanRewardsStayingUnder(t *testing.T) {
	q := typical()
	p := find(t, q)
	if p.Kicks != p.AsFast[0] {
		t.Errorf("planned %d of %v", p.Kicks, p.AsFast)
	}
	q.Swimmer.Kick.Value = 1.8
	free := find(t, q)
	q.Swimmer.MostKicks = free.Kicks - 2
	own := find(t, q)
	if own.Kicks != free.Kicks-2 || own.Bound != "own" || own.AsFast[1] > q.Swimmer.MostKicks {
		t.Errorf("own limit %d: %d kicks, %v, bound %q", q.Swimmer.MostKicks, own.Kicks, own.AsFast, own.Bound)
	}
}

// The head is never up before the way up allows, and a longer way up never brings it up sooner.
func TestTheWayUp(t *testing.T) {
	last := 0.0
	for _, up := range []float64{2, 4.6, 6, 9} {
		q := typical()
		q.Swimmer.Kick.Value, q.Up = 1.2, up
		p := find(t, q)
		if p.Breakout.Low < up-1e-9 || p.Breakout.Value < last {
			t.Errorf("way up to %g m: breakout %+v", up, p.Breakout)
		}
		last = p.Breakout.Value
	}
}

// Kick by kick the speed falls towards the kicking speed, and the kicks lie as far apart as the speed
// between them says.
func TestKickByKick(t *testing.T) {
	q := typical()
	q.Swimmer.Kick.Value = 1.8
	p := find(t, q)
	if len(p.EachKick) != p.Kicks || p.Kicks < 4 {
		t.Fatalf("%d starts of %d kicks", len(p.EachKick), p.Kicks)
	}
	for i := 1; i < p.Kicks; i++ {
		a, b := p.EachKick[i-1], p.EachKick[i]
		way := (b.At.Value - a.At.Value) * q.Swimmer.Tempo.Value
		if !(b.Speed.Value < way && way < a.Speed.Value && b.Speed.Value > 1.8) {
			t.Errorf("kick %d: %.3f m/s to %.3f m/s, %.3f m/s between", b.Number, a.Speed.Value, b.Speed.Value, way)
		}
	}
}

// Wider inputs give wider bands; the value stays inside.
func TestBandsFollowTheInputs(t *testing.T) {
	narrow := find(t, typical())
	q := typical()
	q.Swimmer.Kick.SD, q.Entry.Speed.SD = 0.12, 0.3
	wide := find(t, q)
	if wide.To15.High-wide.To15.Low <= narrow.To15.High-narrow.To15.Low {
		t.Errorf("time to 15 m: %+v from poor inputs, %+v from good ones", wide.To15, narrow.To15)
	}
	for _, b := range []Band{narrow.Breakout, narrow.To15, narrow.Underwater, narrow.WindowSpeed} {
		if !(b.Low <= b.Value && b.Value <= b.High) {
			t.Errorf("value outside its band: %+v", b)
		}
	}
	again := find(t, typical())
	if again.To15 != narrow.To15 || again.Window != narrow.Window {
		t.Error("the same seed gives another answer")
	}
}

// What is not known is assumed aloud, or refused.
func TestReasons(t *testing.T) {
	codes := func(p *Plan) map[string]bool {
		m := map[string]bool{}
		for _, r := range p.Reasons {
			m[r.Code] = true
		}
		return m
	}
	bare := find(t, Question{Swimmer: Swimmer{Kick: Given{Value: 1.5, SD: 0.05}}, Stroke: Butterfly, Seed: 1})
	for _, code := range []string{"mass-assumed", "glide-assumed", "tempo-assumed", "place-assumed", "push-off-assumed", "no-surface-speed"} {
		if !codes(bare)[code] {
			t.Errorf("no reason %s", code)
		}
	}
	if bare.Kicks != -1 || bare.Breakout.Known() || bare.Window[1] == 0 {
		t.Errorf("without a surface speed: %+v", bare)
	}
	if !strings.Contains(bare.Why(), "surface") || find(t, typical()).Why() != "" {
		t.Errorf("why: %q", bare.Why())
	}
	if p := find(t, Question{Stroke: Freestyle}); p.Why() == "" || !p.Refused || !codes(p)["no-kicking-speed"] {
		t.Errorf("without a kicking speed: %+v", p)
	}
	if p := find(t, Question{Stroke: Breaststroke, Swimmer: typical().Swimmer}); !p.Refused || p.Kicks != -1 || p.Rule == "" {
		t.Errorf("breaststroke: %+v", p)
	}
	dive := typical()
	dive.Dive, dive.Entry = true, Entry{}
	if p := find(t, dive); !codes(p)["start-assumed"] || !codes(p)["time-from-entry"] || p.Window[0] < diveAt {
		t.Errorf("a dive nobody measured: %+v", p)
	}
	if !codes(find(t, func() Question { q := typical(); q.Stroke = Backstroke; return q }()))["supine"] {
		t.Error("backstroke says nothing of the back")
	}
}

// NaN must not reach JSON.
func TestPlanIsJSON(t *testing.T) {
	for _, q := range []Question{typical(), {Stroke: Freestyle}, {Swimmer: Swimmer{Kick: Given{Value: 1.5}}, Stroke: Freestyle}} {
		p := find(t, q)
		text, err := json.Marshal(p)
		if err != nil || !json.Valid(text) {
			t.Errorf("%v: %s", err, text)
		}
	}
}

// The closed forms know no unit: all lengths and speeds times 3 give the same times.
func TestChangeOfUnit(t *testing.T) {
	a := reference(0.045)
	b := a
	b.glide.Rate /= 3
	b.kick = Kicking{3 * a.kick.Speed, 3 * a.kick.Length}
	b.x0, b.v0, b.surface = 3*a.x0, 3*a.v0, 3*a.surface
	for n := 1; n < 9; n++ {
		xa, ta := a.breakout(2, n)
		xb, tb := b.breakout(6, n)
		near(t, "breakout", xb, 3*xa, 1e-9)
		near(t, "time", tb, ta, 1e-12)
		near(t, "time to a mark", b.timeTo(42, 6, n), a.timeTo(14, 2, n), 1e-12)
	}
	if math.IsNaN(a.best(2)) {
		t.Error("no time")
	}
}
