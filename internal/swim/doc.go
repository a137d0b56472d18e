// Package swim is the planar multibody model of a kicking swimmer: from joint-angle
// curves it finds the steady swim, its speed, the hip's surge and heave, the trunk's
// pitch, and the water's forces.
//
// The body is a chain of five rigid segments (package body), or of six where the trunk
// bends at the rib, both legs as one. Joint
// angles are prescribed; surge, heave and pitch are free. The water carries momentum
// with the body, sheds it at the toes, and drags (package hydro). The state holds the
// momentum of body and carried water, so no acceleration is ever needed:
//
//	(P, H) = M(q) (Vx, Vy, Om) + N(q, dq/dt)
//	dP/dt  = toe flux + normal drag + along drag + trim force
//	dH/dt  = moments of those about the hip + trim moment - (Vx Py - Vy Px)
//
// with H about the moving hip. The steady swim is a periodic orbit of these, found by
// shooting over one kick; the trim force and moment that hold depth and heading are
// found with it. There is no gravity and loads are quadratic, so speeds go exactly
// with tempo, forces with its square.
//
// Numbers out of this package are model estimates for comparing kicks of one swimmer.
// Valid for a fully submerged swimmer (deeper than 0.5-0.7 m), legs together, steady
// kicking. Not modelled: surface and wall, buoyancy but as constant trim, legs apart,
// three-dimensional feet, vortices met again, a spine that bends elsewhere than at the rib.
//
// Phase 0-1 is one kick in cycles; times are phase over tempo.
package swim
