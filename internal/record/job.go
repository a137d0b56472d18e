package record

import (
	"encoding/json"
	"time"
)

// JobState is where background work stands.
type JobState string

// The states. Waiting and Running end in one of the other three.
const (
	Waiting   JobState = "waiting"
	Running   JobState = "running"
	Done      JobState = "done"
	Failed    JobState = "failed"
	Cancelled JobState = "cancelled"
)

// Ended reports whether nothing more will happen.
func (s JobState) Ended() bool { return s == Done || s == Failed || s == Cancelled }

// Job is a piece of background work.
type Job struct {
	ID       string
	Kind     string          // which handler does it
	Subject  string          // public id of what it works on; may be empty
	Args     json.RawMessage // for the handler
	State    JobState
	Fraction float64         // 0..1 of the work done
	Doing    string          // what is being done, in words
	Problem  string          // when Failed: what happened and what to do
	Outcome  json.RawMessage // when Done: what the handler left, may be nil
	Attempts int             // times it was begun
	Created  time.Time
	Ended    time.Time // zero until then
}

// Validate returns nil or Faults of kind, subject, args.
func (j Job) Validate() error {
	var f Faults
	f.name("kind", j.Kind)
	f.text("subject", j.Subject, maxName)
	if !json.Valid(j.Args) {
		f.add("args", "is not JSON")
	}
	return f.err()
}
