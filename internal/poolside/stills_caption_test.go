package poolside

import (
	"regexp"
	"strings"
	"testing"

	"underkick/internal/drawing"
)

// TestNumbersOfCaptionsCarryTheirBands: in the captions of every demo run each number
// stands with its band, or the line says why there is none; facing is told at drive and
// drive-up alone, as the kick page shows it.
func TestNumbersOfCaptionsCarryTheirBands(t *testing.T) {
	skipShort(t)
	digit, band := regexp.MustCompile(`\d`), regexp.MustCompile(`\d.* \(.*\d to .*\d.*\)`)
	lines := 0
	for _, c := range loadDemo(t).Clips {
		marks, err := c.Marks()
		if err != nil {
			t.Fatal(err)
		}
		truth, err := c.Truth()
		if err != nil {
			t.Fatal(err)
		}
		m := measureDemo(t, c, marks)
		for _, k := range candidates(m.Result) {
			for _, s := range m.stills(k, stillsFrame{Frame: drawing.Frame{WidthPx: float64(truth.WidthPx), HeightPx: float64(truth.HeightPx)}}) {
				for _, line := range s.Caption {
					lines++
					if digit.MatchString(line) && !band.MatchString(line) && !strings.Contains(line, "not known") {
						t.Errorf("%s at %s: %q has a number without a band", c.Name, s.Moment, line)
					}
				}
				facing := s.FacingCaption()
				if (facing != "") != (s.Moment == "drive" || s.Moment == "drive-up") {
					t.Errorf("%s at %s: facing says %q", c.Name, s.Moment, facing)
				}
			}
		}
	}
	if lines == 0 {
		t.Fatal("no caption at all")
	}
}
