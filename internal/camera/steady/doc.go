// Package steady finds how a camera moved from what stands still in its pictures:
// for every picture the map from the first one, for points of the swimmer's plane.
//
// Corners of a key picture are found again in each later picture, each from its own
// first look, so that errors do not add up from picture to picture. A robust fit
// leaves out what moves otherwise: the swimmer, bubbles, the light's patterns. When
// too much of the key has left the picture a new key is made; an older key that
// comes back into view is used again, which closes the loop.
//
// The background is not in the swimmer's plane. When the camera itself moves, and
// does not only turn, the two shift against each other. Points known to lie in the
// plane (the ends of a measuring rod) tell by how much: the maps of two parallel
// planes differ in their last column alone,
//
//	H_plane = H_background + [0 0 a; 0 0 b; 0 0 c]
//
// (Hartley and Zisserman, Multiple View Geometry, 2nd ed. 2004, ch. 13, for planes
// of one normal), so three numbers per picture are enough. Without such points the
// result says that this shift is not known.
//
// Coordinates are px of the pictures handed in. Nothing here is random but the
// sampling of the robust fit, whose seed is fixed.
package steady
