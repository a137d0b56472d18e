package limit_test

import (
	"math"
	"slices"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/kick/kicktest"
	"underkick/internal/limit"
)

var conditions = limit.Conditions{Effort: "max", Start: "still", Position: "prone", MarkedBy: "R. Ashdown"}

// measure films the swimmer for three seconds at 120 pictures per second, with
// the default errors of marking and scale.
func measure(t *testing.T, s kicktest.Swimmer) *kick.Result {
	t.Helper()
	times := make([]float64, 360)
	for i := range times {
		times[i] = float64(i) / 120
	}
	r, err := kick.MeasureRun(t.Context(), s.Fitted(times), s.Subject, kick.Options{Seed: 1, Draws: 60})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A known swimmer, from landmarks to the sentence: the evidence names a counted
// kick and moments that this kick has, and the speed in the sentence is the true
// one.
func TestFromLandmarksToTheFinding(t *testing.T) {
	s := kicktest.Reference()
	r := measure(t, s)
	f := limit.Find(limit.Input{
		Now:    limit.Run{ID: "a", Visit: "v", Conditions: conditions, Result: r},
		Person: limit.Person{BirthYear: 2000, Sex: body.Male, Level: limit.National}, Year: 2026,
	})
	if f.Kind != limit.NoneOut || len(f.Flags) > 0 {
		t.Errorf("%s: %q, flags %v", f.Kind, f.Sentence, f.Flags)
	}
	check := func(what string, number int, moments []string) {
		i := slices.IndexFunc(r.Kicks, func(k kick.Kick) bool { return k.Number == number && k.Counted })
		if i < 0 {
			t.Errorf("%s: kick %d is not among the counted ones", what, number)
			return
		}
		for _, name := range moments {
			if !slices.ContainsFunc(r.Kicks[i].Moments.List(), func(m kick.Moment) bool { return m.Name == name }) {
				t.Errorf("%s: kick %d has no moment %q", what, number, name)
			}
		}
	}
	check("finding", f.Evidence.Kick, f.Evidence.Moments)
	for _, q := range f.Qualities {
		check(q.Name, q.Down.Kick, q.Down.Moments)
		check(q.Name+" up", q.Up.Kick, q.Up.Moments)
		for _, c := range append(q.Down.Numbers, q.Up.Numbers...) {
			if !c.Measure.Known() || len(c.Measure.Reasons) > 0 {
				t.Errorf("%s of a full, clean run: %+v", c.Name, c.Measure)
			}
		}
	}
	for _, c := range f.Context {
		if c.Measure.ID == "speed" {
			if math.Abs(c.Measure.Value-s.Speed) > 0.01*s.Speed || c.Standing != limit.Within {
				t.Errorf("speed %.3f (true %.3f), standing %d", c.Measure.Value, s.Speed, c.Standing)
			}
		}
	}
}

// Sections 6 and 7 of the model's description: turning the foot 10 degrees and
// more out of its position takes facing away. 20 degrees of extra dorsiflexion
// at the same kick must come out as lower facing, and the same kick again as no
// change.
func TestFlatFootAgainstTheSwimmersOwnRun(t *testing.T) {
	before := limit.Run{ID: "a", Visit: "v1", When: "3 May 2026", Conditions: conditions, Result: measure(t, kicktest.Reference())}
	again := limit.Run{ID: "b", Visit: "v2", When: "9 June 2026", Conditions: conditions, Result: measure(t, kicktest.Reference())}
	f := limit.Find(limit.Input{Now: again, Own: []limit.Run{before, again}})
	if f.Kind != limit.NoneOut || len(f.Changes) == 0 {
		t.Errorf("the same kick again: %s: %q", f.Kind, f.Sentence)
	}
	for _, c := range f.Changes {
		if c.Verdict != limit.NoChange {
			t.Errorf("the same kick again: %+v", c)
		}
	}
	flat := kicktest.Reference()
	flat.Joints[body.AnkleJoint].Mean += 20 * math.Pi / 180
	now := again
	now.Result = measure(t, flat)
	f = limit.Find(limit.Input{Now: now, Own: []limit.Run{before, now}})
	if f.Kind != limit.Changed || f.Quality != "facing" {
		t.Errorf("flat foot: %s: %q; changes %+v", f.Kind, f.Sentence, f.Changes)
	}
}

// A swimmer who is carried along further per kick than anything published is
// flagged.
func TestSpeedOfAPushOffIsFlagged(t *testing.T) {
	s := kicktest.Reference()
	s.Frequency, s.Speed = 1.9, 2.1
	f := limit.Find(limit.Input{Now: limit.Run{Result: measure(t, s), Conditions: conditions}})
	if len(f.Flags) == 0 || f.Flags[0].Measure != "kick_length" || f.Doubt == "" {
		t.Errorf("flags %v, doubt %q", f.Flags, f.Doubt)
	}
}
