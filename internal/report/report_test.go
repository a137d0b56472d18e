package report

import (
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/drawing"
	"underkick/internal/kick"
	"underkick/internal/kick/kicktest"
	"underkick/internal/limit"
)

// measured is the reference swimmer of package kicktest over 2.6 s.
func measured(t *testing.T) *kick.Result {
	t.Helper()
	swimmer := kicktest.Reference()
	m := swimmer.Fitted(kicktest.Times(0, 2.6, 120))
	r, err := kick.MeasureRun(t.Context(), m, body.Subject{Height: 1.8, Mass: 75, Sex: body.Male}, kick.Options{Draws: -1})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestNumbersAreWrittenAsDefined(t *testing.T) {
	for _, c := range []struct {
		id, unit string
		value    float64
		want     string
	}{
		{"speed", "m/s", 1.234, "1.23\u00a0m/s"},
		{"facing", "1", 0.287, "29\u00a0%"},
		{"facing_upkick", "1", 0.004, "0\u00a0%"},
		{"rearward_area", "m2", 0.0381, "381\u00a0cm²"},
		{"knee_flexion_max", "deg", 71.4, "71°"},
		{"end_lead", "deg", -3.6, "−4°"},
		{"strouhal", "1", 0.8312, "0.83"},
		{"downkick_duration", "s", 0.2166, "0.217\u00a0s"},
		{"speed", "m/s", math.NaN(), "–"},
	} {
		if got := WithUnit(c.id, c.unit, c.value); got != c.want {
			t.Errorf("%s %v is written %q, want %q", c.id, c.value, got, c.want)
		}
	}
}

func TestValueTakesTheWordAndSpreadTheBand(t *testing.T) {
	if got := Value(kick.Measure{ID: "build_peak", Text: "late", Value: math.NaN()}); got != "late" {
		t.Errorf("value %q", got)
	}
	m := kick.Measure{ID: "facing", Unit: "1", Value: 0.29, Low: 0.26, High: 0.32}
	if got, want := Spread(m), "26 to 32\u00a0%"; got != want {
		t.Errorf("band %q, want %q", got, want)
	}
	m.Low = math.NaN()
	if Spread(m) != "" {
		t.Error("a band without an end is none")
	}
}

func TestBarSaysInWordsWhatItShows(t *testing.T) {
	m := kick.Measure{ID: "speed", Unit: "m/s", Value: 1.2, Low: 1.1, High: 1.3}
	published := limit.Range{Rows: []limit.Row{{}}, Low: 1.0, High: 1.4}
	svg := string(Bar(m, published, []float64{1.05, 1.15}))
	want := "1.20\u00a0m/s, band 1.10 to 1.30\u00a0m/s, published 1.00 to 1.40\u00a0m/s, last time 1.15\u00a0m/s"
	if !strings.Contains(svg, want) {
		t.Errorf("bar says %s\nwant %s", svg, want)
	}
	if strings.Count(svg, `class="earlier"`) != 2 || strings.Count(svg, `class="bracket"`) != 3 {
		t.Errorf("two ticks and a closed bracket expected: %s", svg)
	}
	m.Reasons = []kick.Reason{{Code: "blur"}}
	if !strings.Contains(string(Bar(m, limit.Range{}, nil)), `class="bar doubtful"`) {
		t.Error("a doubtful measure must be greyed")
	}
	if Bar(kick.Measure{ID: "build_peak", Text: "late", Value: 0.7}, limit.Range{}, nil) != "" {
		t.Error("a word has no bar")
	}
}

func TestPhaseCurveShowsMomentsAndOtherKicks(t *testing.T) {
	r := measured(t)
	svg := string(PhaseCurve(r, 2, FootSpeed()))
	if strings.Count(svg, "<svg") != 2 {
		t.Fatal("a wide and a narrow drawing expected")
	}
	for _, word := range []string{">set<", ">drive<", ">fastest<", ">finish<", ">downkick<", ">upkick<", "foot speed, m/s"} {
		if strings.Count(svg, word) != 2 {
			t.Errorf("%s stands there %d times, want once in each drawing", word, strings.Count(svg, word))
		}
	}
	if got, want := strings.Count(svg, "line others"), 2*(r.Counted-1); got != want {
		t.Errorf("%d faint curves, want %d", got, want)
	}
	if PhaseCurve(r, 99, FootSpeed()) != "" || PhaseCurve(r, 0, FootSpeed()) != "" {
		t.Error("a kick that is not there has no curve")
	}
}

func TestLoopsShareOneScale(t *testing.T) {
	r := measured(t)
	loops := Loops(r)
	if len(loops) != len(r.Signals.Curves) || len(loops) < 3 {
		t.Fatalf("%d loops for %d kicks", len(loops), len(r.Signals.Curves))
	}
	zero := func(svg string) string { return svg[strings.Index(svg, "line zero"):][:40] }
	for _, l := range loops[1:] {
		if zero(string(l.SVG)) != zero(string(loops[0].SVG)) {
			t.Error("the body line lies elsewhere in another loop: scales differ")
		}
	}
	wellFormed(t, string(loops[0].SVG))
}

func TestStillIsWellFormedAndEscaped(t *testing.T) {
	s := Still{
		Picture: `/clip/a"b/frame/3.jpg`, WidthPx: 640, HeightPx: 360, Crop: drawing.Crop{X: 100, Y: 50, W: 160, H: 120}, Title: "set <1>",
		Scene: drawing.Scene{Layers: []drawing.Layer{{ID: drawing.BodyLayer, Shapes: []drawing.Shape{
			drawing.Line{Role: drawing.Body, Points: []drawing.Point{{X: 120, Y: 80}, {X: 160, Y: 90}}, Width: 2},
		}}}},
	}
	svg := string(s.SVG())
	wellFormed(t, svg)
	if strings.Contains(svg, `a"b`) || !strings.Contains(svg, "set &lt;1&gt;") || !strings.Contains(svg, `d="M20 30L60 40"`) {
		t.Errorf("text not escaped or line not in the crop: %s", svg)
	}
}

func wellFormed(t *testing.T, svg string) {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(svg))
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%s", err, svg)
		}
		if el, ok := tok.(xml.StartElement); ok {
			for _, a := range el.Attr {
				if a.Name.Local == "style" || a.Name.Local == "id" {
					t.Errorf("attribute %s on %s", a.Name.Local, el.Name.Local)
				}
			}
		}
	}
}

