package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"strconv"
	"syscall"
	"time"

	"underkick/internal/door"
	"underkick/internal/poolside"
)

const defaultPort = 4470

const noGuessUse = "never guess landmarks; points are filled in from the marks alone"

const serveHelp = `
Starts the pages on this machine: squad, clips, marking, kick. Only this machine
can open them, by the address that is printed: it opens them once, in one browser.
Press Enter in this window for another address. Stop with Ctrl-C; whatever was
clicked is already saved.

--lan also starts the phone pages on the private networks this machine is in. They
ask for a passphrase, which must be set first (underkick passphrase), show the last
finding of each swimmer who has a pseudonym, by it, and take clips. They are plain
HTTP: anyone who listens on that network can read what passes.`

func serveCommand() command {
	c := command{name: "serve", usage: "serve [--data DIR] [--port N] [--lan [--lan-address IP]] [--set-passphrase] [--no-guess]", brief: "start the pages with your own data"}
	c.run = func(ctx context.Context, args []string, s streams) error {
		f := newFlags(c, s)
		dir := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
		port := f.Int("port", defaultPort, "port `N` on this machine; 0 picks a free one")
		noGuess := f.Bool("no-guess", false, noGuessUse)
		var lan lanOptions
		lan.register(f)
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
		d := doors{keys: door.NewKeys(idleHere, totalHere), in: bufio.NewReader(s.in)}
		if err := d.open(*dir, *port, lan, s); err != nil {
			return errors.Join(err, d.close())
		}
		app, err := poolside.Open(ctx, poolside.Options{DataDir: *dir, Film: film.choice, Log: log, NoGuess: *noGuess})
		if err != nil {
			return errors.Join(err, d.close())
		}
		fmt.Fprintf(s.out, "data folder: %s\n", *dir)
		return serve(ctx, app, d, log, s)
	}
	return c
}

// here is the loopback interface: no other machine reaches it.
const here = "127.0.0.1"

// listen opens the port on one address.
func listen(address string, port int) (net.Listener, error) {
	if port < 0 || port > 65535 {
		return nil, usagef("--port is a number from 0 to 65535, not %d", port)
	}
	l, err := net.Listen("tcp", net.JoinHostPort(address, strconv.Itoa(port)))
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, fmt.Errorf("port %d is taken, perhaps by another underkick; close that or give another with --port (0 picks a free one)", port)
	}
	if err != nil {
		return nil, fmt.Errorf("open port %d of %s: %w", port, address, err)
	}
	return l, nil
}

// serve runs the pages until ctx ends, then lets open requests finish, and
// closes app.
func serve(ctx context.Context, app *poolside.App, d doors, log *slog.Logger, s streams) (err error) {
	defer func() { err = errors.Join(err, app.Close()) }()
	servers, err := d.servers(ctx, app, log, s)
	if err != nil {
		return errors.Join(err, d.close())
	}
	d.say(s.out)
	go func() { // in the background: the pages need no film until a clip is opened
		if err := app.Warm(ctx); err != nil && ctx.Err() == nil {
			log.Warn("film engine is not ready", "err", err)
		}
	}()
	failed := make(chan error, len(servers))
	for l, server := range servers {
		go func() { failed <- server.Serve(l) }()
	}
	again := d.presses(ctx)
	for {
		select {
		case err := <-failed:
			return errors.Join(fmt.Errorf("serve pages: %w", err), stop(ctx, servers))
		case <-again:
			d.sayHere(s.out)
		case <-ctx.Done():
			return stop(ctx, servers)
		}
	}
}

// stop lets open requests finish for some seconds, then ends them.
func stop(ctx context.Context, servers map[net.Listener]*http.Server) error {
	patience, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	var all error
	for _, server := range servers {
		if err := server.Shutdown(patience); err != nil {
			all = errors.Join(all, fmt.Errorf("stop pages: %w", err), server.Close())
		}
	}
	return all
}
