package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"strings"
	"time"

	"underkick/internal/door"
	"underkick/internal/poolside"
)

// How long sessions last: unused, and in all.
const (
	idleHere   = 12 * time.Hour
	totalHere  = 7 * 24 * time.Hour
	idlePhone  = 30 * time.Minute
	totalPhone = 4 * time.Hour
)

// lanOptions are the options of the phone pages.
type lanOptions struct {
	on, setPassphrase bool
	address           string
}

func (o *lanOptions) register(f *flags) {
	f.BoolVar(&o.on, "lan", false, "also start the phone pages on the local network, behind the passphrase")
	f.StringVar(&o.address, "lan-address", "", "listen for phones on address `IP` of this machine alone (default: every private one)")
	f.BoolVar(&o.setPassphrase, "set-passphrase", false, "first read a new passphrase from standard input, as underkick passphrase does")
}

// doors are where the pages listen and what they ask there.
type doors struct {
	here net.Listener
	keys *door.Keys // of here; nil asks for no session
	lan  []net.Listener
	pass door.Passphrase
	in   *bufio.Reader // Enter asks for another address; nil when there is no session
}

// open listens, for the local network only with a passphrase and after saying
// what it shows.
func (d *doors) open(dataDir string, port int, o lanOptions, s streams) (err error) {
	if o.setPassphrase {
		if err := setPassphrase(dataDir, d.in, s); err != nil {
			return err
		}
	}
	if o.address != "" && !o.on {
		return usagef("--lan-address needs --lan")
	}
	var addresses []netip.Addr
	if o.on {
		if d.pass, err = door.LoadPassphrase(dataDir); errors.Is(err, door.ErrNoPassphrase) {
			return usagef("--lan needs a passphrase, and none is set for this data folder; set one with `underkick passphrase`, or add --set-passphrase")
		}
		if err != nil {
			return err
		}
		if addresses, err = lanAddresses(o.address); err != nil {
			return err
		}
		sayExposed(s.out, addresses)
	}
	if d.here, err = listen(here, port); err != nil {
		return err
	}
	for _, a := range addresses {
		l, err := listen(a.String(), d.here.Addr().(*net.TCPAddr).Port)
		if err != nil {
			return err
		}
		d.lan = append(d.lan, holdFew(l, fewAtOnce))
	}
	return nil
}

// lanAddresses returns the address asked for, or every private IPv4 address of
// this machine.
func lanAddresses(asked string) ([]netip.Addr, error) {
	if asked != "" {
		a, err := netip.ParseAddr(asked)
		if err == nil {
			a = a.Unmap()
			err = door.CheckLANAddress(a)
		}
		if err != nil {
			return nil, usagef("--lan-address: %v", err)
		}
		return []netip.Addr{a}, nil
	}
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil, fmt.Errorf("list this machine's addresses: %w", err)
	}
	var out []netip.Addr
	for _, text := range all {
		p, err := netip.ParsePrefix(text.String())
		if err == nil && !p.Addr().IsLoopback() && door.CheckLANAddress(p.Addr()) == nil {
			out = append(out, p.Addr())
		}
	}
	if len(out) == 0 {
		return nil, errors.New("this machine has no address on a private network; join one, such as a phone's hotspot, and start again")
	}
	return out, nil
}

// sayExposed says what the local network will reach, before it can.
func sayExposed(w io.Writer, addresses []netip.Addr) {
	names := make([]string, len(addresses))
	for i, a := range addresses {
		names[i] = a.String()
	}
	fmt.Fprintf(w, `phone pages on %s: whoever is on that network and has the passphrase
  reads of each swimmer with a pseudonym: pseudonym, day of the last visit, last finding, speed
  sends clips for these swimmers
  reaches nothing else: no names, no film, no marks, no other page
They are plain HTTP. Anyone on that network who listens can read the passphrase, the
findings and the clips as they pass. Use a network of your own, such as a phone's
hotspot; not the guest network of a pool. Without --lan no other machine reaches anything.
`, strings.Join(names, ", "))
}

// pageServer serves pages, and waits for nobody's request for long. What comes after its head
// has a time of its own, which package web sets: a film may take an hour.
func pageServer(ctx context.Context, h http.Handler, log *slog.Logger) *http.Server {
	return &http.Server{
		Handler:           h,
		ReadHeaderTimeout: 10 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
		BaseContext:       func(net.Listener) context.Context { return ctx },
	}
}

// servers makes one server for every listener.
func (d *doors) servers(ctx context.Context, app *poolside.App, log *slog.Logger, s streams) (map[net.Listener]*http.Server, error) {
	server := func(h http.Handler) *http.Server { return pageServer(ctx, h, log) }
	all, err := s.pages(app, log, d.keys, nil)
	if err != nil {
		return nil, err
	}
	servers := map[net.Listener]*http.Server{d.here: server(all)}
	if len(d.lan) == 0 {
		return servers, nil
	}
	lan := &door.LAN{Keys: door.NewKeys(idlePhone, totalPhone), Passphrase: d.pass}
	for _, l := range d.lan {
		host := l.Addr().String()
		lan.Hosts = append(lan.Hosts, host, strings.TrimSuffix(host, ":80")) // browsers leave port 80 out
	}
	phone, err := s.pages(app, log, nil, lan)
	if err != nil {
		return nil, err
	}
	for _, l := range d.lan {
		servers[l] = server(phone)
	}
	return servers, nil
}

// say prints where the pages are.
func (d *doors) say(w io.Writer) {
	d.sayHere(w)
	if d.keys != nil {
		fmt.Fprintln(w, "the address opens once; press Enter here for another. Ctrl-C stops")
	}
	for _, l := range d.lan {
		fmt.Fprintf(w, "phone pages: open http://%s/ on the phone and enter the passphrase\n", l.Addr())
	}
}

func (d *doors) sayHere(w io.Writer) {
	if d.keys == nil {
		fmt.Fprintf(w, "open http://%s/ in a browser; Ctrl-C stops\n", d.here.Addr())
		return
	}
	fmt.Fprintf(w, "open http://%s/?session=%s in a browser\n", d.here.Addr(), d.keys.Token())
}

// presses tells every line that comes in, until the input or ctx ends.
func (d *doors) presses(ctx context.Context) <-chan struct{} {
	if d.in == nil {
		return nil
	}
	ignoreBackgroundReads()
	pressed := make(chan struct{})
	go func() {
		for {
			if _, err := d.in.ReadString('\n'); err != nil {
				return
			}
			select {
			case pressed <- struct{}{}:
			case <-ctx.Done():
				return
			}
		}
	}()
	return pressed
}

// close stops listening before anything was served.
func (d *doors) close() error {
	var all error
	for _, l := range append([]net.Listener{d.here}, d.lan...) {
		if l != nil {
			all = errors.Join(all, l.Close())
		}
	}
	return all
}
