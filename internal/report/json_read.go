package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"underkick/internal/kick"
)

// ReadJSON reads a result that WriteJSON wrote. Its curves (Signals) are not in
// the file and stay empty; measures that are no longer defined are left out.
func ReadJSON(r io.Reader) (*kick.Result, error) {
	var d Document
	if err := json.NewDecoder(r).Decode(&d); err != nil {
		return nil, fmt.Errorf("read a result: %w", err)
	}
	if d.Method == "" || d.Summary == nil {
		return nil, fmt.Errorf("read a result: this JSON is no result; it has no method and summary")
	}
	out := &kick.Result{
		Warnings: d.Warnings, Method: d.Method, FrameRate: float64(d.FrameRate), Cutoff: unknown(d.Cutoff), Height: unknown(d.Height),
		Steady: d.Steady, Counted: d.Counted, Verdicts: d.Verdicts, Filtered: d.Filtered,
		Line: kick.Line{
			X: float64(d.Line.X), Y: float64(d.Line.Y), Along: [2]float64{float64(d.Line.Along[0]), float64(d.Line.Along[1])},
			Climb: float64(d.Line.Climb), OfHip: d.Line.OfHip, Turned: d.Line.Turned, Supine: d.Line.Supine,
		},
	}
	for _, def := range kick.Definitions() {
		if q, ok := d.Summary[def.ID]; ok {
			if q.Value.Word != "" && def.Unit != "" {
				return nil, fmt.Errorf("read a result: the value of %s is %q, not a number", def.ID, q.Value.Word)
			}
			out.Summary = append(out.Summary, q.measure(def.ID))
		}
	}
	for _, k := range d.Kicks {
		out.Kicks = append(out.Kicks, k.kick())
	}
	return out, nil
}

func (q Quantity) measure(id string) kick.Measure {
	m := kick.Measure{
		ID: id, Unit: q.Unit, Value: float64(q.Value.Num), Text: q.Value.Word, SD: float64(q.SD), N: q.N, Low: float64(q.Low), High: float64(q.High),
	}
	for _, why := range q.Reasons {
		m.Reasons = append(m.Reasons, kick.Reason(why))
	}
	return m.Bounded()
}

func (e KickEntry) kick() kick.Kick {
	k := kick.Kick{
		Number: e.Number, Start: float64(e.Start), Bottom: float64(e.Bottom), End: float64(e.End),
		Counted: e.Counted, Why: e.Why, Moments: e.moments(),
	}
	if e.Number > 0 || len(e.Values) > 0 {
		k.Values = map[string]float64{}
	}
	for id, v := range e.Values {
		k.Values[id] = float64(v.Value)
	}
	return k
}

func (e KickEntry) moments() kick.Moments {
	at := func(name string) float64 {
		if t, ok := e.Moments[name]; ok {
			return float64(t)
		}
		return math.NaN()
	}
	return kick.Moments{
		Set: at("set"), Drive: at("drive"), Fastest: at("fastest"), Finish: at("finish"),
		SetUp: at("set-up"), DriveUp: at("drive-up"), FastestUp: at("fastest-up"), FinishUp: at("finish-up"),
	}
}

// unknown turns null back into 0 = not known.
func unknown(n Num) float64 {
	if math.IsNaN(float64(n)) {
		return 0
	}
	return float64(n)
}
