package record

import (
	"errors"
	"strings"
	"testing"
)

func version(act PlanAct, name string) PlanVersion {
	return PlanVersion{Act: act, Name: name, Body: []byte(`{}`)}
}

func TestReplayPlan(t *testing.T) {
	undo, redo, remove := PlanVersion{Act: UndoPlan}, PlanVersion{Act: RedoPlan}, PlanVersion{Act: RemovePlan}
	a, b, c := version(KeepPlan, "a"), version(KeepPlan, "b"), version(KeepPlan, "c")
	for _, e := range []struct {
		history      []PlanVersion
		name         string
		removed      bool
		undos, redos int
	}{
		{nil, "", false, 0, 0},
		{[]PlanVersion{a}, "a", false, 0, 0},
		{[]PlanVersion{a, undo}, "a", false, 0, 0},
		{[]PlanVersion{a, b, undo}, "a", false, 0, 1},
		{[]PlanVersion{a, b, undo, redo}, "b", false, 1, 0},
		{[]PlanVersion{a, b, undo, redo, redo}, "b", false, 1, 0},
		{[]PlanVersion{a, b, undo, c}, "c", false, 1, 0}, // what was taken back is gone from the line
		{[]PlanVersion{a, b, c, undo, undo}, "a", false, 0, 2},
		{[]PlanVersion{a, b, remove}, "b", true, 2, 0},
		{[]PlanVersion{a, b, remove, undo}, "b", false, 1, 1},
	} {
		v, undos, redos := ReplayPlan(e.history)
		if v.Name != e.name || v.Removed != e.removed || undos != e.undos || redos != e.redos {
			t.Errorf("%+v: %q removed %v, %d undos, %d redos", e.history, v.Name, v.Removed, undos, redos)
		}
	}
}

func TestPlanFaults(t *testing.T) {
	good := Plan{SwimmerID: "w", Kind: WallPlan, PlanVersion: version(KeepPlan, "100 free")}
	if err := good.Validate(); err != nil {
		t.Fatal(err)
	}
	for field, spoil := range map[string]func(*Plan){
		"swimmer": func(p *Plan) { p.SwimmerID = "" },
		"kind":    func(p *Plan) { p.Kind = "drill" },
		"name":    func(p *Plan) { p.Name = " " },
		"body":    func(p *Plan) { p.Body = []byte(`[1]`) },
		"by":      func(p *Plan) { p.By = strings.Repeat("x", 200) },
	} {
		p := good
		spoil(&p)
		var f Faults
		if err := p.Validate(); !errors.As(err, &f) || f.For(field) == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
	long := good
	long.Body = []byte(`{"x":"` + strings.Repeat("y", maxPlanBody) + `"}`)
	if long.Validate() == nil || (PlanVersion{Name: "x"}).Validate() == nil {
		t.Error("a body that is too long or empty was taken")
	}
}
