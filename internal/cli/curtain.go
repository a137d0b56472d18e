package cli

import (
	"bytes"
	"context"
	"errors"
	"io"
	"regexp"
	"sync"

	"underkick/internal/poolside"
)

// curtain stands between a command and its streams. Once it is drawn, no name of a swimmer
// passes: what is printed is held back line by line and the names in it are hidden. The zero
// value is open.
type curtain struct {
	mu       sync.Mutex
	disguise *poolside.Disguise
	ends     []*curtained
}

// draw hides the names from now on.
func (c *curtain) draw(d *poolside.Disguise) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.disguise = d
}

// behind returns streams that pass through the curtain.
func (c *curtain) behind(s streams) streams {
	out, errOut := &curtained{c: c, w: s.out}, &curtained{c: c, w: s.err}
	c.ends = []*curtained{out, errOut}
	s.in, s.out, s.err, s.curtain = prompted{c, s.in}, out, errOut, c
	return s
}

// flush prints what is held back.
func (c *curtain) flush() error {
	c.mu.Lock()
	defer c.mu.Unlock()
	var all error
	for _, e := range c.ends {
		all = errors.Join(all, e.print(e.held.Len()))
	}
	return all
}

// curtained is one stream behind a curtain.
type curtained struct {
	c    *curtain
	w    io.Writer
	held bytes.Buffer
}

// Write passes text on, whole lines only once the curtain is drawn.
func (e *curtained) Write(p []byte) (int, error) {
	e.c.mu.Lock()
	defer e.c.mu.Unlock()
	if e.c.disguise == nil {
		return e.w.Write(p)
	}
	e.held.Write(p)
	if err := e.print(bytes.LastIndexByte(e.held.Bytes(), '\n') + 1); err != nil {
		return 0, err
	}
	return len(p), nil
}

// print prints the first n bytes of what is held back.
func (e *curtained) print(n int) error {
	if n == 0 {
		return nil
	}
	_, err := io.WriteString(e.w, e.c.disguise.Text(string(e.held.Next(n)), ownWords()))
	return err
}

// prompted prints a question that ends without a line's end before the answer is read.
type prompted struct {
	c *curtain
	r io.Reader
}

// Read reads from the command's input.
func (p prompted) Read(b []byte) (int, error) {
	if err := p.c.flush(); err != nil {
		return 0, err
	}
	return p.r.Read(b)
}

// open opens a data folder for a command. While names are hidden, the context that it returns
// knows none and what the command prints from then on holds none: every command that prints
// or writes anything of swimmers opens its folder here and works within that context. A folder
// that is not there is not made: it would be an empty one, where a path was mistyped.
func (s streams) open(ctx context.Context, opt poolside.Options) (context.Context, *poolside.App, error) {
	opt.Existing = true
	app, err := poolside.Open(ctx, opt)
	if err != nil {
		return ctx, nil, err
	}
	inner, err := s.hide(ctx, app)
	if err != nil {
		return ctx, nil, errors.Join(err, app.Close())
	}
	return inner, app, nil
}

// hide is what open does with a folder that is open already.
func (s streams) hide(ctx context.Context, app *poolside.App) (context.Context, error) {
	inner, disguise, err := app.Hiding(ctx)
	if disguise != nil {
		s.curtain.draw(disguise)
	}
	return inner, err
}

// quoted are the examples of names in help texts.
var quoted = regexp.MustCompile(`"[^"\n]*"`)

// ownWords are the words of the commands' own help; see poolside.OwnWords.
var ownWords = sync.OnceValue(func() map[string]bool {
	texts := []string{helpText()}
	for _, c := range commands() {
		var help bytes.Buffer
		_ = c.run(context.Background(), []string{"--help"}, streams{in: bytes.NewReader(nil), out: &help, err: io.Discard}) // flag.ErrHelp
		texts = append(texts, quoted.ReplaceAllString(help.String(), ""))
	}
	return poolside.OwnWords(texts...)
})
