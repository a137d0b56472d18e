package limit

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick"
)

var junior = Person{BirthYear: 2015, Sex: body.Female, Level: "club"}

func TestFindTooFewKicks(t *testing.T) {
	for _, c := range []struct {
		counted int
		want    string
	}{
		{0, "No whole kick is seen; film at least three kicks from toe top to toe top."},
		{1, "One whole kick is too few for a finding; film three or more."},
		{2, "Two whole kicks are too few for a finding; film three or more."},
		{4, "The speed falls from kick to kick; film three kicks at steady speed for a finding."},
	} {
		r := result(map[string]float64{"knee_flexion_max": 130})
		r.Verdicts, r.Counted, r.Kicks = false, c.counted, r.Kicks[:c.counted]
		f := Find(Input{Now: run("a", "v", "", r), Person: junior, Year: 2026})
		if f.Kind != TooFew || f.Sentence != c.want || f.Quality != "" {
			t.Errorf("%d kicks: %s, %q; want %q", c.counted, f.Kind, f.Sentence, c.want)
		}
		if c.counted == 0 && f.Evidence.Kick != 0 {
			t.Errorf("evidence names kick %d of none", f.Evidence.Kick)
		}
	}
}

func TestFindNothingStandsOut(t *testing.T) {
	f := Find(Input{Now: run("a", "v", "", result(nil)), Person: Person{BirthYear: 2000, Sex: body.Male, Level: National}, Year: 2026})
	if f.Kind != NoneOut || f.Sentence != "No single quality stands out: 1.40 m/s (1.36 to 1.43) at 2.10 kicks per second and 0.52 m of toe travel." || f.Quality != "" {
		t.Errorf("%s: %q, quality %q", f.Kind, f.Sentence, f.Quality)
	}
	if f.Evidence.Kick == 0 || len(f.Evidence.Moments) != 4 || f.Evidence.Curve != CurveFootSpeed {
		t.Errorf("evidence %+v", f.Evidence)
	}
	if len(f.Flags) > 0 || f.Doubt != "" {
		t.Errorf("an ordinary run is flagged: %v", f.Flags)
	}
	if len(f.Qualities) != 3 {
		t.Fatalf("%d qualities", len(f.Qualities))
	}
	for _, q := range f.Qualities {
		if q.Down.Words == "" || q.Up.Words == "" || len(q.Down.Numbers) == 0 || len(q.Up.Numbers) == 0 || q.Down.Kick != 3 {
			t.Errorf("%s: %+v", q.Name, q)
		}
	}
	if w := f.Qualities[0].Down.Words; w != "While they are fast in the downkick, 25 % of foot and shank faces back. That is 330 cm². Only the foot can be turned by itself; the shank follows the sweep." {
		t.Errorf("facing: %q", w)
	}
}

