package report

import (
	"bytes"
	"strings"
	"testing"

	"underkick/internal/kick"
)

func TestJSONReadsBackAsItWas(t *testing.T) {
	r := measured(t)
	r.Summary[3].Reasons = []kick.Reason{{Code: "slow-film", Text: "Too slow.", Withheld: true}}
	var first bytes.Buffer
	if err := WriteJSON(&first, r); err != nil {
		t.Fatal(err)
	}
	back, err := ReadJSON(bytes.NewReader(first.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	var second bytes.Buffer
	if err := WriteJSON(&second, back); err != nil {
		t.Fatal(err)
	}
	if first.String() != second.String() {
		t.Errorf("written, read and written again gives another text:\n%s\n%s", first.String(), second.String())
	}
	if back.Verdicts != r.Verdicts || back.Counted != r.Counted || len(back.Kicks) != len(r.Kicks) || len(back.Summary) != len(r.Summary) {
		t.Error("verdicts, counts or lengths differ")
	}
	for i, m := range r.Summary {
		if back.Summary[i].ID != m.ID {
			t.Fatalf("measure %d is %s, want %s", i, back.Summary[i].ID, m.ID)
		}
	}
}

func TestReadJSONRefusesOtherJSON(t *testing.T) {
	for _, text := range []string{"", "{}", `{"summary":{}}`, "[1]", `{"method":"kick/1","summary":{"speed":{"value":"fast"}}}`} {
		if _, err := ReadJSON(strings.NewReader(text)); err == nil {
			t.Errorf("%q was taken for a result", text)
		}
	}
}

func FuzzReadJSON(f *testing.F) {
	f.Add([]byte(`{"method":"kick/1","summary":{"speed":{"value":1,"unit":"m/s","sd":null,"n":3}},"kicks":[{"number":0,"measures":{"speed":{"value":1}}},{"number":1,"measures":null}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		if r, err := ReadJSON(bytes.NewReader(text)); err == nil {
			if err := WriteJSON(&bytes.Buffer{}, r); err != nil {
				t.Errorf("what was read cannot be written: %v", err)
			}
		}
	})
}
