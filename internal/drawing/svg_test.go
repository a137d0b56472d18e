package drawing

import (
	"encoding/xml"
	"flag"
	"io"
	"os"
	"strings"
	"testing"

	"underkick/internal/body"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// TestSVGGolden draws one constructed picture with everything on, as filmed and mirrored.
func TestSVGGolden(t *testing.T) {
	r := posed(false, false)
	r.Motion.Paths[body.Ankle].SD = []float64{0, 0, 0.04, 0, 0}
	r.Marked = func(_ int, l body.Landmark) bool { return l == body.Hip }
	for name, mirror := range map[string]bool{"still": false, "mirrored": true} {
		f := Frame{WidthPx: 1280, HeightPx: 720, Crop: Crop{X: 300, Y: 150, W: 400, H: 300, Mirror: mirror}, KeepOff: true}
		sw := All().With(ClockLayer, false)
		got := SVG(r.Scene(2, sw, f), Sheet{
			Picture: `/clip/a"b/frame/2.jpg`, WidthPx: 1280, HeightPx: 720, Crop: f.Crop, Title: "finish <1>", Class: "still film",
		})
		got = strings.ReplaceAll(got, "><", ">\n<") + "\n"
		wellFormed(t, got)
		file := "testdata/" + name + ".golden"
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs: read the difference, then run with -update\n%s", file, got)
		}
	}
}

func TestCutPictureFillsTheCrop(t *testing.T) {
	svg := SVG(Scene{}, Sheet{Picture: "/x.jpg", Cut: true, WidthPx: 1280, HeightPx: 720, Crop: Crop{X: 300, Y: 150, W: 400, H: 300, Mirror: true}})
	if !strings.Contains(svg, `<image href="/x.jpg" width="400" height="300"`) {
		t.Errorf("a picture that is cut already is cut again: %s", svg)
	}
}

func wellFormed(t *testing.T, svg string) {
	t.Helper()
	for dec := xml.NewDecoder(strings.NewReader(svg)); ; {
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
