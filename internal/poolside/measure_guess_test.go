package poolside

import (
	"errors"
	"strings"
	"testing"
)

// A guess that finds nobody where it was pointed at is lost at once; unmarked, nothing is
// measured from it, and the words say what to do.
func TestMeasureRefusesALostGuess(t *testing.T) {
	skipShort(t)
	c := clipNamed(t, "joren-october-1")
	req := FileRequest{
		Clip: clipFile(t, c), Film: openEngine(t), MetresPerPx: 0.0047,
		// In the water below the swimmer, askew.
		Guess: &FileGuess{CacheDir: t.TempDir(), From: 60, To: 74, At: 67, Fingertip: [2]float64{900, 680}, Toe: [2]float64{420, 560}},
	}
	_, err := MeasureFiles(t.Context(), req)
	if !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "nobody marked the run") || !strings.Contains(err.Error(), "--marks") {
		t.Errorf("an unmarked run through which the swimmer was not followed: %v", err)
	}
}
