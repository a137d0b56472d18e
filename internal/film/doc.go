// Package film reads clips: what a file holds, when each of its pictures was
// shown, and the pictures themselves, addressed by their number.
//
// One Engine runs ffmpeg and ffprobe as child processes: either the native
// programs found on the machine, or the WebAssembly build carried inside this
// program (package wasmengine), which the program runs by starting itself
// again as a worker (see WorkerMain). Both take the same arguments, write to
// the same pipes and are read by the same code, so that a clip gives the same
// pictures and times whichever engine reads it; the embedded one is several
// times slower and says so (Engine.Note).
//
// Conventions. A frame is one shown picture; frame numbers count from 0 in the
// order of showing. Time is the film's own presentation time in seconds, with
// the first shown frame at 0; it is never a frame number over a nominal rate.
// Pictures are upright (rotation flags applied) and have square pixels.
//
// A file that is not a film, or whose recording did not finish, is refused
// with one of the Err values; a film that is doubtful is read and carries
// Warnings. No decoding looks at more than MaxFrames frames or MaxSeconds of
// a clip at once; longer clips are indexed whole and read a stretch at a time.
//
// The package does not write into a clip, does not use the network, and
// refuses files that point at other files (playlists, concat scripts).
package film
