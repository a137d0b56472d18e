package record

import (
	"encoding/json"
	"time"
)

// Estimate is what a model made of a run, or how its camera was found to move; it can
// always be made again.
type Estimate struct {
	RunID     string
	Method    string          // name and version
	InputHash string          // of everything the model was given
	Body      json.RawMessage // as the method writes it
	Created   time.Time
}

// Validate returns nil or Faults of run, method, input_hash, body.
func (e Estimate) Validate() error {
	var f Faults
	f.required("run", e.RunID, "the run")
	f.name("method", e.Method)
	f.name("input_hash", e.InputHash)
	if !json.Valid(e.Body) {
		f.add("body", "is not JSON")
	}
	return f.err()
}
