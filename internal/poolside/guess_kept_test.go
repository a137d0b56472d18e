package poolside

import (
	"testing"

	"underkick/internal/record"
)

// A guess that was made ready while the camera was still being followed lies in another
// plane than the marks once that is done: it has to be made anew.
func TestAGuessIsMadeAnewForAnotherView(t *testing.T) {
	scale := record.Scale{Kind: record.KnownLength, LengthM: 5, PointsPx: [2][2]float64{{0, 0}, {500, 0}}, Steady: true}
	in := chainInput{Times: []float64{0, 0.02, 0.04}}
	key := func(in chainInput, s record.Scale) string {
		t.Helper()
		k, err := in.guessKey(s)
		if err != nil {
			t.Fatal(err)
		}
		return k
	}
	first := key(in, scale)
	if key(in, scale) != first {
		t.Error("the same view twice is made ready twice")
	}
	followed, cut, longer := in, in, scale
	followed.steadied.found = "abc"
	cut.Times = in.Times[:2]
	longer.LengthM = 6
	for name, k := range map[string]string{
		"the camera was followed": key(followed, scale), "the run was cut": key(cut, scale), "the length was changed": key(in, longer),
	} {
		if k == first {
			t.Errorf("%s, and the guess stays as it was", name)
		}
	}
}
