package cli

import (
	"net"
	"sync"
)

// fewAtOnce is how many connections the local network may hold at once: strangers may open
// them too, and what they use up is missing to the pages on this computer.
const fewAtOnce = 64

// fewer is a listener that holds a number of connections at once; the next waits until one
// ends.
type fewer struct {
	net.Listener
	free   chan struct{}
	closed chan struct{}
	once   sync.Once
}

func holdFew(l net.Listener, most int) *fewer {
	return &fewer{Listener: l, free: make(chan struct{}, most), closed: make(chan struct{})}
}

// Accept waits for room and then for a connection.
func (f *fewer) Accept() (net.Conn, error) {
	select {
	case f.free <- struct{}{}:
	case <-f.closed:
		return nil, net.ErrClosed
	}
	c, err := f.Listener.Accept()
	if err != nil {
		<-f.free
		return nil, err
	}
	return &held{Conn: c, of: f}, nil
}

// Close stops listening, also while Accept waits for room.
func (f *fewer) Close() error {
	f.once.Do(func() { close(f.closed) })
	return f.Listener.Close()
}

// held is a connection that makes room when it ends.
type held struct {
	net.Conn
	of   *fewer
	once sync.Once
}

// Close ends the connection.
func (h *held) Close() error {
	h.once.Do(func() { <-h.of.free })
	return h.Conn.Close()
}
