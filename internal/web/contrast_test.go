package web

import (
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// Thresholds of WCAG 2.2 (W3C Recommendation, 2023): 1.4.3 asks 4.5 for text,
// 1.4.11 asks 3 for parts of controls and drawings that carry meaning.
const (
	forText    = 4.5
	forDrawing = 3.0
)

var pairs = []struct {
	ink, ground string
	least       float64
}{
	{"ink", "ground", forText},
	{"ink", "surface", forText},
	{"ink", "accent-ground", forText},
	{"soft", "ground", forText},
	{"soft", "surface", forText},
	{"soft", "accent-ground", forText},
	{"accent", "ground", forText},
	{"accent", "surface", forText},
	{"accent", "accent-ground", forText},
	{"accent-ink", "accent", forText},
	{"warn", "ground", forText},
	{"warn", "warn-ground", forText},
	{"warn", "surface", forText},
	{"edge", "ground", forDrawing},
	{"edge", "surface", forDrawing},
	{"data-1", "ground", forDrawing},
	{"data-1", "surface", forDrawing},
	{"data-2", "ground", forDrawing},
	{"data-2", "surface", forDrawing},
	{"data-3", "ground", forDrawing},
	{"data-3", "surface", forDrawing},
	{"paper-link", "paper", forText},
	{"film-line", "film-casing", forText},
	{"film-chosen", "film-casing", forText},
	{"film-facing", "film-casing", forText},
}

func TestColoursPassWCAG(t *testing.T) {
	css, err := os.ReadFile("static/css/colours.css")
	if err != nil {
		t.Fatal(err)
	}
	themes := colourThemes(t, string(css))
	for name, colours := range themes {
		for _, p := range pairs {
			ink, ok1 := colours[p.ink]
			ground, ok2 := colours[p.ground]
			if !ok1 || !ok2 {
				t.Errorf("%s: --%s or --%s is not defined", name, p.ink, p.ground)
				continue
			}
			if got := contrast(ink, ground); got < p.least {
				t.Errorf("%s: --%s on --%s has contrast %.2f, needs %.1f", name, p.ink, p.ground, got, p.least)
			}
		}
	}
}

// TestContrastAgainstKnownRatios holds the arithmetic against ratios printed in
// WCAG's own documents: black on white 21 (definition of contrast ratio), and
// #767676 on white 4.54, the well-known lightest passing grey (technique G18
// tools; from memory).
func TestContrastAgainstKnownRatios(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want float64
	}{{"#000000", "#ffffff", 21}, {"#ffffff", "#ffffff", 1}, {"#767676", "#ffffff", 4.54}} {
		if got := contrast(parseColour(t, c.a), parseColour(t, c.b)); math.Abs(got-c.want) > 0.005 {
			t.Errorf("contrast of %s on %s is %.3f, want %.2f", c.a, c.b, got, c.want)
		}
	}
}

func TestOtherSheetsNameNoColours(t *testing.T) {
	files, err := os.ReadDir("static/css")
	if err != nil {
		t.Fatal(err)
	}
	literal := regexp.MustCompile(`#[0-9a-fA-F]{3,8}\b|\brgba?\(|\bhsla?\(`)
	for _, f := range files {
		if f.Name() == "colours.css" {
			continue
		}
		css, err := os.ReadFile("static/css/" + f.Name())
		if err != nil {
			t.Fatal(err)
		}
		if found := literal.FindString(string(css)); found != "" {
			t.Errorf("%s names the colour %s; colours stand in colours.css", f.Name(), found)
		}
	}
}

type colour [3]float64 // linear red, green, blue

var property = regexp.MustCompile(`--([a-z0-9-]+):\s*(#[0-9a-f]{6});`)

// colourThemes returns the custom properties by theme: "day", and "night" and
// "print" as they override it.
func colourThemes(t *testing.T, css string) map[string]map[string]colour {
	t.Helper()
	parts := strings.Split(css, "@media")
	if len(parts) != 3 {
		t.Fatalf("expected a plain block and two media blocks, found %d", len(parts)-1)
	}
	themes := map[string]map[string]colour{"day": {}, "night": {}, "print": {}}
	for i, name := range []string{"day", "night", "print"} {
		for k, v := range themes["day"] {
			themes[name][k] = v
		}
		for _, m := range property.FindAllStringSubmatch(parts[i], -1) {
			themes[name][m[1]] = parseColour(t, m[2])
		}
	}
	return themes
}

func parseColour(t *testing.T, hex string) colour {
	t.Helper()
	var c colour
	for i := range c {
		n, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c[i] = linear(float64(n) / 255)
	}
	return c
}

// linear undoes the sRGB transfer curve as WCAG writes it.
func linear(s float64) float64 {
	if s <= 0.04045 {
		return s / 12.92
	}
	return math.Pow((s+0.055)/1.055, 2.4)
}

func (c colour) luminance() float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] }

func contrast(a, b colour) float64 {
	l, m := a.luminance(), b.luminance()
	return (max(l, m) + 0.05) / (min(l, m) + 0.05)
}