// 95 deg of knee flexion with a band of 4 deg lies above 71.37 + 2 x 9.15 =
// 89.67 deg of Wądrzyk et al. 2017 (girls and boys of 11-12 years).
func TestFindOutsideThePublishedRange(t *testing.T) {
	r := result(map[string]float64{"knee_flexion_max": 95, "speed": 0.75, "strouhal": 0.9, "toe_amplitude": 0.45, "frequency_amplitude": 0.9})
	f := Find(Input{Now: run("a", "v", "", r), Person: junior, Year: 2026})
	if f.Kind != OutOfLine || f.Evidence.Measure != "knee_flexion_max" || f.Evidence.Curve != CurveKnee {
		t.Fatalf("%s: %q, evidence %+v", f.Kind, f.Sentence, f.Evidence)
	}
	if want := " is above what is published for swimmers of 11-12 years: 95° (93 to 97); published 53 to 90°."; !strings.HasSuffix(f.Sentence, want) {
		t.Errorf("%q does not end in %q", f.Sentence, want)
	}
	// Speed is lower than any published range for the age, but an outcome: it
	// is shown so, and not named as what to look at.
	for _, c := range f.Context {
		if c.Measure.ID == "speed" && c.Standing != Below {
			t.Errorf("speed 0.75: standing %d", c.Standing)
		}
	}
	// The same knee in a swimmer for whom nothing is published.
	for _, p := range []Person{{BirthYear: 2012, Sex: body.Female}, {BirthYear: 1990, Level: "club"}, {}} {
		if f := Find(Input{Now: run("a", "v", "", r), Person: p, Year: 2026}); f.Kind != NoneOut {
			t.Errorf("%+v: %s: %q", p, f.Kind, f.Sentence)
		}
	}
	// 130 deg is hardly possible: it is flagged, not named.
	odd := result(map[string]float64{"knee_flexion_max": 130})
	if f := Find(Input{Now: run("a", "v", "", odd), Person: junior, Year: 2026}); f.Kind != NoneOut || !strings.Contains(f.Doubt, "check the marks of hip, knee and ankle") {
		t.Errorf("knee 130: %s, %q, doubt %q", f.Kind, f.Sentence, f.Doubt)
	}
	// A doubtful number is not named.
	set(r, "knee_flexion_max", func(m *kick.Measure) { m.Reasons = []kick.Reason{{Code: "camera-yaw", Text: "Turned."}} })
	if f := Find(Input{Now: run("a", "v", "", r), Person: junior, Year: 2026}); f.Kind != NoneOut {
		t.Errorf("doubtful knee: %s: %q", f.Kind, f.Sentence)
	}
}

func TestFindChangedAgainstOwnHistory(t *testing.T) {
	now := result(map[string]float64{"facing": 0.12, "speed": 1.0, "knee_flexion_max": 105})
	in := Input{Now: run("a", "v2", "9 June 2026", now), Own: []Run{run("b", "v1", "3 May 2026", result(nil))}, Person: junior, Year: 2026}
	f := Find(in)
	if f.Kind != Changed || f.Quality != "facing" || f.Word != "facing lower" {
		t.Fatalf("%s: %q (%s)", f.Kind, f.Sentence, f.Quality)
	}
	if want := "Facing in the downkick is lower than on 3 May 2026: 12 % (12 to 12) now, 25 % then."; f.Sentence != want {
		t.Errorf("%q, want %q", f.Sentence, want)
	}
	if f.Evidence.Measure != "facing" || f.Evidence.Curve != CurveFacing || strings.Join(f.Evidence.Moments, " ") != "drive fastest" {
		t.Errorf("evidence %+v", f.Evidence)
	}
	if len(f.Qualities[0].Change) != 2 || len(f.Qualities[1].Change) != 1 {
		t.Errorf("changes of the qualities: %+v", f.Qualities)
	}
	own := f.Qualities[0].Down.Numbers[0].Own
	if len(own) != 1 || own[0].Value != 0.25 || !own[0].Alike || own[0].When != "3 May 2026" {
		t.Errorf("own history %+v", own)
	}
	all := strings.Join(f.CannotTell, "\n")
	if !strings.Contains(all, "8.92 % is borrowed from skilled men (Connaboy et al. 2010); facing and build were not measured there") {
		t.Errorf("the borrowed error is not told:\n%s", all)
	}
	// Unequal effort: no verdict, and the range decides.
	in.Own[0].Conditions.Effort = "easy"
	if f = Find(in); f.Kind != OutOfLine || len(f.Changes) > 0 || !strings.Contains(strings.Join(f.NoChanges, " "), "The effort differs") {
		t.Errorf("unequal effort: %s, %q, %q", f.Kind, f.Sentence, f.NoChanges)
	}
	if own := f.Qualities[0].Down.Numbers[0].Own; len(own) != 1 || own[0].Alike {
		t.Errorf("an unlike run counts as alike: %+v", own)
	}
}

