package wall

import "testing"

func BenchmarkFind(b *testing.B) {
	q := typical()
	for b.Loop() {
		if _, err := Find(b.Context(), q); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPlanRace(b *testing.B) {
	r := race(Event{Pool25m, 200, Medley})
	r.Worth = Given{Value: 0.05, SD: 0.02}
	for b.Loop() {
		if _, err := PlanRace(b.Context(), r); err != nil {
			b.Fatal(err)
		}
	}
}
