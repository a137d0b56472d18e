// Package raster holds grey pictures as numbers: pyramids, gradients, corners and
// sampling between pixels.
//
// Picture coordinates: px from the top-left corner, x right, y down; the middle of
// the first pixel is (0.5, 0.5), so a point of a picture of half the size has half
// the coordinates. Brightness is in the unit of what came in, 0 to 255 for film.
// Nothing here knows of film, water or swimmers, and nothing is random.
package raster
