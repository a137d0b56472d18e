// Package guess makes a first guess of a swimmer's landmarks: a pose network
// for people in general looks at the frames of a run, and what it sees is
// smoothed and put right by the few landmarks a person has marked.
//
// Run follows the swimmer from one frame in which fingertip and toe were
// pointed at. Each frame is seen through a square that is turned so that the
// swimmer stands upright in it and that moves along with what was seen before.
// Guess.Motion then makes traces of it with a standard error for every point,
// in px of the upright picture with y down.
//
// Nothing here is a measurement: a guess saves marks, it does not replace
// them. The network was made from pictures of people on land. How far its
// guesses are off is known for rendered swimmers only (docs/methods/guess.md);
// the standard errors stretch when the marks of a clip say that it does worse.
//
// The network lies compressed in sub-package network and costs nothing before
// the first frame is looked at.
package guess
