// Package burn puts drawings onto pictures, pixel by pixel: a picture goes in and
// the same picture comes out, drawn on. It is for clips and stills that leave the
// pages, where there is no browser to draw.
//
// Lines and areas have soft edges (anti-aliasing); text is set in the Go fonts and
// always reads from left to right, also on a mirrored picture. Coordinates are px
// of the picture that is drawn on, as everywhere: from its top-left corner, the
// middle of the first pixel at (0.5, 0.5). What is outside of it, or not a number,
// is left out.
//
// Soften makes a face unrecognisable.
//
// A Burner keeps its working memory from picture to picture, so that a clip of any
// length costs no more memory than one picture; it must not be shared by
// goroutines.
package burn