func TestFindNothingToJudgeBy(t *testing.T) {
	r := result(nil)
	f := Find(Input{Now: run("a", "v", "", r), Person: Person{BirthYear: 2012}, Year: 2026})
	if want := "Nothing to judge by yet: 1.40 m/s (1.36 to 1.43) at 2.10 kicks per second and 0.52 m of toe travel."; f.Sentence != want {
		t.Errorf("%q, want %q", f.Sentence, want)
	}
	set(r, "speed", func(m *kick.Measure) { m.Value = math.NaN() })
	f = Find(Input{Now: run("a", "v", "", r), Person: Person{BirthYear: 2012}, Year: 2026})
	if want := "Nothing to judge by yet."; f.Sentence != want {
		t.Errorf("%q, want %q", f.Sentence, want)
	}
}

func TestFindSpeedAloneIsNoQuality(t *testing.T) {
	now := result(map[string]float64{"speed": 0.9})
	f := Find(Input{Now: run("a", "v2", "", now), Own: []Run{run("b", "v1", "3 May", result(nil))}, Person: Person{}, Year: 2026})
	if f.Changes[0].Measure != "speed" || f.Changes[0].Verdict != Lower {
		t.Errorf("speed: %+v", f.Changes[0])
	}
	if f.Kind != NoneOut || f.Quality != "" {
		t.Errorf("%s: %q", f.Kind, f.Sentence)
	}
}

// Check 14 of the reference notes (a8, after Matsuura et al. 2020): 1.9 Hz,
// 0.45 m and 1.8 m/s give St 0.475 and 0.947 m per kick and must be flagged.
func TestImplausibleCheck14(t *testing.T) {
	const f, a, u = 1.9, 0.45, 1.8
	st, length := f*a/u, u/f
	if math.Abs(st-0.475) > 0.001 || math.Abs(length-0.947) > 0.001 {
		t.Fatalf("St %.4f, %.4f m per kick", st, length)
	}
	r := result(map[string]float64{"kick_frequency": f, "toe_amplitude": a, "speed": u, "strouhal": st, "kick_length": length})
	find := Find(Input{Now: run("a", "v", "", r), Year: 2026})
	if len(find.Flags) != 1 || find.Flags[0].Measure != "strouhal" {
		t.Fatalf("flags %v", find.Flags)
	}
	if want := "Strouhal number 0.475 and 0.95 m per kick: faster than the kick explains. Check for push-off speed."; find.Doubt != want {
		t.Errorf("%q, want %q", find.Doubt, want)
	}
}

// The spans of hydrodynamics.md, section 12; the published means of every group
// lie inside.
func TestImplausibleSpans(t *testing.T) {
	for id, edge := range map[string][2]float64{
		"kick_frequency": {1.5, 3.0}, "toe_amplitude": {0.30, 0.70}, "strouhal": {0.55, 1.15}, "speed": {0.7, 2.2},
		"knee_flexion_max": {45, 110}, "ankle_range": {34, 64}, "downkick_share": {0.40, 0.55},
	} {
		for _, inside := range edge {
			if flags := Implausible(result(map[string]float64{id: inside})); len(flags) > 0 {
				t.Errorf("%s = %g is flagged: %v", id, inside, flags)
			}
		}
		for _, outside := range []float64{edge[0] * 0.98, edge[1] * 1.02} {
			r := result(map[string]float64{id: outside})
			set(r, id, func(m *kick.Measure) { m.Low, m.High = outside, outside })
			if flags := Implausible(r); len(flags) != 1 || flags[0].Measure != id {
				t.Errorf("%s = %g: flags %v", id, outside, flags)
			}
		}
		if flags := Implausible(result(map[string]float64{id: math.NaN()})); len(flags) > 0 {
			t.Errorf("%s without a value is flagged: %v", id, flags)
		}
	}
	near := result(map[string]float64{"ankle_range": 33})
	set(near, "ankle_range", func(m *kick.Measure) { m.Low, m.High = 29, 37 })
	if flags := Implausible(near); len(flags) > 0 {
		t.Errorf("an ankle range whose band reaches the span is flagged: %v", flags)
	}
	for length, want := range map[float64]int{0.95: 0, 0.97: 1} {
		if flags := Implausible(result(map[string]float64{"kick_length": length})); len(flags) != want {
			t.Errorf("%.2f m per kick: flags %v", length, flags)
		}
	}
	for _, row := range Rows() {
		if row.Measure == "kick_length" && row.Mean+2*row.SD > kickLengthHigh {
			t.Errorf("the published %s is called unusual", row.ID)
		}
		for _, b := range bounds {
			if row.Measure == b.measure && row.Mean > 0 && (row.Mean < b.low || row.Mean > b.high) {
				t.Errorf("the published mean of %s, %g, is called unusual", row.ID, row.Mean)
			}
		}
	}
}

