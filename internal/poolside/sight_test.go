package poolside

import (
	"math"
	"testing"
)

// Direction, tempo and whole kicks of demo clips must be seen without a mark: one that
// drifts and goes left, one in slow motion, one like most.
func TestRunsOfDemoClipsAreFound(t *testing.T) {
	skipShort(t)
	for _, c := range loadDemo(t).Clips {
		if c.Name != "nilo-november" && c.Name != "bram-october" && c.Name != "joren-october-1" {
			continue
		}
		truth, err := c.Truth()
		if err != nil {
			t.Fatal(err)
		}
		seen, err := FindRuns(t.Context(), openEngine(t), clipFile(t, c), c.TrueFPS, nil)
		if err != nil {
			t.Fatal(err)
		}
		if len(seen.Runs) != 1 {
			t.Fatalf("%s: %d runs: %+v", c.Name, len(seen.Runs), seen.Runs)
		}
		r := seen.Runs[0]
		t.Logf("%s: %+v; true %v, %d kicks at %.3f", c.Name, r, truth.InView, len(truth.Kicks), truth.Model.Tempo)
		if r.Right == truth.Left || seen.Moved != truth.Drifts || !seen.Whole {
			t.Errorf("%s: right %v, camera moved %v, whole clip %v", c.Name, r.Right, seen.Moved, seen.Whole)
		}
		if math.Abs(r.Frequency/truth.Model.Tempo-1) > 0.05 || math.Abs(float64(r.Kicks-len(truth.Kicks))) > 1 {
			t.Errorf("%s: %d kicks at %.3f Hz, true %d at %.3f", c.Name, r.Kicks, r.Frequency, len(truth.Kicks), truth.Model.Tempo)
		}
		room := int(0.35 * truth.TrueFPS)
		if r.First < truth.InView[0]-room/3 || r.First > truth.InView[0]+room || r.Last > truth.InView[1]+room/3 || r.Last < truth.InView[1]-room {
			t.Errorf("%s: frames %d to %d, the whole swimmer is in view from %d to %d", c.Name, r.First, r.Last, truth.InView[0], truth.InView[1])
		}
	}
}
