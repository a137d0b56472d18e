package chart

import (
	"encoding/xml"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// phase is a drawing that uses every part of Plot.
func phase() Plot {
	var x, v, low, high, width []float64
	for i := range 41 {
		p := float64(i) / 40
		s := 4 * math.Sin(math.Pi*p) * math.Sin(math.Pi*p)
		x, v = append(x, p), append(v, s)
		low, high = append(low, s-0.2), append(high, s+0.2)
		width = append(width, 1+s)
	}
	v[20] = math.NaN()
	return Plot{
		Class: "phase", Title: `speed of the foot & more "words"`,
		Y:       Axis{Label: "foot speed, m/s"},
		X:       Axis{Min: 0, Max: 1, Label: "downkick"},
		Bands:   []Band{{X: x, Low: low, High: high, Class: "all"}},
		Ribbons: []Ribbon{{X: x, Y: low, Width: width}},
		Lines:   []Line{{X: x, Y: v, Class: "chosen", Label: "kick 3"}},
		Dots:    []Dots{{X: []float64{0.5}, Y: []float64{4}, R: 4}},
		Rules:   []Rule{{At: 0.1, Label: "set"}, {At: 0.12, Label: "drive"}, {At: 0.5, Label: "fastest"}, {At: math.NaN(), Label: "finish"}},
		Parts:   []Part{{From: 0, To: 0.5, Label: "down"}, {From: 0.5, To: 1, Label: "up"}},
	}
}

func TestGolden(t *testing.T) {
	drawings := map[string]string{
		"phase": phase().SVG(),
		"loop":  Plot{Title: "loop", Width: 120, Height: 90, Equal: true, X: Axis{Bare: true}, Y: Axis{Bare: true, Zero: true}, Lines: []Line{{X: []float64{0, 1, 0}, Y: []float64{0, 0.2, 0.4}}}, Notes: []Note{{X: 1, Y: 0.2, Text: "a < b", Left: true}, {X: math.NaN(), Text: "nowhere"}}}.SVG(),
		"bar":   Bar{Title: "a bar", Value: 0.3, Low: 0.2, High: 0.4, Range: &Range{0.25, math.NaN()}, Earlier: []float64{0.1, 0.15}}.SVG(),
		"empty": Bar{Title: "nothing known", Value: math.NaN()}.SVG(),
	}
	for name, got := range drawings {
		path := filepath.Join("testdata", name+".golden.svg")
		if *update {
			if err := os.WriteFile(path, []byte(got+"\n"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if diff := differ(got, strings.TrimSpace(string(want))); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

var number = regexp.MustCompile(`-?\d+(\.\d+)?`)

// differ compares the text exactly and the numbers to a tenth of a pixel and a
// bit, since multiply-add may be fused on some machines.
func differ(got, want string) string {
	if g, w := number.ReplaceAllString(got, "#"), number.ReplaceAllString(want, "#"); g != w {
		return "text differs:\n" + g + "\nwant\n" + w
	}
	g, w := number.FindAllString(got, -1), number.FindAllString(want, -1)
	for i := range g {
		a, _ := strconv.ParseFloat(g[i], 64)
		b, _ := strconv.ParseFloat(w[i], 64)
		if math.Abs(a-b) > 0.11 {
			return "number " + g[i] + ", want " + w[i]
		}
	}
	return ""
}

func TestDrawingsAreWellFormedAndFreeOfStyleAndScript(t *testing.T) {
	for _, s := range []string{phase().SVG(), Bar{Title: `<script>`, Value: 1}.SVG()} {
		dec := xml.NewDecoder(strings.NewReader(s))
		for {
			tok, err := dec.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("not well formed: %v\n%s", err, s)
			}
			el, ok := tok.(xml.StartElement)
			if !ok {
				continue
			}
			if el.Name.Local == "script" || el.Name.Local == "style" {
				t.Errorf("element %s", el.Name.Local)
			}
			for _, a := range el.Attr {
				if a.Name.Local == "style" || a.Name.Local == "id" || strings.HasPrefix(a.Name.Local, "on") {
					t.Errorf("attribute %s on %s", a.Name.Local, el.Name.Local)
				}
			}
		}
	}
}

func TestStepIsTheRoundOneJustLargeEnough(t *testing.T) {
	for _, c := range []struct {
		span float64
		n    int
		want float64
	}{
		{10, 5, 2},
		{1, 5, 0.2},
		{0.9, 4, 0.5},
		{7, 7, 1},
		{0.031, 4, 0.01},
		{4200, 6, 1000},
		{0, 5, 1},
		{-1, 5, 1},
		{math.NaN(), 5, 1},
		{math.Inf(1), 5, 1},
		{1, 0, 1},
	} {
		if got := step(c.span, c.n); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("step(%v, %d) = %v, want %v", c.span, c.n, got, c.want)
		}
	}
}

func TestRoundTicksLieInsideAndAreWrittenExactly(t *testing.T) {
	var texts []string
	for _, tk := range RoundTicks(-0.43, 0.39, 5) {
		if tk.At < -0.43 || tk.At > 0.39 {
			t.Errorf("tick %v outside", tk.At)
		}
		texts = append(texts, tk.Text)
	}
	if got, want := strings.Join(texts, " "), "−0.4 −0.2 0.0 0.2"; got != want {
		t.Errorf("ticks %q, want %q", got, want)
	}
}

func TestFormatNumber(t *testing.T) {
	for _, c := range []struct {
		x    float64
		d    int
		want string
	}{{1.234, 2, "1.23"}, {-1.5, 1, "−1.5"}, {-0.001, 2, "0.00"}, {math.NaN(), 1, "–"}, {math.Inf(-1), 1, "–"}, {12, 0, "12"}} {
		if got := FormatNumber(c.x, c.d); got != c.want {
			t.Errorf("FormatNumber(%v, %d) = %q, want %q", c.x, c.d, got, c.want)
		}
	}
}

func TestEqualAxesShareOneScaleAndHoldTheData(t *testing.T) {
	p := Plot{
		Width: 200, Height: 100, Equal: true, X: Axis{Bare: true}, Y: Axis{Bare: true},
		Lines: []Line{{X: []float64{-0.1, 0.2}, Y: []float64{-0.4, 0.3}}},
	}
	f := p.layout()
	if f.sx != f.sy {
		t.Errorf("scales %v and %v", f.sx, f.sy)
	}
	for i := range p.Lines[0].X {
		x, y := f.px(p.Lines[0].X[i]), f.py(p.Lines[0].Y[i])
		if x < f.left || x > f.right || y < f.top || y > f.bottom {
			t.Errorf("point %d at %v, %v is outside the frame", i, x, y)
		}
	}
}

func TestBarHoldsEveryNumberAndKeepsTheirOrder(t *testing.T) {
	b := Bar{Value: 5, Low: 4, High: 6, Range: &Range{1, 2}, Earlier: []float64{9}}
	lo, hi := b.ends()
	if lo >= 1 || hi <= 9 {
		t.Errorf("line runs %v to %v, must hold 1 to 9", lo, hi)
	}
	if lo, hi := (Bar{Value: 0}).ends(); !(lo < 0 && hi > 0) {
		t.Errorf("a lone zero gives %v to %v", lo, hi)
	}
}

func TestRibbonOfAStraightPathIsARectangle(t *testing.T) {
	got := ribbonOutline([]float64{0, 10, 20}, []float64{5, 5, 5}, []float64{2, 2, 2})
	if want := "M0 6L10 6L20 6L20 4L10 4L0 4Z"; got != want {
		t.Errorf("outline %s, want %s", got, want)
	}
	if ribbonOutline([]float64{0, math.NaN(), 2}, []float64{0, 0, 0}, []float64{1, 1, 1}) != "" {
		t.Error("single points must not be drawn")
	}
}

func FuzzPlotNeverBreaks(f *testing.F) {
	f.Add(0.0, 1.0, 2.0, -3.0)
	f.Add(math.NaN(), math.Inf(1), 1e308, -1e308)
	f.Fuzz(func(t *testing.T, a, b, c, d float64) {
		s := Plot{Lines: []Line{{X: []float64{a, b}, Y: []float64{c, d}}}}.SVG()
		if strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
			t.Errorf("coordinates that are no numbers: %s", s)
		}
		s = Bar{Value: a, Low: b, High: c, Earlier: []float64{d}}.SVG()
		if strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
			t.Errorf("coordinates that are no numbers: %s", s)
		}
	})
}

// TestRuleLabelsDoNotRunIntoEachOther reads the labels' places back from a
// drawing whose rules all but coincide.
func TestRuleLabelsDoNotRunIntoEachOther(t *testing.T) {
	p := Plot{X: Axis{Min: 0, Max: 1}, Y: Axis{Min: 0, Max: 1}, Rules: []Rule{
		{At: 0.05, Label: "set"}, {At: 0.05, Label: "drive"}, {At: 0.07, Label: "fastest"}, {At: 0.08, Label: "finish"},
	}}
	place := regexp.MustCompile(`<text class="tick" text-anchor="middle" x="([0-9.]+)" y="(14|30)">([a-z]+)</text>`)
	ends := map[string]float64{}
	found := place.FindAllStringSubmatch(p.SVG(), -1)
	if len(found) != len(p.Rules) {
		t.Fatalf("%d labels, want %d", len(found), len(p.Rules))
	}
	for _, m := range found {
		x, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		half := float64(len(m[3])) * labelPx / 2
		if x-half < ends[m[2]] {
			t.Errorf("%s starts at %v, before the label to its left ends at %v", m[3], x-half, ends[m[2]])
		}
		ends[m[2]] = x + half
	}
}
