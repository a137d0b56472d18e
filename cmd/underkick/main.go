// Command underkick measures underwater dolphin kicking from side-view film.
package main

import (
	"context"
	"log/slog"
	"net/http"
	"os"
	"os/signal"
	"syscall"

	"underkick"
	"underkick/internal/cli"
	"underkick/internal/door"
	"underkick/internal/film"
	"underkick/internal/poolside"
	"underkick/internal/web"
)

func main() {
	args := os.Args[1:]
	if len(args) > 0 && args[0] == film.WorkerWord {
		os.Exit(film.WorkerMain(args[1:], os.Stdin, os.Stdout, os.Stderr))
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := cli.Run(ctx, args, os.Stdin, os.Stdout, os.Stderr, pages)
	stop()
	os.Exit(code)
}

// pages makes the handler of the pages over app, or of the phone pages.
func pages(app *poolside.App, log *slog.Logger, keys *door.Keys, lan *door.LAN) (http.Handler, error) {
	return web.New(web.Options{
		App: app, Log: log, Keys: keys, LAN: lan, Version: cli.Version, MaxClipBytes: poolside.MaxClipBytes,
		Licence: underkick.Licence, Notices: underkick.Notices,
	})
}
