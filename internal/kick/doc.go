// Package kick turns the landmarks of one underwater run into kicks and their
// measures: rhythm, speed, amplitudes, joint angles, the body wave, and the
// three qualities of a kick (facing, sweep, build), each with its spread from
// kick to kick, its 95 % band and the reasons why it may not hold.
//
// MeasureRun is the one entry; Definitions lists every measure with its meaning,
// formula and source.
//
// The way through the package, in order: prepare.go (orientation, uniform grid,
// filter), scene.go (the travel frame and every curve derived in it), find.go
// (kicks), steady.go, moments.go, evaluate.go and its neighbours (one number per
// measure and kick), bands.go (repeated with seeded errors), result.go.
//
// Conventions. SI and radians inside; Measure values in degrees where the unit
// says "deg". The travel frame has x along the travel line, positive towards the
// hands, and y across it, positive towards the swimmer's back side, so that a
// downkick moves the toes towards -y whatever way up the swimmer is. Angles as in
// package body. NaN stands for a number that cannot be had; the reasons say why.
//
// The package does not estimate force or push, does not know published ranges and
// gives no verdicts.
package kick
