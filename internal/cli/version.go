package cli

import (
	"context"
	"fmt"
	"runtime/debug"
)

// Version is the program's version, the one place it stands.
const Version = "0.1.0-dev"

func versionCommand() command {
	c := command{name: "version", usage: "version", brief: "print the version"}
	c.run = func(_ context.Context, args []string, s streams) error {
		f := newFlags(c, s)
		names, err := f.parse(args, "Prints the version of underkick and of the Go it was built with.")
		if err != nil {
			return err
		}
		if len(names) > 0 {
			return usagef("takes no arguments")
		}
		info, _ := debug.ReadBuildInfo()
		fmt.Fprintf(s.out, "underkick %s (%s)\n", Version, info.GoVersion)
		return nil
	}
	return c
}
