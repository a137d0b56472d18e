// Package wall turns a swimmer's glide, kicking speed and surface speed into a plan
// for one underwater stretch after a start or a turn, and finds the best kick tempo of
// a tempo ladder.
//
// Every distance is the head's from the wall, m; times run from the moment the feet
// leave the wall, or from the starting signal where the time to the first known point
// is given. SI units throughout: m, s, m/s, kg, kicks per second.
//
// A plan is a model estimate, not a measurement. It knows no surface, no waves, no depth,
// no fatigue and no need for air; it never asks for more kicks than are fast, never
// beyond the rule's 15 m, and of plans that are equally fast it takes the one with the
// fewest kicks. Its randomness has a seed.
//
// Sources of the model: docs/methods/walls.md; numbers: sources.go.
package wall
