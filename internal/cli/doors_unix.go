//go:build unix

package cli

import (
	"os/signal"
	"syscall"
)

// ignoreBackgroundReads lets reading the terminal fail, and not stop the whole
// program, when it runs in the background of a shell.
func ignoreBackgroundReads() { signal.Ignore(syscall.SIGTTIN) }
