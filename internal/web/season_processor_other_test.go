//go:build !unix

package web

// processorSeconds is not known here.
func processorSeconds() float64 { return -1 }
