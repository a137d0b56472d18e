package report

import (
	"bytes"
	"math"
	"reflect"
	"testing"

	"underkick/internal/limit/worth"
)

// What is written is read back, what is not known included.
func TestWorthIsReadBack(t *testing.T) {
	nan := math.NaN()
	r := &worth.Result{
		Limiter: "facing", Reason: "It does.", Sentence: "The model expects.", Practice: "facing", Reference: "run", Speed: 1.4, Against: 1.5,
		Unexplained: worth.Band{Value: 0.01, Low: nan, High: nan, SD: 0.02},
		Changes:     []worth.ChangeLine{{Change: worth.Change{Name: "foot", Amount: 5}, Unit: "deg", Words: "pointed", SpeedChange: worth.Band{Value: 0.1, Low: 0, High: 0.2, SD: nan}, EqualEffort: 0.08, PowerChange: 0.02, Evidence: "model only"}},
		Together:    &worth.TogetherLine{Words: "foot +5 deg and tempo +5 %", SpeedChange: worth.Band{Value: 0.2, Low: 0.1, High: 0.3, SD: nan}, EqualEffort: 0.01, PowerChange: 0.1},
		Push:        []worth.PushLine{{Kick: 1, Index: 100, FeetShare: 0.8}}, Flags: []worth.Flag{{Code: "trim", Text: "Large."}}, Draws: 200, Dropped: 2,
	}
	for q := range 5 {
		r.Parts = append(r.Parts, worth.PartLine{
			Quality: worth.Part(q), SpeedChange: worth.Band{Value: 0.07, Low: 0.03, High: 0.11, SD: nan},
			Shapley: worth.Band{Value: 0.08, Low: nan, High: nan, SD: 0.01}, EqualEffort: 0.05, PowerChange: 0.04, Evidence: "experiment: taping",
		})
	}
	var text, again bytes.Buffer
	if err := WriteWorthJSON(&text, r, nil); err != nil {
		t.Fatal(err)
	}
	back, err := ReadWorthJSON(text.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if err := WriteWorthJSON(&again, back, nil); err != nil || again.String() != text.String() {
		t.Errorf("%v; read back as\n%s\nof\n%s", err, again.String(), text.String())
	}
	if !reflect.DeepEqual(back.Flags, r.Flags) || !math.IsNaN(back.Parts[0].Shapley.Low) || back.Parts[4].Quality != worth.Rest {
		t.Errorf("read back %+v", back)
	}
	for _, bad := range []string{"{", `{"worth":[{"quality":"sweep"}]}`, `{"worth":[{"quality":"facing"},{"quality":"sweep"},{"quality":"build"},{"quality":"tempo"},{"quality":"rest"},{"quality":"arms"}]}`} {
		if _, err := ReadWorthJSON([]byte(bad)); err == nil {
			t.Errorf("%s was read", bad)
		}
	}
}
