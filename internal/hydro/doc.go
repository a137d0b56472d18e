// Package hydro gives the water's force on a moving rigid segment, the slender-body
// closed forms, and the glide of a passive body.
//
// A segment is a straight strip seen from the side. z is the distance from its
// cranial end C; e points along it to the cranial end and n, e turned a quarter
// counter-clockwise, to the back side. With V the velocity of C in still water and
// om the segment's angular velocity
//
//	u = V . e                 along the segment, the same everywhere on it
//	w(z) = V . n - z om       across it
//
// and C - z e is the point at z. Forces and moments are the water's on the strip;
// moments are about C, counter-clockwise positive. SI units.
//
// Not modelled: the surface, the wall and the bottom, buoyancy, flow between the
// legs, three-dimensional feet, and history of the flow beyond the water carried
// with the body.
package hydro
