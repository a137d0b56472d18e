// Package render makes believable pictures of a swimmer kicking under water, seen from
// the side: a lofted body skinned to the chain of package body, in a tiled pool with
// light from above, haze, a lane rope, a measuring rod and bubbles, seen by a camera
// with soft focus, a shutter, vignetting and sensor noise.
//
// Axes: x to the right of the picture along the pool, y up with the water surface at 0,
// z towards the camera with the swimmer's plane at 0; metres. Colours are linear light.
//
// The body's thickness is drawn without parallax: a point of the skin at any depth
// stands in the picture where the point of the swimmer's plane in front of it stands,
// as if filmed from far away. The pool has full perspective. This keeps the true place
// of a landmark one point, the joint's own.
//
// Equal scenes give equal bytes on equal processor families.
package render
