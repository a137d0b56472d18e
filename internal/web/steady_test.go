package web

import (
	"context"
	"fmt"
	"net/url"
	"testing"

	"underkick/internal/poolside"
)

func init() { scenarios = append(scenarios, steadyScenarios...) }

// SetSteady begins the fixture's work, or says that the camera stands still.
func (f *fixture) SetSteady(_ context.Context, id string, on bool) error {
	if id != f.run.ID {
		return poolside.ErrNotFound
	}
	if on && f.poor {
		return fmt.Errorf("%w: Set a known length or a rectangle first", poolside.ErrInput)
	}
	f.steady = poolside.SteadyView{}
	if on {
		f.steady = poolside.SteadyView{State: poolside.SteadyWorking, Job: &f.job}
	}
	return nil
}

var steadyScenarios = []scenario{
	{name: "camera taken to stand still", path: "/run/r1/mark", status: 200, must: []string{"The camera moved: steady it", `action="/run/r1/steady"`}, mustNot: []string{"Switch steadying off", "data-steady-job"}},
	{name: "camera is being followed", path: "/run/r1/mark", prepared: func(f *fixture) {
		f.steady = poolside.SteadyView{State: poolside.SteadyWorking, Frame: 12, Job: &f.job}
	}, status: 200, must: []string{`data-steady-job="/run/r1/steady.json?job=j1"`, "Steadied from frame 12", `name="stop" value="j1"`, "Switch steadying off"}},
	{name: "camera was followed", path: "/run/r1/mark", prepared: func(f *fixture) {
		f.steady = poolside.SteadyView{State: poolside.SteadyReady, Words: []string{"The drift of 0.9 px <that is left>."}}
	}, status: 200, must: []string{"The drift of 0.9 px &lt;that is left&gt;.", "Switch steadying off"}, mustNot: []string{"data-steady-job"}},
	{name: "camera was not followed", path: "/run/r1/mark", prepared: func(f *fixture) {
		f.steady = poolside.SteadyView{State: poolside.SteadyStopped, Why: "Nothing stands still."}
	}, status: 200, must: []string{"The camera was not steadied. Nothing stands still.", ">Steady it<", "Switch steadying off"}},
	{name: "following was stopped", path: "/run/r1/mark", prepared: func(f *fixture) { f.steady = poolside.SteadyView{State: poolside.SteadyStopped} }, status: 200, must: []string{"It was stopped."}},
	{name: "nothing to follow from", path: "/run/r1/mark", prepared: func(f *fixture) {
		f.steady = poolside.SteadyView{State: poolside.SteadyRefused, Why: "Set a known length first."}
	}, status: 200, must: []string{"Set a known length first.", "Switch steadying off"}, mustNot: []string{"Steadied from"}},
	{name: "kicks wait for the camera", path: "/run/r1", prepared: func(f *fixture) {
		f.steady = poolside.SteadyView{State: poolside.SteadyWorking, Job: &f.job}
	}, status: 200, must: []string{"The camera has not been steadied yet.", `data-steady-job=`, `name="from" value="kick"`}},
	{name: "steadied", method: "POST", path: "/run/r1/steady", form: url.Values{"on": {"yes"}, "from": {"mark"}}, status: 303, location: "/run/r1/mark#steady", afterwards: func(t *testing.T, f *fixture) {
		if f.steady.State != poolside.SteadyWorking {
			t.Error("nothing was begun")
		}
	}},
	{name: "steadying switched off", method: "POST", path: "/run/r1/steady", form: url.Values{"on": {"no"}, "from": {"kick"}}, prepared: func(f *fixture) { f.steady.State = poolside.SteadyReady }, status: 303, location: "/run/r1", afterwards: func(t *testing.T, f *fixture) {
		if f.steady.State != "" {
			t.Error("it is still on")
		}
	}},
	{name: "steadying stopped", method: "POST", path: "/run/r1/steady", form: url.Values{"stop": {"j1"}}, status: 303, location: "/run/r1/mark#steady", afterwards: func(t *testing.T, f *fixture) {
		if f.job.State != "cancelled" {
			t.Error("the work goes on")
		}
	}},
	{name: "steadied without a scale", method: "POST", path: "/run/r1/steady", form: url.Values{"on": {"yes"}}, prepared: func(f *fixture) { f.poor = true }, status: 422, must: []string{"known length or a rectangle first"}},
	{name: "steadied of no run", method: "POST", path: "/run/zz/steady", form: url.Values{"on": {"yes"}}, status: 404},
	{name: "work on steadying", path: "/run/r1/steady.json?job=j1", status: 200, must: []string{`"fraction":0.4`}},
}
