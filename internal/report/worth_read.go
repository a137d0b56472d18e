package report

import (
	"encoding/json"
	"fmt"
	"math"

	"underkick/internal/limit/worth"
)

// ReadWorthJSON reads an estimate that WriteWorthJSON wrote. The swim in the model is not
// kept and stays nil.
func ReadWorthJSON(text []byte) (*worth.Result, error) {
	var d WorthDocument
	if err := json.Unmarshal(text, &d); err != nil {
		return nil, fmt.Errorf("read a kept estimate: %w", err)
	}
	r := &worth.Result{
		Limiter: d.Limiter, Reason: d.Reason, Sentence: d.Sentence, Practice: d.Practice, Refused: d.Refused, Reference: d.Reference,
		Speed: float64(d.Speed), Against: float64(d.Against), Draws: d.Draws, Dropped: d.Dropped,
		Unexplained: worth.Band{Value: float64(d.Unexplained), Low: math.NaN(), High: math.NaN(), SD: float64(d.UnexplSD)},
	}
	for i, e := range d.Worth {
		l := worth.PartLine{
			Quality: worth.Part(i), Step: e.Step, SpeedChange: band(e.SpeedChange, e.Low, e.High), //nolint:gosec // five parts
			Shapley:     worth.Band{Value: float64(e.Shapley), Low: math.NaN(), High: math.NaN(), SD: float64(e.ShapleySD)},
			EqualEffort: float64(e.EqualEffort), PowerChange: float64(e.PowerChange), Evidence: e.Evidence,
		}
		if l.Quality > worth.Rest || l.Quality.String() != e.Quality {
			return nil, fmt.Errorf("read a kept estimate: %q is not the part expected there", e.Quality)
		}
		r.Parts = append(r.Parts, l)
	}
	for _, e := range d.Changes {
		r.Changes = append(r.Changes, worth.ChangeLine{
			Change: worth.Change{Name: e.Name, Amount: float64(e.Amount)}, Unit: e.Unit, Words: e.What,
			SpeedChange: band(e.SpeedChange, e.Low, e.High), EqualEffort: float64(e.EqualEffort), PowerChange: float64(e.PowerChange), Evidence: e.Evidence,
		})
	}
	if t := d.Together; t != nil {
		r.Together = &worth.TogetherLine{Words: t.What, SpeedChange: band(t.SpeedChange, t.Low, t.High), EqualEffort: float64(t.EqualEffort), PowerChange: float64(t.PowerChange)}
	}
	for _, e := range d.Push {
		r.Push = append(r.Push, worth.PushLine{Kick: e.Kick, Index: float64(e.Index), FeetShare: float64(e.FeetShare)})
	}
	for _, f := range d.Flags {
		r.Flags = append(r.Flags, worth.Flag(f))
	}
	return r, nil
}

func band(value, low, high Num) worth.Band {
	return worth.Band{Value: float64(value), Low: float64(low), High: float64(high), SD: math.NaN()}
}
