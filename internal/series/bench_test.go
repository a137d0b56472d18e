package series

import "testing"

func BenchmarkLowPass(b *testing.B) {
	x := noise(2400, 1)
	b.ReportAllocs()
	for b.Loop() {
		LowPass(x, 240, 10)
	}
}

func BenchmarkResidualCutoff(b *testing.B) {
	x := noise(2400, 1)
	for b.Loop() {
		ResidualCutoff(x, 240)
	}
}

func BenchmarkDominantFrequency(b *testing.B) {
	x := sine(2400, 2.2, 240, 0)
	for b.Loop() {
		DominantFrequency(x, 240, 0.6, 4)
	}
}
