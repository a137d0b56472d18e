// Package disk holds what every package that keeps files does the same way: a file is
// there whole or not at all, and what belongs to one version of the program lies in a
// folder of that version. It knows nothing of what is in the files.
package disk
