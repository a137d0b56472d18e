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
//  2. the quality that the sub-package worth names as the limiter, with what the
//     model expects of it in speed;
//  3. a quality that changed against the swimmer's own earlier visit by more
//     than the smallest real change, like compared with like;
//  4. a measure whose whole 95 % band lies outside mean ± 2 SD of a published
//     sample that was read in its own source;
//  5. else: no single quality stands out.
//
// Where worth was estimated against a run of the same swimmer and names none, the
// sentences of 3 and 4 begin by saying so. It never speaks of force or power, and never
// of a difference smaller than its band.
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
