package swim

import (
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/series"
)

// fitHarmonics is the number of harmonics of a filmed kick's joint curves: three more
// than made the swimmers it was tried on, and few enough to leave noise out.
const fitHarmonics = 5

// FitKick returns the kick that a filmed swimmer repeats: every joint's Fourier curve of
// five harmonics, with a steady drift that is then dropped, fitted by least squares to all
// frames of all whole kicks together.
//
// m holds the landmarks in the conventions of package body, x along the travel line;
// where the hip is does not matter. phase is each frame's phase in cycles, whole at toe
// tops and linear in time between them, so that kicks of unlike duration do not leak
// into the curves; NaN outside whole kicks. weight is each frame's weight, nil = alike.
// tempo is the run's, in Hz. Needed: Fingertip or Wrist, Shoulder, Hip, Knee, Ankle, Toe.
// With a Rib the trunk bends there: the kick has a spine curve and needs a model that bends.
//
// Errors: ErrGaps (wrapped) if a landmark is absent, series.ErrTooFew (wrapped) if the
// frames do not determine a curve.
func FitKick(m body.Motion, phase, weight []float64, tempo float64) (Kick, error) {
	k := Kick{Tempo: tempo}
	angle, pitchOf, last := m.JointAngle, func() []float64 { return m.SegmentAngle(body.Trunk) }, body.AnkleJoint
	if m.Has(body.Rib) {
		angle, pitchOf, last = m.BentJointAngle, m.Waist, body.SpineJoint
	}
	for j := range last + 1 {
		x := angle(j)
		if x == nil {
			return Kick{}, fmt.Errorf("fit the %v curve: %w", j, ErrGaps)
		}
		f, err := repeated(x, phase, weight)
		if err != nil {
			return Kick{}, fmt.Errorf("fit the %v curve: %w", j, err)
		}
		k.Joints[j] = f
	}
	pitch, err := repeated(pitchOf(), phase, weight)
	if err != nil {
		return Kick{}, fmt.Errorf("fit the trunk pitch: %w", err)
	}
	k.Pitch = pitch.Mean
	return k, nil
}

// repeated is the curve that x repeats, at its level in the middle of the run.
func repeated(x, phase, weight []float64) (series.Fourier, error) {
	f, err := series.FitFourier(phase, x, weight, fitHarmonics, true)
	if err != nil {
		return f, err
	}
	sum, total := 0.0, 0.0
	for i, p := range phase {
		w := 1.0
		if weight != nil {
			w = weight[i]
		}
		if !math.IsNaN(p + x[i]) {
			sum, total = sum+w*p, total+w
		}
	}
	f.Mean += f.Trend * sum / total
	f.Trend = 0
	return f, nil
}
