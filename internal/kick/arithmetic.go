package kick

// Strouhal returns f A / U with the toe's travel A from peak to peak (m), the
// kick frequency f (Hz) and the mean speed U (m/s); von Loebbecke et al. 2009,
// Eloy 2012. With half the travel it would be half as large.
func Strouhal(f, amplitude, speed float64) float64 { return f * amplitude / speed }

// Length returns the distance per kick U/f, m.
func Length(speed, f float64) float64 { return speed / f }

// SlenderBodyEfficiency returns (1 + s)/2 for the slip s = U/c, the speed over
// the speed c of the body wave (Lighthill 1960, as used for swimming people by
// Zamparo et al. 2002). It leaves out the drag of the limbs, is at least 0.5 by
// construction, and is not the share of work that drives the swimmer forward.
func SlenderBodyEfficiency(slip float64) float64 { return (1 + slip) / 2 }
