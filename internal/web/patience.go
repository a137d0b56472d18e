package web

import (
	"errors"
	"io"
	"net/http"
	"time"
)

const (
	// bodyPatience is how long the next piece of what is sent may take to come. A film of
	// gigabytes may take an hour; a connection that sends nothing is closed.
	bodyPatience = time.Minute
	// phonePatience is how long a phone may take to read an answer.
	phonePatience = 30 * time.Second
	// mostFields is how many fields a form with a clip may hold before the clip.
	mostFields = 16
)

// patientBody gives every read of a request's body its own time to come.
type patientBody struct {
	io.ReadCloser
	conn *http.ResponseController
	wait time.Duration
}

// Read reads the next piece. At the end no deadline is left behind: net/http would take it for
// a client that went away.
func (b patientBody) Read(p []byte) (int, error) {
	_ = b.conn.SetReadDeadline(time.Now().Add(b.wait)) // a connection that knows none cannot be slow either
	n, err := b.ReadCloser.Read(p)
	if errors.Is(err, io.EOF) {
		_ = b.conn.SetReadDeadline(time.Time{})
	}
	return n, err
}

// bounded bounds a request's body in size and in the time in which nothing comes.
func (s *server) bounded(w http.ResponseWriter, r *http.Request, bytes int64) {
	wait := s.opt.BodyPatience
	if wait == 0 {
		wait = bodyPatience
	}
	body := patientBody{ReadCloser: r.Body, conn: http.NewResponseController(w), wait: wait}
	r.Body = http.MaxBytesReader(w, body, bytes)
}
