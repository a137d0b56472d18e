package cli

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

func TestProbeProposesRuns(t *testing.T) {
	clip, _, _, truth := demoFiles(t, "joren-october-2")
	code, out, errOut := underkick(t, "probe", clip, "--runs", "--json")
	if code != 0 {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var f struct {
		Runs struct {
			CameraMoved bool `json:"camera_moved"`
			WholeClip   bool `json:"whole_clip"`
			List        []struct {
				First     int     `json:"first_frame"`
				Last      int     `json:"last_frame"`
				Direction string  `json:"direction"`
				Kicks     int     `json:"kicks"`
				Frequency float64 `json:"kick_frequency_hz"`
				Position  *string `json:"position"`
			} `json:"list"`
		} `json:"runs"`
	}
	if err := json.Unmarshal([]byte(out), &f); err != nil {
		t.Fatal(err)
	}
	if len(f.Runs.List) != 1 || f.Runs.CameraMoved || !f.Runs.WholeClip {
		t.Fatalf("%+v", f.Runs)
	}
	r := f.Runs.List[0]
	if r.Direction != "right" || r.Position != nil || r.First >= r.Last || math.Abs(r.Frequency/truth.Model.Tempo-1) > 0.05 || r.Kicks < 3 {
		t.Errorf("%+v", r)
	}
	code, out, errOut = underkick(t, "probe", clip, "--runs")
	if code != 0 || !strings.Contains(out, "run 1: frames") || !strings.Contains(errOut, "looking for swimmers") {
		t.Errorf("exit %d\n%s%s", code, out, errOut)
	}
	if code, out, _ = underkick(t, "probe", clip, "--json"); code != 0 || strings.Contains(out, `"runs"`) {
		t.Errorf("without --runs, exit %d\n%s", code, out)
	}
}
