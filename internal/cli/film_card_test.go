package cli

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

func TestFilmCard(t *testing.T) {
	code, out, errOut := underkick(t, "film-card", "--field", "90", "--distance", "3", "--fps", "120", "--shutter", "1/250", "--height", "1.80", "--json")
	if code != 0 {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var c struct {
		Water    float64 `json:"field_in_water_deg"`
		Width    float64 `json:"width_m"`
		Expected struct {
			Bands []struct {
				ID   string  `json:"id"`
				Half float64 `json:"half"`
			} `json:"bands"`
			Changes []struct {
				ID   string  `json:"id"`
				Drop float64 `json:"drop"`
			} `json:"changes"`
		} `json:"expected"`
	}
	if err := json.Unmarshal([]byte(out), &c); err != nil {
		t.Fatal(err)
	}
	// Snell's law: 90 degrees in air are 64.07 in water (reference notes, check 31).
	if math.Abs(c.Water-64.07) > 0.02 || math.Abs(c.Width-6*math.Tan(32.035*math.Pi/180)) > 0.01 {
		t.Errorf("%.2f degrees, %.3f m", c.Water, c.Width)
	}
	if len(c.Expected.Bands) < 40 || len(c.Expected.Changes) < 5 || c.Expected.Changes[0].Drop < c.Expected.Changes[1].Drop {
		t.Errorf("%d bands, changes %+v", len(c.Expected.Bands), c.Expected.Changes)
	}

	code, out, _ = underkick(t, "film-card", "--preset", "action-dome", "--equivalent", "20", "--brief")
	if code != 0 || !strings.Contains(out, "84 degrees of view in water, 84 in air") || !strings.Contains(out, "caution: Use no electrical gear") || strings.Contains(out, "What helps most") {
		t.Errorf("exit %d\n%s", code, out)
	}
	if code, out, _ = underkick(t, "film-card", "--presets"); code != 0 || strings.Count(out, "\n") < 5 {
		t.Errorf("exit %d\n%s", code, out)
	}
	for _, args := range [][]string{{"--preset", "camera"}, {"--shutter", "fast"}, {"--housing", "jar"}, {"clip.mp4"}, {"--focal", "4"}} {
		if code, _, errOut := underkick(t, append([]string{"film-card"}, args...)...); code != exitUsage || errOut == "" {
			t.Errorf("%v: exit %d: %s", args, code, errOut)
		}
	}
}

// TestFilmCardNamesItsOptions: what cannot be is said of the option that was typed, not of
// the field of the form behind it.
func TestFilmCardNamesItsOptions(t *testing.T) {
	for _, name := range []string{"field", "equivalent", "focal", "sensor", "width", "height-px", "fps", "distance", "behind", "pane", "camera-depth", "swimmer-depth", "pool-depth", "height", "speed", "tempo", "distance-sd", "marked"} {
		code, _, errOut := underkick(t, "film-card", "--"+name, "-9", "--brief")
		if code != exitUsage || !strings.Contains(errOut, "--"+name+": is -9 ") {
			t.Errorf("%s: exit %d, %s", name, code, errOut)
		}
	}
	for args, want := range map[string]string{"--nonsense": "not defined: --nonsense", "--fps": "argument: --fps", "--fps x": "flag --fps"} {
		if code, _, errOut := underkick(t, append([]string{"film-card"}, strings.Fields(args)...)...); code != exitUsage || !strings.Contains(errOut, want) {
			t.Errorf("%s: exit %d, %s", args, code, errOut)
		}
	}
}
