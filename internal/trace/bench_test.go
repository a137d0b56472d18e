package trace

import (
	"math/rand/v2"
	"testing"
)

// Ten seconds at 240 frames per second, nine landmarks, four marks per kick.
func BenchmarkFit(b *testing.B) {
	s := swimmer{tempo: 2.3, speed: 100, length: 720}
	times := frames(10, 240)
	marks := s.click(times, staggered(times, 2.3, 4), nine, 2, rand.New(rand.NewPCG(1, 2)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Fit(times, marks, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// The same film with every frame marked.
func BenchmarkFitDense(b *testing.B) {
	s := swimmer{tempo: 2.3, speed: 100, length: 720}
	times := frames(10, 240)
	every := make([]int, len(times))
	for i := range every {
		every[i] = i
	}
	marks := s.click(times, every, nine, 2, rand.New(rand.NewPCG(1, 2)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Fit(times, marks, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	s := swimmer{tempo: 2.3, speed: 100, length: 720}
	times := frames(10, 240)
	marks := s.click(times, staggered(times, 2.3, 4), nine, 2, rand.New(rand.NewPCG(1, 2)))
	f, err := Fit(times, marks, Options{})
	if err != nil {
		b.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(3, 4))
	b.ReportAllocs()
	for b.Loop() {
		f.Draw(rng)
	}
}
