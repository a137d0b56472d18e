// Package cli is the command line: one file per command, each a flag set and a
// function that calls poolside. Commands run in process with their own streams,
// so that tests call them as the shell does.
package cli
