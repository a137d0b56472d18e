package poolside

import (
	"underkick/internal/camera"
	"underkick/internal/trace"
)

// planeGuess makes a guess in px ready for the fit in plane coordinates, at the
// times of a run's frames.
func planeGuess(seen trace.Seen, times []float64, view camera.View) (*trace.Guess, error) {
	if n := len(seen.Points); n > 0 {
		p := seen.Points[n/2]
		seen.Length *= view.MetresPerPx(p.Time, p.X, p.Y)
	}
	var err error
	if seen.Points, err = toPlane(seen.Points, view); err != nil {
		return nil, err
	}
	if seen.Pointed, err = toPlane(seen.Pointed, view); err != nil {
		return nil, err
	}
	return trace.NewGuess(times, seen)
}