func TestJSONHoldsEveryMeasureAndNoNaN(t *testing.T) {
	r := measured(t)
	r.Summary[0].Reasons = []kick.Reason{{Code: "few-kicks", Text: "Too few.", Withheld: false}}
	r.Summary[0].SD = math.NaN()
	var b strings.Builder
	if err := WriteJSON(&b, r); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Summary map[string]map[string]any `json:"summary"`
		Kicks   []map[string]any          `json:"kicks"`
	}
	if err := json.Unmarshal([]byte(b.String()), &got); err != nil {
		t.Fatal(err)
	}
	for _, d := range kick.Definitions() {
		m, ok := got.Summary[d.ID]
		if !ok {
			t.Errorf("summary lacks %s", d.ID)
			continue
		}
		for _, key := range []string{"value", "unit", "sd", "n", "low", "high", "reasons"} {
			if _, ok := m[key]; !ok {
				t.Errorf("%s lacks %s", d.ID, key)
			}
		}
	}
	first := got.Summary[r.Summary[0].ID]
	if first["sd"] != nil || len(first["reasons"].([]any)) != 1 {
		t.Errorf("unknown numbers must be null and reasons listed: %v", first)
	}
	if len(got.Kicks) != len(r.Kicks) {
		t.Errorf("%d kicks, want %d", len(got.Kicks), len(r.Kicks))
	}
	for i, k := range got.Kicks {
		for _, key := range []string{"start", "top", "bottom", "end", "counted", "measures"} {
			if _, ok := k[key]; !ok {
				t.Errorf("kick %d lacks %s", i, key)
			}
		}
	}
}

func TestCSVNumbersReadBackAsTheyWere(t *testing.T) {
	r := measured(t)
	var b strings.Builder
	if err := WriteSummaryCSV(&b, r); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != len(r.Summary)+1 {
		t.Fatalf("%d rows for %d measures", len(rows), len(r.Summary))
	}
	for i, m := range r.Summary {
		got := rows[i+1]
		if m.Text != "" || math.IsNaN(m.Value) {
			if got[1] != m.Text {
				t.Errorf("%s reads %q, want %q", m.ID, got[1], m.Text)
			}
			continue
		}
		back, err := strconv.ParseFloat(got[1], 64)
		if err != nil || math.Abs(back-m.Value) > 1e-7*math.Abs(m.Value) {
			t.Errorf("%s reads %q, want %v", m.ID, got[1], m.Value)
		}
	}
}

func TestKicksCSVHasOneRowPerKickAndNamesUnits(t *testing.T) {
	r := measured(t)
	var b strings.Builder
	if err := WriteKicksCSV(&b, r); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != len(r.Kicks)+1 {
		t.Errorf("%d rows for %d kicks", len(rows), len(r.Kicks))
	}
	if !slices.Contains(rows[0], "toe_amplitude m") || !slices.Contains(rows[0], "build") {
		t.Errorf("columns %v", rows[0])
	}
}

func TestToePathNamesTheMoments(t *testing.T) {
	svg := string(ToePath(measured(t), 2))
	wellFormed(t, svg)
	for _, word := range []string{"drive", "fastest", "finish", "fastest-up", "across it, m"} {
		if !strings.Contains(svg, word) {
			t.Errorf("lacks %s", word)
		}
	}
	if n := strings.Count(svg, `class="dot"`); n < 5 {
		t.Errorf("%d dots on the path", n)
	}
	if ToePath(measured(t), 99) != "" {
		t.Error("a kick that is not there has no path")
	}
}
