package record

import (
	"encoding/json"
	"time"
)

// PlanKind is what a plan is of.
type PlanKind string

// The kinds of plan.
const (
	WallPlan    PlanKind = "walls"
	TempoLadder PlanKind = "ladder"
)

// Plan is what is kept of a swimmer's walls or tempo ladder: what was typed, never an
// answer, which can always be computed again. Its versions are only ever added.
type Plan struct {
	ID        string
	SwimmerID string
	Kind      PlanKind
	Created   time.Time
	PlanVersion
	Undos, Redos int // versions that can be taken back and brought back
}

// PlanVersion is what a plan holds after one act.
type PlanVersion struct {
	Seq     int64 // 1, 2, 3 ... within the plan
	Act     PlanAct
	Name    string
	Body    json.RawMessage // an object, as the kind writes it
	Removed bool            // taken off the lists; can be undone like any act
	By      string          // who; may be empty
	At      time.Time
}

// PlanAct is what was done to a plan.
type PlanAct string

// The acts. Undo and redo are versions of the history themselves and hold nothing.
const (
	KeepPlan   PlanAct = "keep"
	RemovePlan PlanAct = "remove"
	UndoPlan   PlanAct = "undo"
	RedoPlan   PlanAct = "redo"
)

// maxPlanBody bounds a plan's body, bytes.
const maxPlanBody = 64 << 10

// Validate returns nil or Faults of swimmer, kind, name, body (an object of at most 64 kB), by.
func (p Plan) Validate() error {
	var f Faults
	f.required("swimmer", p.SwimmerID, "the swimmer")
	if p.Kind != WallPlan && p.Kind != TempoLadder {
		f.add("kind", "is %q; a plan is of walls or of a tempo ladder", string(p.Kind))
	}
	p.faults(&f)
	return f.err()
}

// Validate returns nil or Faults of name, body, by of a version that is kept.
func (v PlanVersion) Validate() error {
	var f Faults
	v.faults(&f)
	return f.err()
}

func (v PlanVersion) faults(f *Faults) {
	f.name("name", v.Name)
	f.text("by", v.By, maxName)
	switch {
	case len(v.Body) > maxPlanBody:
		f.add("body", "is longer than %d kB; shorten it", maxPlanBody>>10)
	case !json.Valid(v.Body) || v.Body[0] != '{':
		f.add("body", "is no JSON object")
	}
}

// ReplayPlan returns the version that stands after a history, oldest first, with its own Seq,
// Act, By and At, and how many versions can be taken back and brought back. An undo never
// takes back the first version; to remove a plan is an act like any other.
func ReplayPlan(history []PlanVersion) (stands PlanVersion, undos, redos int) {
	acts := make([]PlanAct, len(history))
	for i, v := range history {
		acts[i] = v.Act
	}
	line, at := replayed(acts, UndoPlan, RedoPlan)
	if at < 0 {
		return PlanVersion{}, 0, 0
	}
	stands = history[line[at]]
	for i := at; i > 0 && history[line[i]].Act == RemovePlan; i-- {
		stands.Name, stands.Body = history[line[i-1]].Name, history[line[i-1]].Body
	}
	stands.Removed = stands.Act == RemovePlan
	return stands, at, len(line) - 1 - at
}
