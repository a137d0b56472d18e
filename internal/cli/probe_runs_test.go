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

func TestChecksOfAMeasuredClip(t *testing.T) {
	clip, marks, plane, _ := demoFiles(t, "edda-november")
	args := []string{"measure", clip, "--marks", marks, "--plane", plane, "--height", "1.61"}
	code, out, errOut := underkick(t, append(args, "--shutter", "1/25")...)
	if code != 0 {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	for _, want := range []string{
		"check: 120 pictures per second\n", "whole kicks in view. Wider bands", "the fastest toe smears over", "Facing is doubtful",
		"check: the camera looks square across the lane within 10 degrees\n", "mm per px\n",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	if !strings.Contains(out, "The fastest toe is blurred over more than half a foot length") {
		t.Errorf("facing carries no reason:\n%s", out)
	}
	if code, _, errOut := underkick(t, append(args, "--shutter", "fast")...); code != exitUsage || !strings.Contains(errOut, "1/500") {
		t.Errorf("exit %d: %s", code, errOut)
	}
	if code, _, errOut := underkick(t, "measure", clip, "--marks", marks, "--height", "1.61", "--steady"); code != exitUsage || !strings.Contains(errOut, "--steady needs a scale") {
		t.Errorf("exit %d: %s", code, errOut)
	}
}
