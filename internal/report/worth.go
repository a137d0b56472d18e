package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"underkick/internal/limit/worth"
)

// WorthDocument is what the qualities of a kick are worth, as JSON; docs/formats.md
// describes it. Every number is a model's estimate. Numbers that are not known are null.
type WorthDocument struct {
	Method      string        `json:"method"`
	Limiter     string        `json:"limiter"` // facing, sweep, build, tempo or none
	Reason      string        `json:"reason"`
	Sentence    string        `json:"sentence"`
	Practice    string        `json:"practise_first"` // gains at the same effort come before others; "" for none
	Refused     bool          `json:"refused"`
	Reference   string        `json:"reference"` // run or step
	Speed       Num           `json:"speed"`
	Against     Num           `json:"reference_speed"`
	Worth       []WorthEntry  `json:"worth"`
	Unexplained Num           `json:"unexplained"`
	UnexplSD    Num           `json:"unexplained_sd"`
	Changes     []ChangeEntry `json:"changes"`
	Together    *WorthSum     `json:"changes_together"` // null with fewer than two changes
	Factor      Num           `json:"personal_factor"`
	Push        []PushEntry   `json:"push"`
	Flags       []WorthFlag   `json:"quality_flags"`
	Draws       int           `json:"draws"`
	Dropped     int           `json:"draws_dropped"`
	Warnings    []string      `json:"warnings"`
}

// WorthEntry is what one quality is worth.
type WorthEntry struct {
	Quality     string `json:"quality"`
	Step        string `json:"step,omitempty"`
	SpeedChange Num    `json:"speed_change"`
	Low         Num    `json:"low"`
	High        Num    `json:"high"`
	Shapley     Num    `json:"shapley"`
	ShapleySD   Num    `json:"shapley_sd"`
	EqualEffort Num    `json:"equal_effort"`
	PowerChange Num    `json:"power_change"`
	Evidence    string `json:"evidence"`
}

// ChangeEntry answers one what-if.
type ChangeEntry struct {
	Name        string `json:"name"`
	Amount      Num    `json:"amount"`
	Unit        string `json:"unit"`
	What        string `json:"what"`
	SpeedChange Num    `json:"speed_change"`
	Low         Num    `json:"low"`
	High        Num    `json:"high"`
	EqualEffort Num    `json:"equal_effort"`
	PowerChange Num    `json:"power_change"`
	Evidence    string `json:"evidence"`
}

// WorthSum answers several what-ifs made together.
type WorthSum struct {
	What        string `json:"what"`
	SpeedChange Num    `json:"speed_change"`
	Low         Num    `json:"low"`
	High        Num    `json:"high"`
	EqualEffort Num    `json:"equal_effort"`
	PowerChange Num    `json:"power_change"`
}

// PushEntry is one kick's push against the run's best.
type PushEntry struct {
	Kick      int `json:"kick"`
	Index     Num `json:"index"`      // the run's largest = 100
	FeetShare Num `json:"feet_share"` // 0 to 1
}

// WorthFlag says what makes the estimate doubtful.
type WorthFlag struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// NewWorthDocument returns an estimate as a WorthDocument; warnings are those of the
// measurement.
func NewWorthDocument(r *worth.Result, warnings []string) WorthDocument {
	d := WorthDocument{
		Method: worth.Method, Limiter: r.Limiter, Reason: r.Reason, Sentence: r.Sentence, Practice: r.Practice, Refused: r.Refused, Reference: r.Reference,
		Speed: Num(r.Speed), Against: Num(r.Against), Unexplained: Num(r.Unexplained.Value), UnexplSD: Num(r.Unexplained.SD),
		Draws: r.Draws, Dropped: r.Dropped, Worth: []WorthEntry{}, Changes: []ChangeEntry{}, Push: []PushEntry{}, Flags: []WorthFlag{}, Warnings: append([]string{}, warnings...),
	}
	d.Factor = Num(math.NaN())
	if r.Swim != nil {
		d.Factor = Num(r.Swim.DragFactor)
	}
	for _, p := range r.Parts {
		d.Worth = append(d.Worth, WorthEntry{
			Quality: p.Quality.String(), Step: p.Step,
			SpeedChange: Num(p.SpeedChange.Value), Low: Num(p.SpeedChange.Low), High: Num(p.SpeedChange.High),
			Shapley: Num(p.Shapley.Value), ShapleySD: Num(p.Shapley.SD),
			EqualEffort: Num(p.EqualEffort), PowerChange: Num(p.PowerChange), Evidence: p.Evidence,
		})
	}
	for _, c := range r.Changes {
		d.Changes = append(d.Changes, ChangeEntry{
			Name: c.Name, Amount: Num(c.Amount), Unit: c.Unit, What: c.Words,
			SpeedChange: Num(c.SpeedChange.Value), Low: Num(c.SpeedChange.Low), High: Num(c.SpeedChange.High),
			EqualEffort: Num(c.EqualEffort), PowerChange: Num(c.PowerChange), Evidence: c.Evidence,
		})
	}
	if t := r.Together; t != nil {
		d.Together = &WorthSum{
			What: t.Words, SpeedChange: Num(t.SpeedChange.Value), Low: Num(t.SpeedChange.Low), High: Num(t.SpeedChange.High),
			EqualEffort: Num(t.EqualEffort), PowerChange: Num(t.PowerChange),
		}
	}
	for _, p := range r.Push {
		d.Push = append(d.Push, PushEntry{Kick: p.Kick, Index: Num(p.Index), FeetShare: Num(p.FeetShare)})
	}
	for _, f := range r.Flags {
		d.Flags = append(d.Flags, WorthFlag(f))
	}
	return d
}

// WriteWorthJSON writes an estimate as indented JSON.
func WriteWorthJSON(w io.Writer, r *worth.Result, warnings []string) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(NewWorthDocument(r, warnings)); err != nil {
		return fmt.Errorf("write the estimate as JSON: %w", err)
	}
	return nil
}
