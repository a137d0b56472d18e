// Package filming works out what a camera will see of a swimmer under water before
// anything is filmed, and judges film by the same rules: the width seen behind a flat
// port, a dome or a window in the pool wall, whole kicks in view, pixels per foot, blur
// and timing.
//
// The camera is a pinhole that looks straight across the lane, with square pixels and a
// rectilinear picture; a picture that is bent at its edges shows more than is said here.
// SI and radians; px of the upright picture.
//
// It knows no measure and no band: what the filming costs the measures is worked out
// where they are made (package poolside).
package filming
