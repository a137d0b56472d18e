package record

import (
	"fmt"
	"slices"
	"testing"
)

func TestNamesakesAreThePairsThatAreAlike(t *testing.T) {
	names := []string{"Mira Tallow", "Tallow, Mira", "Mira Talow", "Joren Pike", "", "Bo", "Bó", "Edda Quill", "  ", "Edda Quil"}
	got := Namesakes(names)
	for i, a := range names {
		var want []int
		for j, b := range names {
			if i != j && Alike(a, b) {
				want = append(want, j)
			}
		}
		if !slices.Equal(got[i], want) {
			t.Errorf("%q: %v, want %v", a, got[i], want)
		}
	}
	if len(got[0]) != 2 || len(got[3]) != 0 || len(got[4]) != 0 {
		t.Errorf("namesakes %v", got)
	}
}

func BenchmarkNamesakes(b *testing.B) {
	var names []string
	for i := range 200 {
		names = append(names, fmt.Sprintf("Firstname%d Lastname%d", i*37%200, i))
	}
	for b.Loop() {
		Namesakes(names)
	}
}
