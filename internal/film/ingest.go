package film

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// IngestRequest is a range of frames at a width, for Cache.Ingest.
type IngestRequest struct {
	From, To int // frames From to To-1; To = 0 is the end of the clip
	Width    int // px, 0 = full
}

// Ingest decodes the range once, in order, into the cache; each picture can be
// had by Picture as soon as it has arrived, while Ingest goes on. Pictures
// that are there already are not decoded again. progress (may be nil) is
// called with the pictures done of the total. The report tells the damaged
// stretches, also of pictures that were there already. When the clip turns
// out to have other frames than its index, Ingest starts again with the true
// ones: call Engine.Index afterwards for the times.
func (c *Cache) Ingest(ctx context.Context, e *Engine, clip Clip, req IngestRequest, progress func(done, total int)) (Report, error) {
	rep, err := c.ingest(ctx, e, clip, req, progress)
	if errors.Is(err, ErrIndexChanged) {
		idx, indexErr := e.Index(ctx, clip.Path, nil)
		if indexErr != nil {
			return rep, indexErr
		}
		req.To = min(req.To, len(idx.Frames))
		rep, err = c.ingest(ctx, e, clip, req, progress)
	}
	if err != nil {
		return rep, fmt.Errorf("take pictures of %s: %w", filepath.Base(clip.Path), err)
	}
	return rep, nil
}

func (c *Cache) ingest(ctx context.Context, e *Engine, clip Clip, req IngestRequest, progress func(done, total int)) (Report, error) {
	idx, err := e.Index(ctx, clip.Path, nil)
	if err != nil {
		return Report{}, err
	}
	from, to, err := checkRange(idx.Frames, req.From, req.To)
	if err != nil {
		return Report{}, err
	}
	s, in, rep, err := c.begin(ctx, e, clip, req.Width, from, to)
	if err != nil || in == nil {
		return rep, err
	}
	defer c.finish(s, in)
	total := to - from
	rep, err = e.Decode(ctx, clip.Path, Request{From: in.at, To: to, Format: JPEG, Width: req.Width}, func(p Picture) error {
		if err := c.keep(s, in, p.N, p.Data); err != nil {
			return err
		}
		if progress != nil {
			progress(p.N+1-from, total)
		}
		return nil
	})
	if err != nil {
		return rep, err
	}
	return c.note(s, rep)
}

// begin registers an ingest of the pictures that are missing, or returns a nil
// ingest when none are, waiting first for one under way that brings them.
func (c *Cache) begin(ctx context.Context, e *Engine, clip Clip, width, from, to int) (*pictureSet, *ingest, Report, error) {
	for {
		c.mu.Lock()
		if err := c.load(); err != nil {
			c.mu.Unlock()
			return nil, nil, Report{}, err
		}
		s := c.set(e, clip.Hash, width)
		missing := from
		for missing < to && c.has(s, missing) {
			missing++
		}
		if missing == to {
			c.mu.Unlock()
			rep, err := c.noted(s)
			return s, nil, rep, err
		}
		other := s.covers(missing)
		if other == nil || other.to < to {
			in := &ingest{at: missing, to: to}
			s.active = append(s.active, in)
			c.mu.Unlock()
			return s, in, Report{}, nil
		}
		changed := s.changed
		c.mu.Unlock()
		if err := await(ctx, changed); err != nil {
			return nil, nil, Report{}, err
		}
	}
}

func (c *Cache) has(s *pictureSet, n int) bool {
	_, err := os.Stat(c.file(s, n))
	return err == nil
}

func (c *Cache) finish(s *pictureSet, in *ingest) {
	c.mu.Lock()
	defer c.mu.Unlock()
	s.active = slices.DeleteFunc(s.active, func(a *ingest) bool { return a == in })
	s.tell()
}

// aheadOfNeed is how many pictures are decoded when one is wanted that no
// ingest brings: stepping on usually follows.
const aheadOfNeed = 12

// Picture returns frame n of the clip as a JPEG file of the width (px, 0 =
// full): from the cache, or as soon as the ingest under way brings it, or by
// decoding it and a few after it.
func (c *Cache) Picture(ctx context.Context, e *Engine, clip Clip, width, n int) ([]byte, error) {
	if n < 0 {
		return nil, fmt.Errorf("%w: frame %d", ErrRange, n)
	}
	for {
		c.mu.Lock()
		if err := c.load(); err != nil {
			c.mu.Unlock()
			return nil, err
		}
		s := c.set(e, clip.Hash, width)
		path, coming, changed := c.file(s, n), s.covers(n) != nil, s.changed
		c.mu.Unlock()
		data, err := os.ReadFile(path)
		if err == nil {
			return data, nil
		}
		if !errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("read picture of frame %d: %w", n, err)
		}
		if coming {
			err = await(ctx, changed)
		} else {
			err = c.fetch(ctx, e, clip, width, n)
		}
		if err != nil {
			return nil, err
		}
	}
}

func (c *Cache) fetch(ctx context.Context, e *Engine, clip Clip, width, n int) error {
	idx, err := e.Index(ctx, clip.Path, nil)
	if err != nil {
		return err
	}
	if n >= len(idx.Frames) {
		return fmt.Errorf("%w: frame %d was asked for, the clip has %d", ErrRange, n, len(idx.Frames))
	}
	_, err = c.Ingest(ctx, e, clip, IngestRequest{From: n, To: min(n+aheadOfNeed, len(idx.Frames)), Width: width}, nil)
	return err
}

// noteFile holds the damaged stretches found so far in a set.
const noteFile = "damaged.json"

// note adds the damage of a report to what is known of the set and returns all.
func (c *Cache) note(s *pictureSet, rep Report) (Report, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	old, err := c.noted(s)
	if err != nil || s.gone {
		return rep, err
	}
	if len(rep.Damaged) > 0 {
		old.Damaged = joinStretches(append(old.Damaged, rep.Damaged...))
		b, err := json.Marshal(old.Damaged)
		if err != nil {
			return rep, fmt.Errorf("note damage: %w", err)
		}
		if err := c.write(s, noteFile, b); err != nil {
			return rep, err
		}
	}
	rep.Damaged = old.Damaged
	return rep, nil
}

func (c *Cache) noted(s *pictureSet) (Report, error) {
	b, err := os.ReadFile(filepath.Join(c.dir, s.name, noteFile))
	if errors.Is(err, fs.ErrNotExist) {
		return Report{}, nil
	}
	if err != nil {
		return Report{}, fmt.Errorf("read damage: %w", err)
	}
	var rep Report
	if err := json.Unmarshal(b, &rep.Damaged); err != nil {
		return Report{}, fmt.Errorf("read damage: %w", err)
	}
	return rep, nil
}

// joinStretches sorts stretches and joins those that touch.
func joinStretches(all []Stretch) []Stretch {
	slices.SortFunc(all, func(a, b Stretch) int { return a.From - b.From })
	var out []Stretch
	for _, s := range all {
		if last := len(out) - 1; last >= 0 && s.From <= out[last].To {
			out[last].To = max(out[last].To, s.To)
		} else {
			out = append(out, s)
		}
	}
	return out
}
