package demo

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"underkick/internal/demo/render"
	"underkick/internal/film"
)

// RenderOptions are the choices of Render; the zero value draws the demo's clips.
type RenderOptions struct {
	Hard bool   // murky water, a long shutter, noise, four times the bubbles: see takes_hard.go
	Only string // name of one clip; "" = all
}

// ErrNoClip: the demo has no clip of that name.
var ErrNoClip = errors.New("the demo has no such clip")

// Render draws every clip of the squad into the folder dir and writes its truth and its
// marks beside it: NAME.mp4, NAME.truth.json, NAME.marks.json. progress, if not nil, is
// told in words what is being done. Equal programs with equal engines give equal files
// on equal processor families; it uses all cores and ends early with ctx.
func Render(ctx context.Context, e *film.Engine, dir string, opt RenderOptions, progress func(doing string)) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("render the demo: %w", err)
	}
	drawn := 0
	for _, k := range takes {
		if opt.Only != "" && k.name != opt.Only {
			continue
		}
		if opt.Hard {
			k.harden()
		}
		if err := k.render(ctx, e, dir, progress); err != nil {
			return fmt.Errorf("render %s: %w", k.name, err)
		}
		drawn++
	}
	if drawn == 0 {
		return fmt.Errorf("%w: %q", ErrNoClip, opt.Only)
	}
	return nil
}

func (k *take) render(ctx context.Context, e *film.Engine, dir string, progress func(string)) error {
	t, err := k.truth()
	if err != nil {
		return err
	}
	m, err := k.motion()
	if err != nil {
		return err
	}
	out := filepath.Join(dir, k.name)
	if err := k.shoot(ctx, e, out+".mp4", k.scene(m), len(t.Times), progress); err != nil {
		return err
	}
	bytes, err := os.ReadFile(out + ".mp4")
	if err != nil {
		return err
	}
	marks, err := k.marks(&t, bytes)
	if err != nil {
		return err
	}
	text, err := json.Marshal(t)
	if err != nil {
		return err
	}
	if err := os.WriteFile(out+".truth.json", append(text, '\n'), 0o644); err != nil {
		return err
	}
	return os.WriteFile(out+".marks.json", marks, 0o644)
}

// shoot draws and encodes the frames of a clip. Frames are drawn side by side and
// handed to the encoder in order.
func (k *take) shoot(ctx context.Context, e *film.Engine, path string, s *render.Scene, frames int, progress func(string)) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	next := k.draw(ctx, s, frames)
	n := 0
	req := film.EncodeRequest{
		Width: k.w, Height: k.h, FPS: k.rate, Layout: film.YUV420P, CRF: k.crf, Preset: "veryfast", BFrames: 2,
		KeyEvery: 2 * int(k.rate.Float()), Title: k.name, CaptureFPS: k.trueFPS,
	}
	return e.Encode(ctx, req, path, func(dst []byte) error {
		if n == frames {
			return io.EOF
		}
		if progress != nil && n%30 == 0 {
			progress(fmt.Sprintf("%s: frame %d of %d", k.name, n, frames))
		}
		n++
		return next(dst)
	})
}

// draw starts drawing on all cores and returns a function that gives the next frame.
func (k *take) draw(ctx context.Context, s *render.Scene, frames int) func(dst []byte) error {
	type job struct {
		n    int
		buf  []byte
		done chan struct{}
	}
	workers := runtime.GOMAXPROCS(0)
	studio := render.NewStudio(s)
	todo := make(chan *job)
	order := make(chan *job, 2*workers+1)
	free := make(chan []byte, 2*workers+1)
	for range cap(free) {
		free <- make([]byte, s.FrameBytes())
	}
	for range workers {
		go func() {
			desk := studio.NewDesk()
			for j := range todo {
				desk.Draw(k.trueTime(j.n), j.n, j.buf)
				close(j.done)
			}
		}()
	}
	go func() {
		defer close(todo)
		defer close(order)
		for n := range frames {
			j := &job{n: n, done: make(chan struct{})}
			select {
			case j.buf = <-free:
			case <-ctx.Done():
				return
			}
			select {
			case todo <- j:
				order <- j // there is a place for every buffer
			case <-ctx.Done():
				return
			}
		}
	}()
	return func(dst []byte) error {
		j, ok := <-order
		if !ok {
			return ctx.Err()
		}
		<-j.done
		copy(dst, j.buf)
		free <- j.buf
		return nil
	}
}
