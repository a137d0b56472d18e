package worth

import (
	"fmt"
	"testing"

	"underkick/internal/swim"
)

func benchRuns(b *testing.B) (own, ref Run) {
	good, faulty := goodAndFaulty(b, swim.NewModel(adult, swim.ModelOptions{}), swim.Reference(), faults[1])
	c := camera{point: 0.004, offset: 0.004}
	return filmRun(faulty, c, seeded(1)), filmRun(good, c, seeded(2))
}

// One attribution: 32 swims.
func BenchmarkAttribution(b *testing.B) {
	m := swim.NewModel(adult, swim.ModelOptions{})
	own, ref := swim.Reference().Pointed(-10*rad), swim.Templates()[3]
	b.ReportAllocs()
	for b.Loop() {
		if _, err := attribute(m, own, ref, 1.4, centralSteps); err != nil {
			b.Fatal(err)
		}
	}
}

// One move of a slider: the changed kick swims.
func BenchmarkWhatIf(b *testing.B) {
	m := swim.NewModel(adult, swim.ModelOptions{})
	o, err := calibrated(m, swim.Reference(), 1.4, centralSteps)
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range []Change{{"foot", 10}, {"sweep", 5}, {"hip_end", 5}, {"peak", 6}, {"tempo", 5}, {"knee", 10}} {
		b.Run(c.Name, func(b *testing.B) {
			for b.Loop() {
				a, err := c.ask(m, o, centralSteps)
				if err != nil {
					b.Fatal(err)
				}
				effort(o, a.after)
			}
		})
	}
}

// The bands, on all cores.
func BenchmarkBands(b *testing.B) {
	own, ref := benchRuns(b)
	for _, draws := range []int{40, 200} {
		b.Run(fmt.Sprintf("attribution%d", draws), func(b *testing.B) {
			for b.Loop() {
				if _, err := Estimate(b.Context(), Input{Run: own, Against: []Run{ref}, Subject: adult, Draws: draws}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("oneWhatIf200", func(b *testing.B) {
		for b.Loop() {
			e := &estimator{Input: Input{Run: own, Subject: adult, Draws: 200, Changes: []Change{{"foot", 10}}}, result: &Result{}}
			if err := e.central(); err != nil {
				b.Fatal(err)
			}
			e.asked = e.Changes
			e.result.Changes = e.result.Changes[len(e.result.Changes)-1:]
			if err := e.bands(b.Context()); err != nil {
				b.Fatal(err)
			}
		}
	})
}
