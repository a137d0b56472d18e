// Package body knows the swimmer's body: the landmarks of a side view, the
// segments between them, their masses, lengths, inertias and breadths with the
// source of each number, the centre of mass, and the signs of every angle.
//
// Conventions, used everywhere above this floor:
//
//   - Pool plane: x horizontal and positive in the swimming direction, y up,
//     angles counter-clockwise, metres and radians. Orient brings a motion there.
//   - A segment points from its caudal end (towards the feet) to its cranial end
//     (towards the hands): e = (cos th, sin th). Its normal n = (-sin th, cos th)
//     points to the back side. th = 0 lies along the travel line head first; th > 0
//     has the caudal end lower.
//   - After Orient the swimmer's front side points to -y, whatever way up the
//     swimmer swims, so that a downkick always moves the toes towards -y.
//   - Both legs (and both arms) act as one: a Link has the mass of the pair.
//
// The package does not filter, differentiate or cut kicks.
package body
