// Package wasmengine carries ffmpeg and ffprobe as one WebAssembly module and
// runs them inside a process of their own.
//
// The module is ffmpeg n5.1.10 as built by go-ffmpreg v0.6.22 (see SOURCES.md
// for revisions, recipe and licence: it is under the GNU GPL version 3 or
// later). It lies in the program compressed and costs nothing until Run or
// Warm is called; then it is unpacked into the cache folder, checked against
// its SHA-256, and compiled by wazero, whose machine code is kept there too.
//
// A module call cannot be stopped from outside without making it four times
// slower, so callers start a process for each call and kill it when it is no
// longer wanted; package film does.
package wasmengine
