package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"underkick/internal/kick"
)

// Document is a result as JSON; docs/formats.md describes it. Numbers that
// are not known are null. Times are presentation times in s.
type Document struct {
	Method    string              `json:"method"`
	Summary   map[string]Quantity `json:"summary"` // by measure id
	Kicks     []KickEntry         `json:"kicks"`
	Warnings  []string            `json:"warnings"`
	Counted   int                 `json:"kicks_counted"`
	Steady    bool                `json:"steady"`
	Verdicts  bool                `json:"verdicts"` // enough steady kicks for comparisons
	FrameRate Num                 `json:"frame_rate_hz"`
	Cutoff    Num                 `json:"cutoff_hz"` // null where the traces were not filtered
	Height    Num                 `json:"height_m"`  // used for amplitudes in body heights
	Filtered  bool                `json:"filtered"`  // at least one trace came raw and was filtered
	Line      TravelLine          `json:"travel_line"`
}

// TravelLine is the line that the centre of mass follows.
type TravelLine struct {
	X      Num    `json:"x_m"` // a point on it, in the axes that came in
	Y      Num    `json:"y_m"`
	Along  [2]Num `json:"along"` // unit vector of the swimming direction
	Climb  Num    `json:"climb_rad"`
	OfHip  bool   `json:"of_hip"` // the hip was followed in place of the centre of mass
	Turned bool   `json:"turned"` // the swimmer swam towards -x
	Supine bool   `json:"supine"`
}

// Quantity is one measure of the run. Where the value is a word, such as when
// foot speed peaks, it has no sd and no band.
type Quantity struct {
	Value   NumOrWord `json:"value"`
	Unit    string    `json:"unit"`
	SD      Num       `json:"sd"`
	N       int       `json:"n"`
	Low     Num       `json:"low"`
	High    Num       `json:"high"`
	Reasons []Reason  `json:"reasons"`
}

// Reason says why a measure is doubtful or missing.
type Reason struct {
	Code     string `json:"code"`
	Text     string `json:"text"`
	Withheld bool   `json:"withheld"`
}

// KickEntry is one kick.
type KickEntry struct {
	Number  int                   `json:"number"` // 0 for a partial kick
	Start   Num                   `json:"start"`  // toe top, s
	Top     Num                   `json:"top"`    // the same instant, s; null for a partial kick that begins before the film
	Bottom  Num                   `json:"bottom"`
	End     Num                   `json:"end"` // next toe top, s
	Counted bool                  `json:"counted"`
	Why     string                `json:"why_not_counted,omitempty"`
	Moments map[string]Num        `json:"moments"`
	Values  map[string]KickNumber `json:"measures"` // by measure id
}

// KickNumber is one measure of one kick.
type KickNumber struct {
	Value Num    `json:"value"`
	Unit  string `json:"unit"`
}

// Num is a number whose NaN and infinities are written as null.
type Num float64

// MarshalJSON writes the number, or null.
func (n Num) MarshalJSON() ([]byte, error) {
	x := float64(n)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(x)
}

// UnmarshalJSON reads a number, null as NaN.
func (n *Num) UnmarshalJSON(text []byte) error {
	if string(text) == "null" {
		*n = Num(math.NaN())
		return nil
	}
	return json.Unmarshal(text, (*float64)(n))
}

// NumOrWord is a number, or a word where a number would say too much.
type NumOrWord struct {
	Num  Num
	Word string // "" for a number
}

// MarshalJSON writes the word if there is one, else the number.
func (v NumOrWord) MarshalJSON() ([]byte, error) {
	if v.Word != "" {
		return json.Marshal(v.Word)
	}
	return v.Num.MarshalJSON()
}

// UnmarshalJSON reads a word or a number.
func (v *NumOrWord) UnmarshalJSON(text []byte) error {
	if len(text) > 0 && text[0] == '"' {
		v.Num = Num(math.NaN())
		return json.Unmarshal(text, &v.Word)
	}
	return v.Num.UnmarshalJSON(text)
}

// NewDocument returns a result as a Document.
func NewDocument(r *kick.Result) Document {
	d := Document{
		Method: r.Method, Summary: map[string]Quantity{}, Kicks: []KickEntry{}, Warnings: r.Warnings,
		Counted: r.Counted, Steady: r.Steady, Verdicts: r.Verdicts, FrameRate: Num(r.FrameRate), Cutoff: known(r.Cutoff), Height: known(r.Height),
		Filtered: r.Filtered, Line: TravelLine{
			X: Num(r.Line.X), Y: Num(r.Line.Y), Along: [2]Num{Num(r.Line.Along[0]), Num(r.Line.Along[1])}, Climb: Num(r.Line.Climb),
			OfHip: r.Line.OfHip, Turned: r.Line.Turned, Supine: r.Line.Supine,
		},
	}
	if d.Warnings == nil {
		d.Warnings = []string{}
	}
	units := map[string]string{}
	for _, m := range r.Summary {
		units[m.ID] = m.Unit
		q := Quantity{Value: NumOrWord{Num(m.Value), m.Text}, Unit: m.Unit, SD: Num(m.SD), N: m.N, Low: Num(m.Low), High: Num(m.High), Reasons: []Reason{}}
		if m.Text != "" {
			q.SD, q.Low, q.High = Num(math.NaN()), Num(math.NaN()), Num(math.NaN())
		}
		for _, why := range m.Reasons {
			q.Reasons = append(q.Reasons, Reason(why))
		}
		d.Summary[m.ID] = q
	}
	for _, k := range r.Kicks {
		d.Kicks = append(d.Kicks, kickEntry(k, units))
	}
	return d
}

func kickEntry(k kick.Kick, units map[string]string) KickEntry {
	e := KickEntry{
		Number: k.Number, Start: Num(k.Start), Top: Num(k.Start), Bottom: Num(k.Bottom), End: Num(k.End),
		Counted: k.Counted, Why: k.Why, Moments: map[string]Num{}, Values: map[string]KickNumber{},
	}
	if k.Number == 0 {
		e.Top = Num(math.NaN())
	}
	for _, m := range k.Moments.List() {
		e.Moments[m.Name] = Num(m.T)
	}
	for id, v := range k.Values {
		e.Values[id] = KickNumber{Value: Num(v), Unit: units[id]}
	}
	return e
}

// known turns 0 = not known into null.
func known(x float64) Num {
	if x == 0 {
		return Num(math.NaN())
	}
	return Num(x)
}

// WriteJSON writes a result as indented JSON.
func WriteJSON(w io.Writer, r *kick.Result) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(NewDocument(r)); err != nil {
		return fmt.Errorf("write the result as JSON: %w", err)
	}
	return nil
}
