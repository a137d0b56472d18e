package guess

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sync"

	"underkick/internal/guess/network"
)

// Pictures gives a frame of the clip, upright and with square pixels, in its
// full size or smaller. It is called from several goroutines.
type Pictures func(ctx context.Context, frame int) (image.Image, error)

// seer looks at frames with the network and keeps what it saw in a file, so
// that no frame is looked at twice.
type seer struct {
	pictures Pictures
	width    int    // of the full picture, px
	progress func() // called after each frame looked at
	open     func(ctx context.Context) (*network.Net, error)
	free     chan struct{} // holds a token for each frame being looked at
	kept     bool          // nothing new is looked at
	between  func()

	netMu sync.Mutex
	net   *network.Net // opened at first need
	idle  []*network.Worker

	mu   sync.Mutex
	seen map[sightKey]sight
	file *os.File
}

type sightKey struct {
	frame  int
	mirror bool
}

// openSeen reads what was seen before. A line that is not whole, as a stop in
// the middle leaves it, ends the reading and is cut off where more is to be kept.
func (s *seer) openSeen(path string) error {
	s.seen = map[sightKey]sight{}
	if s.kept {
		return s.readKept(path)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return fmt.Errorf("keep the guess: %w", err)
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return fmt.Errorf("keep the guess: %w", err)
	}
	good, err := s.readSeen(f)
	if err == nil {
		err = f.Truncate(good)
	}
	if err == nil {
		_, err = f.Seek(good, io.SeekStart)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("keep the guess: %w", err), f.Close())
	}
	s.file = f
	return nil
}

// readKept reads a file that somebody else may be writing on.
func (s *seer) readKept(path string) error {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return ErrNotKept
	}
	if err != nil {
		return fmt.Errorf("read the guess: %w", err)
	}
	_, err = s.readSeen(f)
	return errors.Join(err, f.Close())
}

// readSeen reads the whole lines of a file and tells how many bytes they are.
func (s *seer) readSeen(f *os.File) (good int64, err error) {
	r := bufio.NewReader(f)
	for {
		line, err := r.ReadBytes('\n')
		if errors.Is(err, io.EOF) {
			return good, nil
		}
		if err != nil {
			return good, fmt.Errorf("read the guess: %w", err)
		}
		var v sight
		if json.Unmarshal(bytes.TrimSpace(line), &v) != nil {
			return good, nil
		}
		s.seen[sightKey{v.Frame, v.Mirror}] = v
		good += int64(len(line))
	}
}

// see returns what the network sees in a frame through a crop, which is given
// in px of the full picture.
func (s *seer) see(ctx context.Context, frame int, c crop) (sight, error) {
	if v, ok := s.recall(frame, c.mirror); ok {
		return v, nil
	}
	if s.kept {
		return sight{}, ErrNotKept
	}
	select {
	case s.free <- struct{}{}:
	case <-ctx.Done():
		return sight{}, ctx.Err()
	}
	defer func() { <-s.free }()
	img, err := s.pictures(ctx, frame)
	if err != nil {
		return sight{}, fmt.Errorf("read frame %d: %w", frame, err)
	}
	p, err := newPicture(img)
	if err != nil {
		return sight{}, fmt.Errorf("read frame %d: %w", frame, err)
	}
	in := make([]float32, network.Side*network.Side*3)
	c.times(float64(p.width)/float64(s.width)).cut(p, in)
	if err := ctx.Err(); err != nil {
		return sight{}, err
	}
	w, err := s.worker(ctx)
	if err != nil {
		return sight{}, err
	}
	pts, err := w.Run(ctx, in)
	if err != nil {
		return sight{}, err
	}
	s.netMu.Lock()
	s.idle = append(s.idle, w)
	s.netMu.Unlock()
	v := newSight(frame, c, pts)
	return v, s.keep(v)
}

func (s *seer) recall(frame int, mirror bool) (sight, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	v, ok := s.seen[sightKey{frame, mirror}]
	return v, ok
}

func (s *seer) keep(v sight) error {
	line, err := json.Marshal(v)
	if err != nil {
		return fmt.Errorf("keep the guess: %w", err)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.seen[sightKey{v.Frame, v.Mirror}] = v
	if _, err := s.file.Write(append(line, '\n')); err != nil {
		return fmt.Errorf("keep the guess: %w", err)
	}
	s.progress()
	if len(s.seen)%tidyEvery == 0 {
		runtime.GC()
	}
	return nil
}

// tidyEvery is after how many frames garbage is collected by force. The
// instances of the network are hundreds of megabytes that never become
// garbage; left alone, the collector would wait for as much of it again.
const tidyEvery = 16

// worker returns an idle worker or a new one. One that failed is not used again.
func (s *seer) worker(ctx context.Context) (*network.Worker, error) {
	s.netMu.Lock()
	defer s.netMu.Unlock()
	if n := len(s.idle); n > 0 {
		w := s.idle[n-1]
		s.idle = s.idle[:n-1]
		return w, nil
	}
	if s.net == nil {
		net, err := s.open(ctx)
		if err != nil {
			return nil, err
		}
		s.net = net
	}
	w, err := s.net.Worker(ctx)
	if err == nil {
		w.Between = s.between
	}
	return w, err
}

// close ends the network and the file.
func (s *seer) close() error {
	if s.kept {
		return nil
	}
	err := s.file.Close()
	if s.net != nil {
		err = errors.Join(err, s.net.Close(context.Background()))
	}
	if err != nil {
		return fmt.Errorf("keep the guess: %w", err)
	}
	return nil
}
