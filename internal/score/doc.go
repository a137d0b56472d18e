// Package score holds a measured run against a known truth: how far every
// landmark's trace lies from the true point, whether its stated standard error is
// honest, how far every measure is off and whether its 95 % band holds the truth.
// It also has a simulated coach, who marks frames of a clip with known truth with
// the click noise of a steady hand, so that what some marking is worth is measured.
//
// Paths are in px of the picture; errors of landmarks are kept as shares of the
// body's length so that clips can be pooled. It reads no files and no film; its
// only randomness is the coach's, who is seeded.
package score
