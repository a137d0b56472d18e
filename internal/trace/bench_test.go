package trace

import (
	"math/rand/v2"
	"slices"
	"testing"

	"underkick/internal/body"
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

// The same film with a guess on every second frame and ten marked frames.
func BenchmarkFitGuess(b *testing.B) {
	times, marks, g := guessedFilm(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Fit(times, marks, Options{Guess: g}); err != nil {
			b.Fatal(err)
		}
	}
}

// Making the guess ready, once for a guess and a scale.
func BenchmarkNewGuess(b *testing.B) {
	s := swimmer{tempo: 2.3, speed: 100, length: 720}
	times := frames(10, 240)
	seen := s.see(times, 1)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewGuess(times, seen); err != nil {
			b.Fatal(err)
		}
	}
}

func guessedFilm(b *testing.B) ([]float64, []body.Mark, *Guess) {
	b.Helper()
	s := swimmer{tempo: 2.3, speed: 100, length: 720}
	times := frames(10, 240)
	g, err := NewGuess(times, s.see(times, 1))
	if err != nil {
		b.Fatal(err)
	}
	return times, s.click(times, staggered(times, 2.3, 0.5), seven, 2, rand.New(rand.NewPCG(1, 2))), g
}

// The choice of the next frame with a guess.
func BenchmarkAdviseGuess(b *testing.B) {
	times, marks, g := guessedFilm(b)
	f, err := Fit(times, marks, Options{Guess: g})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		Advise(times, marks, f, AdviseOptions{})
	}
}

// BenchmarkFitLostGuess is a fit about a guess that lost the swimmer half-way, 20 whole
// frames marked.
func BenchmarkFitLostGuess(b *testing.B) {
	s := regular(5)
	times := frames(5/s.tempo, 120)
	seen := s.see(times, 5)
	seen.Points = slices.DeleteFunc(seen.Points, func(m body.Mark) bool { return m.Frame > len(times)/2 })
	g, err := NewGuess(times, seen)
	if err != nil {
		b.Fatal(err)
	}
	marks := s.click(times, staggered(times, s.tempo, 4), nine, clickPx, rand.New(rand.NewPCG(5, 1)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Fit(times, marks, Options{Guess: g}); err != nil {
			b.Fatal(err)
		}
	}
}
