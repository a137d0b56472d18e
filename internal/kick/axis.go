package kick

// Phase returns where time t, s, lies on the kick's phase axis: 0 at the toe top it
// starts from, 0.5 at the toe bottom, 1 at the next top, linear in between and beyond.
// It is NaN for a kick whose bottom was not seen.
func (k Kick) Phase(t float64) float64 {
	if t <= k.Bottom {
		return 0.5 * (t - k.Start) / (k.Bottom - k.Start)
	}
	return 0.5 + 0.5*(t-k.Bottom)/(k.End-k.Bottom)
}

// At returns the time, s, of a phase; it is the inverse of Phase.
func (k Kick) At(phase float64) float64 {
	if phase <= 0.5 {
		return k.Start + 2*phase*(k.Bottom-k.Start)
	}
	return k.Bottom + (2*phase-1)*(k.End-k.Bottom)
}
