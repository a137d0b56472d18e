// Package sight finds in film, without any mark, what can be seen of a swimmer who
// crosses the picture: where the runs are, which way they go, and how often the
// feet go up and down.
//
// The camera is followed by what stands still (package steady), the still picture
// behind the swimmer is the median over time, and whatever differs from it by more
// than the pool itself flickers there is figure. The largest connected figure is
// the swimmer; the mean height of its rear end, against its own middle, goes up and
// down with the kicks.
//
// What it says are proposals for a person to correct. It does not tell the front of
// the body from the back, so it never says whether somebody swims prone or supine.
// Coordinates are px of the pictures handed in, times s.
package sight
