// Package camera turns picture coordinates into metres in the swimmer's plane
// and back: a plain scale, four or more points of a plane (homography), or
// either of them keyed over time for a moving camera. Package filming holds the
// refraction of a flat port between air and water and what it does to the view.
//
// Conventions. Picture: px of the upright, square-pixel picture from its
// top-left corner, x right, y down, middle of the first pixel at (0.5, 0.5).
// Plane: metres, X along the pool positive to the right of the picture, Y up;
// which of the two ways the swimmer goes is found later from the landmarks.
// Angles in radians, times in seconds.
//
// Every View says how far it can be trusted (Errors): the scale's relative
// standard error, the roll's standard error and the reprojection residual.
//
// A Lens undoes radial distortion; its two terms are found from lines that are
// straight in the pool (FitLens). Without one, a swimmer at the edge of a wide lens
// is measured wrong.
//
// It does not read files and does not look at pictures.
package camera