// manyFindings goes through every kind of finding for every kind of swimmer.
func manyFindings() []*Finding {
	var all []*Finding
	people := []Person{
		{},
		junior,
		{BirthYear: 2012},
		{BirthYear: 2010, Sex: body.Male},
		{BirthYear: 1999, Level: National, Sex: body.Female},
		{BirthYear: 1999, Level: National},
		{BirthYear: 1999, Level: International, Sex: body.Male},
		{BirthYear: 1999, Level: "club"},
	}
	bent := result(map[string]float64{"knee_flexion_max": 105})
	odd := result(map[string]float64{"knee_flexion_max": 130, "strouhal": 0.4, "speed": 2.5, "downkick_share": 0.7, "ankle_range": 20, "toe_amplitude": 0.2, "kick_frequency": 4, "facing": 0.05})
	slow := result(map[string]float64{"strouhal": 1.5, "build": 1.9})
	few := result(nil)
	few.Verdicts, few.Counted = false, 1
	lost := result(nil)
	for _, id := range []string{"facing", "facing_upkick", "sweep", "sweep_upkick", "build", "build_upkick"} {
		set(lost, id, func(m *kick.Measure) {
			m.Value, m.Low, m.High = math.NaN(), math.NaN(), math.NaN()
			m.Reasons = []kick.Reason{{Code: "missing-landmark", Text: "It needs the knee, which is not marked.", Withheld: true}}
		})
	}
	unlike := run("u", "v0", "1 April 2026", result(nil))
	unlike.Conditions = Conditions{Effort: "easy", Start: "dive", Position: "supine", Equipment: "fins"}
	for _, p := range people {
		for _, r := range []*kick.Result{result(nil), bent, odd, slow, few, lost} {
			for _, own := range [][]Run{nil, {run("b", "v1", "3 May 2026", result(nil))}, {unlike}} {
				now := run("a", "v2", "9 June 2026", r)
				now.Conditions.Start = "push-off"
				if len(own) > 0 && own[0].ID == "b" {
					own[0].Conditions.Start = "push-off"
				}
				all = append(all, Find(Input{Now: now, Own: own, Person: p, Year: 2026}))
				supine := now
				supine.Conditions.Position = "supine"
				all = append(all, Find(Input{Now: supine, Own: own, Person: p, Year: 2026}))
			}
		}
	}
	return all
}

// texts returns everything of a finding that a person reads.
func texts(f *Finding) []string {
	all := []string{f.Sentence, f.Word, f.Rule, f.Doubt, f.GroupNote}
	all = append(all, f.CannotTell...)
	all = append(all, f.Cautions...)
	all = append(all, f.NoChanges...)
	for _, q := range f.Qualities {
		all = append(all, q.Down.Words, q.Up.Words)
		for _, c := range q.Change {
			all = append(all, c.Why...)
		}
	}
	for _, fl := range f.Flags {
		all = append(all, fl.Text)
	}
	for _, c := range f.Context {
		all = append(all, c.Words)
	}
	return all
}

