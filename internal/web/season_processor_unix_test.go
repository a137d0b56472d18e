//go:build unix

package web

import "syscall"

// processorSeconds is what this process used of the processor, s.
func processorSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return -1
	}
	at := func(t syscall.Timeval) float64 { return float64(t.Sec) + float64(t.Usec)/1e6 }
	return at(u.Utime) + at(u.Stime)
}
