// Package marker reckons how exactly one person marks, from landmarks that this
// person placed twice on the same frame without seeing the first place.
//
// A mark lies beside the true point by an offset, which stays the same through one
// sitting with one clip (the marker's idea of where the ankle is that day), and by
// the scatter of single clicks. What stays the same in all of a marker's work, in
// every clip and on every day, leaves no difference and cannot be seen here.
//
// Lengths are in body lengths (fingertip to toe, streamlined), so that clips of any
// scale compare; standard errors are per axis. The package is pure. The reasoning
// stands in docs/methods/marker.md.
package marker