// No force, no power, no efficiency as a fact, no praise, no blame, no
// exclamation, no claim of a cause.
var forbidden = regexp.MustCompile(`(?i)\b\d[\d.]* ?(N|W|N·s|Ns|watts?|newtons?)\b|!|\b(good|great|excellent|well done|bad|poor|wrong|weak|fault|mistake|must improve|limiter|holds you back|injur|health)\w*|NaN|%!`)

func TestWordingHoldsTheRules(t *testing.T) {
	kinds := map[Kind]int{}
	for _, f := range manyFindings() {
		kinds[f.Kind]++
		for _, text := range texts(f) {
			if bad := forbidden.FindString(text); bad != "" {
				t.Fatalf("%q in %q", bad, text)
			}
			for _, s := range sentences(text) {
				if n := len(strings.Fields(s)); n > 32 {
					t.Fatalf("a sentence of %d words: %q", n, s)
				}
			}
		}
		if n := len(strings.Fields(f.Sentence)); n == 0 || n > 24 || strings.Count(f.Sentence, ". ") > 0 || !strings.HasSuffix(f.Sentence, ".") {
			t.Fatalf("the finding is not one short sentence: %q", f.Sentence)
		}
		if n := len(strings.Fields(f.Word)); n == 0 || n > 8 {
			t.Fatalf("word %q", f.Word)
		}
		if f.Rule == "" || !contains(f.CannotTell, "worth in speed is not estimated") {
			t.Fatalf("rule %q, cannot tell %q", f.Rule, f.CannotTell)
		}
	}
	for _, k := range []Kind{TooFew, Changed, OutOfLine, NoneOut} {
		if kinds[k] == 0 {
			t.Errorf("no finding of kind %q was tried: %v", k, kinds)
		}
	}
}

func contains(list []string, part string) bool {
	return strings.Contains(strings.Join(list, "\n"), part)
}

// sentences cuts a text at full stops, and leaves out what stands in brackets
// (citations) and lists of published values.
func sentences(text string) []string {
	text = regexp.MustCompile(`\([^)]*\)`).ReplaceAllString(text, "")
	return regexp.MustCompile(`[.:;] `).Split(text, -1)
}

func TestFindSaysWhatItCannotTell(t *testing.T) {
	r := result(nil)
	for _, id := range []string{"facing", "facing_foot"} {
		set(r, id, func(m *kick.Measure) {
			m.Value = math.NaN()
			m.Reasons = []kick.Reason{{Code: "missing-landmark", Text: "It needs the ankle, which is not marked.", Withheld: true}}
		})
	}
	in := Input{Now: run("a", "v", "", r), Person: Person{BirthYear: 2012}, Year: 2026}
	f := Find(in)
	for _, want := range []string{
		"It needs the ankle, which is not marked.", "No earlier visit of this swimmer is measured.",
		"Nothing is published for 13 to 15 years", "Nothing is published on facing and build",
	} {
		if !contains(f.CannotTell, want) {
			t.Errorf("%q does not say %q", f.CannotTell, want)
		}
	}
	if strings.Count(strings.Join(f.CannotTell, "\n"), "It needs the ankle") != 1 {
		t.Errorf("one reason is told twice: %q", f.CannotTell)
	}
	if !strings.Contains(f.Qualities[0].Down.Words, "cannot be told") {
		t.Errorf("facing without a value: %q", f.Qualities[0].Down.Words)
	}
	in.Person = junior
	in.Person.Sex = body.SexUnknown
	in.Now.Conditions.Start, in.Now.Conditions.Position = "dive", "supine"
	f = Find(in)
	if !contains(f.CannotTell, "State the sex.") || !contains(f.Cautions, "The run began with a dive.") || !contains(f.Cautions, "Kicking on the back") {
		t.Errorf("cannot tell %q, cautions %q", f.CannotTell, f.Cautions)
	}
}

func TestFindNeedsAResult(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("Find takes a run without a result")
		}
	}()
	Find(Input{})
}
