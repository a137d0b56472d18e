package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"underkick/internal/kick"
)

// UnmarshalJSON reads a number; null is NaN.
func (n *Num) UnmarshalJSON(text []byte) error {
	if string(text) == "null" {
		*n = Num(math.NaN())
		return nil
	}
	var x float64
	if err := json.Unmarshal(text, &x); err != nil {
		return err
	}
	*n = Num(x)
	return nil
}

// ReadJSON reads a result back that WriteJSON wrote, as far as JSON holds it:
// the summary, the kicks and the facts about the run, without curves and travel
// line. The summary's order is that of kick.Definitions.
func ReadJSON(r io.Reader) (*kick.Result, error) {
	var d Document
	if err := json.NewDecoder(r).Decode(&d); err != nil {
		return nil, fmt.Errorf("read a result from JSON: %w", err)
	}
	out := &kick.Result{
		Method: d.Method, Warnings: d.Warnings, Counted: d.Counted, Steady: d.Steady,
		FrameRate: float64(d.FrameRate), Cutoff: orZero(d.Cutoff), Height: orZero(d.Height),
		Verdicts: d.Steady && d.Counted >= 3, Filtered: orZero(d.Cutoff) > 0,
	}
	for _, def := range kick.Definitions() {
		if q, ok := d.Summary[def.ID]; ok {
			out.Summary = append(out.Summary, q.measure(def.ID))
		}
	}
	for _, e := range d.Kicks {
		out.Kicks = append(out.Kicks, e.kick())
	}
	return out, nil
}

func (q Quantity) measure(id string) kick.Measure {
	m := kick.Measure{
		ID: id, Unit: q.Unit, Value: float64(q.Value), Text: q.Text,
		SD: float64(q.SD), N: q.N, Low: float64(q.Low), High: float64(q.High),
	}
	for _, why := range q.Reasons {
		m.Reasons = append(m.Reasons, kick.Reason(why))
	}
	return m
}

func (e KickEntry) kick() kick.Kick {
	at := func(name string) float64 {
		if t, ok := e.Moments[name]; ok {
			return float64(t)
		}
		return math.NaN()
	}
	k := kick.Kick{
		Number: e.Number, Start: float64(e.Start), Bottom: float64(e.Bottom), End: float64(e.End),
		Counted: e.Counted, Why: e.Why,
		Moments: kick.Moments{
			Set: at("set"), Drive: at("drive"), Fastest: at("fastest"), Finish: at("finish"),
			SetUp: at("set-up"), DriveUp: at("drive-up"), FastestUp: at("fastest-up"), FinishUp: at("finish-up"),
		},
	}
	if e.Number > 0 {
		k.Values = map[string]float64{}
		for id, v := range e.Values {
			k.Values[id] = float64(v.Value)
		}
	}
	return k
}

// orZero is the inverse of known.
func orZero(n Num) float64 {
	if math.IsNaN(float64(n)) {
		return 0
	}
	return float64(n)
}
