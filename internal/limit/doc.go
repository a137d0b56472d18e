// Package limit says what a run's measures mean: how they stand against
// published ranges and against the swimmer's own other runs, and, in one
// sentence, what stands out. Find is the one entry.
//
// # What it may say
//
// The finding names a quality only by a stated rule (Finding.Rule), in this
// order:
//
//  1. fewer than three whole, steady kicks: no finding;
//  2. a quality that changed against the swimmer's own earlier visit by more
//     than the smallest real change, like compared with like;
//  3. a measure whose whole 95 % band lies outside mean ± 2 SD of a published
//     sample that was read in its own source;
//  4. else: no single quality stands out.
//
// It does not say which quality holds the swimmer back: that needs the worth of
// each quality in speed, which its sub-package worth estimates. It never speaks
// of force or power, and never of a difference smaller than its band.
//
// # Published ranges
//
// Rows (rows.go) carry their source, the size of the sample, and whether the
// number was read in the source itself or only as quoted by somebody else. A
// quotation, and a value swum at an imposed kick rate, is orientation only: it
// is shown, and nothing is judged by it. Most rows rest on one sample of 8 to
// 41 swimmers; they are not norms for one person. Four quoted peak values that
// no periodic motion can have (hip and toe speeds below twice frequency times
// range) are left out altogether.
package limit
