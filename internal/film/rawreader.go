package film

import "io"

// rawReader reads luma pictures that follow each other without a gap, one
// ahead of its user: the process would have to wait otherwise, since a pipe
// holds far less than a picture.
type rawReader struct {
	read  chan rawOrError
	free  chan []byte
	quit  chan struct{}
	held  []byte    // with the user
	small *shrinker // nil = as they come
	out   []byte
}

type rawOrError struct {
	data []byte
	err  error
}

func newRawReader(r io.Reader, o outForm) *rawReader {
	raw := &rawReader{read: make(chan rawOrError), free: make(chan []byte, 2), quit: make(chan struct{})}
	for range cap(raw.free) {
		raw.free <- make([]byte, o.pipeW*o.pipeH)
	}
	if o.pipeW != o.width || o.pipeH != o.height {
		raw.small = newShrinker(o.pipeW, o.pipeH, o.width, o.height)
		raw.out = make([]byte, o.width*o.height)
	}
	go raw.ahead(r)
	return raw
}

// ahead reads until the end, an error, or stop.
func (raw *rawReader) ahead(r io.Reader) {
	defer close(raw.read)
	for {
		var got rawOrError
		select {
		case got.data = <-raw.free:
		case <-raw.quit:
			return
		}
		_, got.err = io.ReadFull(r, got.data)
		select {
		case raw.read <- got:
		case <-raw.quit:
			return
		}
		if got.err != nil {
			return
		}
	}
}

func (raw *rawReader) next() ([]byte, error) {
	if raw.held != nil {
		raw.free <- raw.held
		raw.held = nil
	}
	got, ok := <-raw.read
	if !ok {
		return nil, io.EOF
	}
	if got.err != nil {
		return nil, got.err
	}
	raw.held = got.data
	if raw.small == nil {
		return got.data, nil
	}
	raw.small.shrink(raw.out, got.data)
	return raw.out, nil
}

func (raw *rawReader) stop() { close(raw.quit) }
