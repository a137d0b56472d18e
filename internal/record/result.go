package record

import (
	"encoding/json"
	"math"
	"time"
)

// Result is what a method made of a run. It can always be computed again from
// the run's marks; old results stay.
type Result struct {
	ID        string
	RunID     string
	Method    string          // name and version of the method
	InputHash string          // of everything the method was given
	Word      string          // the finding in a word or two; may be empty
	Sentence  string          // the finding's sentence; may be empty
	Values    []Value         // the summary, for lists and trends
	Body      json.RawMessage // the whole, as the method writes it
	Created   time.Time
}

// Value is one measure of a result with its spread and band.
type Value struct {
	Measure string // id: "speed"
	Unit    string
	Value   float64
	SD      float64 // NaN = not known
	Low     float64 // NaN = not known
	High    float64 // NaN = not known
	N       int     // kicks
}

// Validate returns nil or Faults of run, method, input_hash, word, sentence,
// body, values. A measure without a value (NaN) does not belong into Values.
func (r Result) Validate() error {
	var f Faults
	f.required("run", r.RunID, "the run")
	f.name("method", r.Method)
	f.name("input_hash", r.InputHash)
	f.text("word", r.Word, maxName)
	f.text("sentence", r.Sentence, maxNotes)
	if !json.Valid(r.Body) {
		f.add("body", "is not JSON")
	}
	seen := map[string]bool{}
	for _, v := range r.Values {
		f.name("values", v.Measure)
		if math.IsNaN(v.Value) || math.IsInf(v.Value, 0) {
			f.add("values", "%s is not a number", v.Measure)
		}
		if seen[v.Measure] {
			f.add("values", "%s stands there twice", v.Measure)
		}
		seen[v.Measure] = true
	}
	return f.err()
}
