// Package practice holds the library of drills, dry-land tasks and sets, and the
// rules that choose among them for a finding.
//
// Every drill says which quality and which part of the kick it serves, why, how
// it is done, how much by age and level, its cue, its common error and how to see
// that it works. Sources are named where a paper says so; the rest is marked
// common practice. Doses are common practice in all drills: no study compared
// them. Nothing here rewards time or distance without breathing: what is done
// under water is counted in kicks, ten a repeat at most, with full recovery.
//
// A dose grows in stages over the weeks and never beyond itself. Weeks lays them
// out up to the retest.
//
// Start at Choose and Library. The package reads no clock and keeps nothing.
package practice
