package web

import (
	"context"
	"net/url"
	"slices"
	"testing"
	"time"

	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

func (f *fixture) PracticeLibrary(_ context.Context, serves record.Serves) (poolside.PracticeView, error) {
	return poolside.OurLibrary(serves)
}

func (f *fixture) PracticeFor(_ context.Context, runID string, opt poolside.PracticeOptions) (poolside.PracticeView, error) {
	if runID != f.run.ID {
		return poolside.PracticeView{}, poolside.ErrNotFound
	}
	view := poolside.PracticeView{
		Swimmer: f.swimmer, Name: f.swimmer.Name, Run: f.run, Sentence: "Facing fell.", For: "The finding names facing.", Cautions: poolside.PracticeCautions(),
		From: "2026-05-04", Weeks: 5, RetestOn: "2026-06-08", By: "R. Alder", Equipment: []string{"mat", "snorkel"}, Without: opt.Without, Now: f.given(),
	}
	need := practice.Need{Serves: record.ServesFacing, Age: 10, DryLand: opt.DryLand, Without: opt.Without, Now: []string{"two-and-two"}}
	view.Choices, view.LeftOut = practice.Choose(practice.Library(), need)
	for _, d := range practice.Library()[15:] {
		never, against := practice.Against(d, need)
		view.Others = append(view.Others, poolside.OtherDrill{Drill: d, Never: never, Against: against})
	}
	return view, nil
}

// given is what the fixture's swimmer practises.
func (f *fixture) given() []record.Given {
	for _, d := range practice.Library() {
		if d.ID == "two-and-two" {
			return []record.Given{{
				ID: "g1", SwimmerID: "w1", RunID: "r1", DrillID: d.ID, Drill: d, Amount: d.Doses[0], Dose: d.Doses[0].String(), From: "2026-05-04", Weeks: 5, RetestOn: "2026-06-08",
				Chosen: record.ByRule, Why: "Serves facing.", Notes: "lane 2 <left>", GivenBy: "R. Alder", By: "R. Alder", Seq: 2, At: time.Date(2026, 5, 6, 9, 0, 0, 0, time.UTC),
			}}
		}
	}
	return nil
}

func (f *fixture) Give(_ context.Context, in poolside.Giving) ([]record.Given, error) {
	f.gave = append(f.gave, in)
	switch {
	case len(in.Drills) == 0:
		return nil, record.Faults{{Field: "drills", Text: "is empty; choose at least one drill"}}
	case in.Why == "" && in.RunID == "":
		return nil, record.Faults{{Field: "why", Text: "is empty; say why"}}
	}
	return f.given(), nil
}

func (f *fixture) Practising(_ context.Context, id string) (poolside.PractisingView, error) {
	if id != f.swimmer.ID {
		return poolside.PractisingView{}, poolside.ErrNotFound
	}
	g := f.given()[0]
	first, past := g, g
	first.Seq, first.Weeks, first.At = 1, 4, first.At.AddDate(0, 0, -2)
	past.ID, past.Ended = "g0", "2026-05-01"
	return poolside.PractisingView{
		Swimmer: f.swimmer, Name: f.swimmer.Name, Today: "2026-05-20", Weeks: 5, By: "R. Alder", LastRun: "r1", Drills: practice.Library(), Cautions: poolside.PracticeCautions(),
		Now:  []poolside.GivenView{{Given: g, Week: 3, WeekDose: g.Amount, WeekSays: "All of it.", DaysLeft: 19, Versions: []record.Given{first, g}}},
		Past: []poolside.GivenView{{Given: past, DaysLeft: 19, Outcome: poolside.Outcome{Words: "Retested on 3 May 2026: no change shown in facing."}}},
	}, nil
}

func (f *fixture) ChangeGiven(_ context.Context, id string, c poolside.GivenChange) (record.Given, error) {
	if *c.Repeats > 8 {
		return record.Given{}, record.Faults{{Field: "dose", Text: "is more than this drill gives at this age"}}
	}
	f.changed = append(f.changed, c)
	return f.alter(id)
}

func (f *fixture) alter(id string) (record.Given, error) {
	if id != "g1" {
		return record.Given{}, poolside.ErrNotFound
	}
	return f.given()[0], nil
}

func (f *fixture) EndGiven(_ context.Context, id string, on record.Date, _ string) (record.Given, error) {
	if on != "" && on < "2026-05-04" {
		return record.Given{}, record.Faults{{Field: "ended", Text: "is before the first day"}}
	}
	return f.alter(id)
}

func (f *fixture) RemoveGiven(_ context.Context, id, _ string) (record.Given, error) {
	return f.alter(id)
}

func (f *fixture) GivenAgain(_ context.Context, id string, _ int64, _ string) (record.Given, error) {
	return f.alter(id)
}

func (f *fixture) RetestsDue(context.Context, string) ([]poolside.RetestDue, error) {
	return []poolside.RetestDue{{SwimmerID: "w1", Name: f.swimmer.Name, On: "2026-06-08", DaysLeft: 19, Drills: []string{"Two flat, two long"}}, {SwimmerID: "w2", Name: "Otter", On: "2026-05-01", DaysLeft: -19}}, nil
}

func (f *fixture) Session(_ context.Context, squadID string, on record.Date, swimmers []string) (poolside.SessionView, error) {
	if squadID != "q1" {
		return poolside.SessionView{}, poolside.ErrNotFound
	}
	g := f.given()[0]
	return poolside.SessionView{
		Squad: f.squads[0], On: "2026-05-20", Cautions: poolside.PracticeCautions(), Equipment: []practice.Kit{{Name: "snorkel", For: 2}}, Idle: []string{"Otter"},
		Swimmers: []poolside.SessionSwimmer{{ID: "w1", Name: f.swimmer.Name, Chosen: true, Stations: []int{1}}, {ID: "w2", Name: "Otter", Chosen: len(swimmers) != 1}},
		Stations: []poolside.SessionStation{{Number: 1, Drill: g.Drill, Rows: []poolside.SessionRow{{Names: []string{f.swimmer.Name}, Dose: g.Dose, Notes: []string{"Mira Okonjo: lane 2"}}}}},
	}, nil
}

func (f *fixture) ownDrill() record.OwnDrill {
	d := f.given()[0].Drill
	d.ID, d.Title = "own-1", "Two and two, my way"
	return record.OwnDrill{Drill: d, CopyOf: "two-and-two", Seq: 2, At: time.Date(2026, 5, 6, 9, 0, 0, 0, time.UTC)}
}

func (f *fixture) OwnDrills(context.Context) (poolside.OwnDrillsView, error) {
	retired := f.ownDrill()
	retired.ID, retired.Title, retired.Retired = "own-2", "An older one", true
	return poolside.OwnDrillsView{Own: []record.OwnDrill{f.ownDrill(), retired}, Ours: practice.Library(), Cautions: poolside.PracticeCautions()}, nil
}

func (f *fixture) OurDrill(id string) (record.Drill, error) { return (*poolside.App)(nil).OurDrill(id) }

func (f *fixture) DrillVersions(_ context.Context, id string) ([]record.OwnDrill, error) {
	if id != "own-1" {
		return nil, poolside.ErrNotFound
	}
	first := f.ownDrill()
	first.Seq, first.Title = 1, "Two and two, as it was"
	return []record.OwnDrill{first, f.ownDrill()}, nil
}

func (f *fixture) KeepDrill(_ context.Context, o record.OwnDrill) (record.OwnDrill, error) {
	if o.ID == "" {
		o.ID = "own-3"
	}
	f.keptDrill = o
	return o, o.Validate()
}

func (f *fixture) RetireDrill(_ context.Context, id string, _ bool, _ string) error {
	if id != "own-1" {
		return poolside.ErrNotFound
	}
	return nil
}

// always stands on every page of practice.
var always = []string{"blackout", "lifeguard", "no forcing", "stop at pain", "local law come first"}

var practiceScenarios = []scenario{
	{name: "library", path: "/practice", status: 200, must: append([]string{"Finish in front", "Quiet hands", `href="/measures#facing_foot"`, "common practice, no source", `href="/squad/q1/session"`, `href="/practice/own"`}, always...), mustNot: []string{`type="checkbox"`}},
	{name: "library of one", path: "/practice?serves=tempo", status: 200, must: append([]string{"Tempo ladder"}, always...), mustNot: []string{"Finish in front"}},
	{name: "library of nothing", path: "/practice?serves=gills", status: 422},
	{name: "practice for a finding", path: "/run/r1/practice", status: 200, must: append([]string{
		"Facing fell.", "The finding names facing.", "Serves facing", "Point late", "left out: they are for swimmers older than 10", "Two flat, two long is left out: it is practised now",
		"Practised now: Two flat, two long (retest 8 June 2026)", `name="drill" value="point-late" form="give"`, `value="2026-05-04"`, "That is 8 June 2026", `<option value="quiet-hands">Quiet hands (streamline, under water): serves streamline, not facing</option>`, `<option value="squat-jump" disabled>Low jump from a half squat (build, on dry land): is for swimmers from 13 on; this one is 10</option>`, `action="/run/r1/practice"`,
	}, always...), mustNot: []string{"Kneel and lean", "checked", `id="wrong-`}},
	{name: "practice on dry land", path: "/run/r1/practice?place=dry&without=mat", status: 200, must: append([]string{"Sit long and point", `action="/run/r1/practice?place=dry&amp;without=mat"`, `value="mat" checked`}, always...), mustNot: []string{`name="drill" value="point-late"`}},
	{name: "practice for no run", path: "/run/zz/practice", status: 404},
	{
		name: "given for a finding", method: "POST", path: "/run/r1/practice?place=dry&without=mat", form: url.Values{"drill": {"point-late", "edge-push"}, "other": {"quiet-hands"}, "weeks": {"6"}, "from": {"2026-05-04"}, "why": {"asks for it"}, "by": {" R. Alder "}}, status: 303, location: "/swimmer/w1/practice",
		afterwards: func(t *testing.T, f *fixture) {
			if in := f.gave[0]; !slices.Equal(in.Drills, []string{"point-late", "edge-push", "quiet-hands"}) || in.Weeks != 6 || in.RunID != "r1" || in.Why != "asks for it" || in.By != "R. Alder" || !in.Options.DryLand || !slices.Equal(in.Options.Without, []string{"mat"}) {
				t.Errorf("given %+v", in)
			}
		},
	},
	{name: "nothing ticked", method: "POST", path: "/run/r1/practice", form: url.Values{"weeks": {"4"}, "notes": {"lane 3"}, "by": {"R. Alder"}}, status: 422, must: append([]string{"is empty; choose at least one drill", `value="4"`, `value="lane 3"`}, always...)},
	{name: "weeks that are none", method: "POST", path: "/run/r1/practice", form: url.Values{"drill": {"point-late"}, "weeks": {"five"}, "by": {"R. Alder"}}, status: 422, must: []string{`id="wrong-weeks"`, `value="five"`, `value="point-late" form="give" aria-labelledby="title-point-late" checked`}},
	{name: "what is practised", path: "/swimmer/w1/practice", status: 200, must: append([]string{
		"Practice of Mira Okonjo", "Two flat, two long", "Retest on 8 June 2026", "19 days left", "lane 2 &lt;left&gt;", "Given by R. Alder.", `name="by" autocomplete="name" maxlength="120" required value="R. Alder"`, "This week", `href="/swimmer/w1/practice/weeks"`, "4 weeks from", "Back to this", "no change shown in facing", "Serves facing.", `href="/run/r1/practice"`, `name="retest_was" value="2026-06-08"`,
	}, always...)},
	{name: "practice of nobody", path: "/swimmer/zz/practice", status: 404},
	{name: "given without a finding", method: "POST", path: "/swimmer/w1/practice", form: url.Values{"other": {"quiet-hands"}, "why": {"to try"}, "by": {"R. Alder"}}, status: 303, location: "/swimmer/w1/practice"},
	{name: "given without a reason", method: "POST", path: "/swimmer/w1/practice", form: url.Values{"other": {"quiet-hands"}, "by": {"R. Alder"}}, status: 422, must: append([]string{`id="wrong-why"`, `value="quiet-hands" selected`}, always...)},
	{name: "given by nobody", method: "POST", path: "/swimmer/w1/practice", form: url.Values{"other": {"quiet-hands"}, "why": {"to try"}, "by": {" "}}, status: 422, must: append([]string{`id="wrong-by"`, "say who gives it", `value="quiet-hands" selected`}, always...)},
	{name: "changed practice", method: "POST", path: "/given/g1/change", form: url.Values{"swimmer": {"w1"}, "repeats": {"3"}, "each": {"4"}, "per_week": {"2"}, "weeks": {"6"}, "retest_on": {"2026-06-08"}, "retest_was": {"2026-06-08"}, "notes": {"x"}, "by": {"B. Lane"}}, status: 303, location: "/swimmer/w1/practice#g1", afterwards: func(t *testing.T, f *fixture) {
		if c := f.changed[0]; *c.Weeks != 6 || c.RetestOn != nil || *c.Repeats != 3 || *c.Notes != "x" || c.By != "B. Lane" {
			t.Errorf("changed %+v", c)
		}
	}},
	{name: "retest moved by hand", method: "POST", path: "/given/g1/change", form: url.Values{"swimmer": {"w1"}, "repeats": {"3"}, "retest_on": {"2026-06-10"}, "retest_was": {"2026-06-08"}}, status: 303, location: "/swimmer/w1/practice#g1", afterwards: func(t *testing.T, f *fixture) {
		if c := f.changed[0]; c.RetestOn == nil || *c.RetestOn != "2026-06-10" {
			t.Errorf("changed %+v", c)
		}
	}},
	{name: "too much", method: "POST", path: "/given/g1/change", form: url.Values{"swimmer": {"w1"}, "repeats": {"9"}}, status: 422, must: append([]string{"is more than this drill gives at this age", "<details class=\"screen-only\" open>"}, always...)},
	{name: "no number", method: "POST", path: "/given/g1/change", form: url.Values{"swimmer": {"w1"}, "repeats": {"many"}}, status: 422, must: []string{"is no whole number"}},
	{name: "ended", method: "POST", path: "/given/g1/end", form: url.Values{"swimmer": {"w1"}}, status: 303, location: "/swimmer/w1/practice#g1"},
	{name: "ended too early", method: "POST", path: "/given/g1/end", form: url.Values{"swimmer": {"w1"}, "ended": {"2026-01-01"}}, status: 422, must: []string{"is before the first day"}},
	{name: "taken back", method: "POST", path: "/given/g1/remove", form: url.Values{"swimmer": {"w1"}}, status: 303, location: "/swimmer/w1/practice#g1"},
	{name: "back to a version", method: "POST", path: "/given/g1/again", form: url.Values{"swimmer": {"w1"}, "seq": {"1"}}, status: 303, location: "/swimmer/w1/practice#g1"},
	{name: "nothing given there", method: "POST", path: "/given/zz/end", form: url.Values{"swimmer": {"w1"}}, status: 404},
	{name: "session", path: "/squad/q1/session?on=2026-05-20", status: 200, must: append([]string{"Harbour Juniors, 20 May 2026", "snorkel (2)", "Two flat, two long", "Mira Okonjo: lane 2", "Nothing given: Otter", `href="#station-1"`, `value="w2" checked`}, always...)},
	{name: "session of some", path: "/squad/q1/session?swimmers=w1", status: 200, must: append([]string{`value="w2">Otter`}, always...)},
	{name: "session of no squad", path: "/squad/zz/session", status: 404},
	{name: "retests", path: "/squad/q1/retests", status: 200, must: append([]string{"8 June 2026", ">19<", ">past<", "Two flat, two long"}, always...)},
	{name: "own drills", path: "/practice/own", status: 200, must: append([]string{"Two and two, my way", "An older one", "Bring back", `<option value="finish-in-front">Finish in front (sweep, under water)`}, always...)},
	{name: "new drill", path: "/practice/own/new", status: 200, must: append([]string{`action="/practice/own/new"`, `name="repeats_4"`}, always...), mustNot: []string{"Made from"}},
	{name: "copy of one of ours", path: "/practice/own/new?from=kneel-and-lean", status: 200, must: append([]string{"Made from Kneel and lean back a little", `name="copy_of" value="kneel-and-lean"`, "Hands carry you", `value="facing_foot" checked`}, always...)},
	{name: "copy of nothing", path: "/practice/own/new?from=zz", status: 404},
	{name: "change a drill", path: "/practice/own/own-1", status: 200, must: append([]string{"Two and two, my way", "Version 1, 6 May 2026", "Which two moved you"}, always...), mustNot: []string{"These fields show"}},
	{name: "an earlier version", path: "/practice/own/own-1?version=1", status: 200, must: []string{"These fields show version 1", `value="Two and two, as it was"`}},
	{name: "change no drill", path: "/practice/own/zz", status: 404},
	{name: "drill kept", method: "POST", path: "/practice/own/new", form: drillFields(), status: 303, location: "/practice/own", afterwards: func(t *testing.T, f *fixture) {
		d := f.keptDrill
		if len(d.How) != 2 || d.How[1] != "Five kicks." || len(d.Doses) != 1 || d.Doses[0].Rest != record.RestUnderWater || d.Doses[0].Kicks != 5 || !slices.Equal(d.Measures, []string{"sweep"}) || !d.Joint || d.CopyOf != "finish-in-front" {
			t.Errorf("kept %+v", d)
		}
	}},
	{name: "drill that rewards staying under", method: "POST", path: "/practice/own/own-1", form: with(drillFields(), "how", "Stay down as long as you can."), status: 422, must: append([]string{`id="wrong-how"`, "nothing is practised here that rewards time or distance without breathing", "Stay down as long as you can."}, always...)},
	{name: "drill without numbers", method: "POST", path: "/practice/own/new", form: with(drillFields(), "kicks_1", "five"), status: 422, must: append([]string{`id="wrong-doses"`, `value="five"`}, always...)},
	{name: "drill retired", method: "POST", path: "/practice/own/own-1/retire", form: url.Values{"retired": {"1"}}, status: 303, location: "/practice/own"},
	{name: "no drill retired", method: "POST", path: "/practice/own/zz/retire", form: url.Values{"retired": {"1"}}, status: 404},
}

// drillFields are the fields of a drill that can be kept.
func drillFields() url.Values {
	return url.Values{
		"copy_of": {"finish-in-front"}, "title": {"Five"}, "serves": {"sweep"}, "phase": {"its finish"}, "place": {"under water"}, "step": {"2"}, "why": {"The finish is fast."},
		"source": {"Common practice, no source."}, "how": {"Push off.\r\n\r\nFive kicks.\r\n"}, "repeats_1": {"4"}, "kicks_1": {"5"}, "per_week_1": {"2"}, "rest_1": {""}, "repeats_2": {""},
		"cue": {"Finish"}, "common_error": {"Feet stop."}, "works_when": {"Toes end ahead."}, "measures": {"sweep"}, "joint": {"1"},
	}
}

func with(form url.Values, field, value string) url.Values {
	form.Set(field, value)
	return form
}

func init() { scenarios = append(scenarios, practiceScenarios...) }
