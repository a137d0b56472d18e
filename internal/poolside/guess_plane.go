package poolside

import (
	"underkick/internal/camera"
	"underkick/internal/trace"
)

// planeGuess makes a guess in px ready for the fit in plane coordinates, at the
// times of a run's frames.
func planeGuess(seen trace.Seen, times []float64, view camera.View) (*trace.Guess, error) {
	var err error
	if seen.Points, err = toPlane(seen.Points, view); err != nil {
		return nil, err
	}
	if seen.Pointed, err = toPlane(seen.Pointed, view); err != nil {
		return nil, err
	}
	return trace.NewGuess(times, seen)
}
