package web

import (
	"context"

	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

func (f *fixture) PracticeFor(_ context.Context, runID string, dryLand bool) (poolside.PracticeView, error) {
	if runID != f.run.ID {
		return poolside.PracticeView{}, poolside.ErrNotFound
	}
	view := poolside.PracticeView{Swimmer: f.swimmer, Run: f.run, Sentence: "Facing fell.", For: "The finding names facing.", Cautions: poolside.PracticeCautions()}
	view.Choices, view.LeftOut = practice.Choose(practice.Library(), practice.Need{Serves: record.ServesFacing, Age: 10, DryLand: dryLand})
	return view, nil
}

// always stands on every page of practice.
var always = []string{"blackout", "lifeguard", "no forcing", "stop at pain", "local law come first"}

var practiceScenarios = []scenario{
	{name: "library", path: "/practice", status: 200, must: append([]string{"Finish in front", "Quiet hands", `href="/measures#facing_foot"`, "common practice, no source"}, always...)},
	{name: "library of one", path: "/practice?serves=tempo", status: 200, must: append([]string{"Tempo ladder"}, always...), mustNot: []string{"Finish in front"}},
	{name: "library of nothing", path: "/practice?serves=gills", status: 422},
	{name: "practice for a finding", path: "/run/r1/practice", status: 200, must: append([]string{"Facing fell.", "The finding names facing.", "Serves facing", "Point late", "left out: they are for swimmers older than 10"}, always...), mustNot: []string{"Kneel and lean"}},
	{name: "practice on dry land", path: "/run/r1/practice?place=dry", status: 200, must: append([]string{"Sit long and point"}, always...), mustNot: []string{"Point late"}},
	{name: "practice for no run", path: "/run/zz/practice", status: 404},
}

func init() { scenarios = append(scenarios, practiceScenarios...) }
