package cli

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"strconv"
	"syscall"
	"time"

	"underkick/internal/poolside"
)

const defaultPort = 4470

const noGuessUse = "never guess landmarks; points are filled in from the marks alone"

const serveHelp = `
Starts the pages on this machine: squad, clips, marking, kick. Only this machine
can open them. Stop with Ctrl-C; whatever was clicked is already saved.`

func serveCommand() command {
	c := command{name: "serve", usage: "serve [--data DIR] [--port N] [--no-guess]", brief: "start the pages with your own data"}
	c.run = func(ctx context.Context, args []string, s streams) error {
		f := newFlags(c, s)
		dir := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
		port := f.Int("port", defaultPort, "port `N` on this machine; 0 picks a free one")
		noGuess := f.Bool("no-guess", false, noGuessUse)
		var film filmOptions
		film.register(f)
		names, err := f.parse(args, serveHelp)
		if err != nil {
			return err
		}
		if len(names) > 0 {
			return usagef("takes no file names; use the page to bring clips in")
		}
		log := slog.New(slog.NewTextHandler(s.err, &slog.HandlerOptions{Level: slog.LevelWarn}))
		listener, err := listen(*port)
		if err != nil {
			return err
		}
		app, err := poolside.Open(ctx, poolside.Options{DataDir: *dir, Film: film.choice, Log: log, NoGuess: *noGuess})
		if err != nil {
			return errors.Join(err, listener.Close())
		}
		fmt.Fprintf(s.out, "data folder: %s\n", *dir)
		return serve(ctx, app, listener, log, s)
	}
	return c
}

// listen opens the port on the loopback interface only.
func listen(port int) (net.Listener, error) {
	if port < 0 || port > 65535 {
		return nil, usagef("--port is a number from 0 to 65535, not %d", port)
	}
	l, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, fmt.Errorf("port %d is taken, perhaps by another underkick; close that or give another with --port (0 picks a free one)", port)
	}
	if err != nil {
		return nil, fmt.Errorf("open port %d: %w", port, err)
	}
	return l, nil
}

// serve runs the pages until ctx ends, then lets open requests finish, and
// closes app.
func serve(ctx context.Context, app *poolside.App, l net.Listener, log *slog.Logger, s streams) (err error) {
	defer func() { err = errors.Join(err, app.Close()) }()
	handler, err := s.pages(app, log)
	if err != nil {
		return err
	}
	server := &http.Server{
		Handler:           handler,
		ReadHeaderTimeout: 10 * time.Second,
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
		BaseContext:       func(net.Listener) context.Context { return ctx },
	}
	fmt.Fprintf(s.out, "open http://%s/ in a browser; Ctrl-C stops\n", l.Addr())
	go func() { // in the background: the pages need no film until a clip is opened
		if err := app.Warm(ctx); err != nil && ctx.Err() == nil {
			log.Warn("film engine is not ready", "err", err)
		}
	}()
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(l) }()
	select {
	case err := <-failed:
		return fmt.Errorf("serve pages: %w", err)
	case <-ctx.Done():
	}
	patience, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	if err := server.Shutdown(patience); err != nil {
		return errors.Join(fmt.Errorf("stop pages: %w", err), server.Close())
	}
	return nil
}
