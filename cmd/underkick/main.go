// Command underkick measures underwater dolphin kicking from side-view film.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"underkick/internal/cli"
	"underkick/internal/film"
)

func main() {
	args := os.Args[1:]
	if len(args) > 0 && args[0] == film.WorkerWord {
		os.Exit(film.WorkerMain(args[1:], os.Stdin, os.Stdout, os.Stderr))
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := cli.Run(ctx, args, os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
