package limit

import "underkick/internal/kick"

// ConstantError returns the standard error of a measure that is the same in all kicks of
// its clip (scale, roll, marking offset), worked back from its band, in the measure's
// unit; 0 where it has no band.
func ConstantError(m kick.Measure) float64 { return clipError(m) }

// Unfit returns why nothing may be concluded from a measure, one sentence each; empty =
// nothing is against it.
func Unfit(m kick.Measure) []string { return unfit(m, "") }

// MarkedAlike reports whether the facing of two runs may be held against each other: it
// stands or falls with how alike ankle and toe are marked.
func (c Conditions) MarkedAlike(d Conditions) bool { return c.markedAlike(d) }
