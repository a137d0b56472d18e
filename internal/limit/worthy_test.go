package limit

import (
	"math"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/limit/worth"
)

// estimate is an estimate against a run that names a quality, "none" for none.
func estimate(limiter, reference string) *worth.Result {
	r := &worth.Result{Limiter: limiter, Reference: reference, Reason: "No single quality stands out: none is worth more than 0.03 m/s and twice its own error.", Speed: 1.4, Against: 1.5, Draws: 200}
	if limiter != "none" {
		r.Practice, r.Reason = "facing", "It carries the largest share."
		r.Sentence = "The model expects about +0.07 m/s (0.03 to 0.11) if " + limiter + " were as in the reference run and everything else stays, only by working harder (evidence: model only)."
	}
	nan := math.NaN()
	for _, q := range []worth.Part{worth.Facing, worth.Sweep, worth.Build, worth.Tempo, worth.Rest} {
		r.Parts = append(r.Parts, worth.PartLine{Quality: q, SpeedChange: worth.Band{Value: 0.07, Low: 0.03, High: 0.11, SD: nan}, EqualEffort: -0.01})
	}
	return r
}

// Worth leads where it names something; it is passed over for a run with too few kicks;
// where it names nothing against a run, what else was found begins by saying so.
func TestFindLeadsWithWorth(t *testing.T) {
	in := Input{Now: Run{ID: "r", Result: result(map[string]float64{"ankle_range": 90})}, Person: Person{BirthYear: 2000, Sex: body.Male, Level: National}, Year: 2026}
	plain := Find(in)
	for _, c := range []struct {
		name    string
		worth   *worth.Result
		kind    Kind
		begins  string
		quality string
	}{
		{"named", estimate("sweep", "run"), Worthy, "The model expects about +0.07 m/s (0.03 to 0.11) if sweep", "sweep"},
		{"tempo named", estimate("tempo", "run"), Worthy, "The model expects about", "tempo"},
		{"none against a run", estimate("none", "run"), plain.Kind, "No single quality stands out", plain.Quality},
		{"none by steps", estimate("none", "step"), plain.Kind, plain.Sentence, plain.Quality},
		{"refused", &worth.Result{Limiter: "none", Refused: true, Reference: "run", Reason: "The run touches the wall."}, plain.Kind, plain.Sentence, plain.Quality},
	} {
		in.Worth = c.worth
		f := Find(in)
		if f.Kind != c.kind || !strings.HasPrefix(f.Sentence, c.begins) || f.Quality != c.quality || f.WorthWhy != c.worth.Reason {
			t.Errorf("%s: %s, %q, %s, %q", c.name, f.Kind, f.Sentence, f.Quality, f.WorthWhy)
		}
		if (f.Practice == "facing") != (c.kind == Worthy) || (c.kind == Worthy && f.Evidence.Kick == 0) {
			t.Errorf("%s: practise %q, evidence %+v", c.name, f.Practice, f.Evidence)
		}
	}
	in.Worth = estimate("sweep", "run")
	in.Now.Result.Verdicts, in.Now.Result.Counted = false, 2
	if f := Find(in); f.Kind != TooFew || f.Practice != "" {
		t.Errorf("two kicks: %s, %s", f.Kind, f.Sentence)
	}
}

func TestFindSaysWhyWorthIsMissing(t *testing.T) {
	in := Input{Now: Run{ID: "r", Result: result(nil)}}
	for want, w := range map[string]*worth.Result{
		"is not estimated.":          nil,
		"The run touches the wall.":  {Limiter: "none", Refused: true, Reason: "The run touches the wall."},
		"Name one as the reference.": estimate("none", "step"),
		"":                           estimate("none", "run"),
	} {
		in.Worth = w
		text := strings.Join(Find(in).CannotTell, " ")
		if want == "" && strings.Contains(text, "not estimated") || !strings.Contains(text, want) {
			t.Errorf("want %q in %q", want, text)
		}
	}
}

func TestWorthOf(t *testing.T) {
	if l, ok := WorthOf(estimate("sweep", "run"), "Build"); !ok || l.Quality != worth.Build {
		t.Errorf("%+v %v", l, ok)
	}
	for _, w := range []*worth.Result{nil, {Refused: true}} {
		if _, ok := WorthOf(w, "facing"); ok {
			t.Error("a line without an estimate")
		}
	}
}
