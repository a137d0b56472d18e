// Package poolside holds the use cases: bring a clip in, mark it, measure it,
// explain it. Pages and command line call the same functions here, and nothing
// here knows HTTP or flags.
//
// Data flows one way: film -> landmarks -> metres -> kick -> finding. The
// store keeps what a person made (swimmers, visits, clips, runs, marks) and
// results that can always be computed again.
package poolside
