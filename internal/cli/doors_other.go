//go:build !unix

package cli

// ignoreBackgroundReads does nothing: only Unix stops a program that reads the
// terminal in the background.
func ignoreBackgroundReads() {}
