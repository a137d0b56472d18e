package poolside

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"underkick/internal/film"
)

// PreviewPictures is the most pictures of a clip's preview, and previewWidth their width,
// px. They are whole pictures of the film near to their place, to find one's way by.
const (
	PreviewPictures = 12
	previewWidth    = 160
	mostPreviews    = 8 // clips whose preview is kept in memory
)

// previewCache keeps the previews of the clips last looked at.
type previewCache struct {
	mu    sync.Mutex
	order []string // clip ids, oldest first
	kept  map[string]*preview
}

// preview is made once; who asks meanwhile waits.
type preview struct {
	mu   sync.Mutex
	made bool
	list [][]byte
}

func (c *previewCache) of(clipID string) *preview {
	c.mu.Lock()
	defer c.mu.Unlock()
	if p := c.kept[clipID]; p != nil {
		return p
	}
	if c.kept == nil {
		c.kept = map[string]*preview{}
	}
	if len(c.order) >= mostPreviews {
		delete(c.kept, c.order[0])
		c.order = slices.Delete(c.order, 0, 1)
	}
	p := &preview{}
	c.kept[clipID], c.order = p, append(c.order, clipID)
	return p
}

// Preview returns picture k of the PreviewPictures of a clip's preview as a JPEG file.
// Where the clip has fewer whole pictures the nearest before stands in.
func (a *App) Preview(ctx context.Context, clipID string, k int) ([]byte, error) {
	clip, err := a.store.Clip(ctx, clipID)
	if err != nil {
		return nil, err
	}
	p := a.previews.of(clipID)
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.made {
		engine, err := a.engine(ctx)
		if err != nil {
			return nil, err
		}
		p.list = nil
		err = engine.Overview(ctx, a.store.ClipPath(clip), previewWidth, PreviewPictures, func(pic film.Picture) error {
			p.list = append(p.list, slices.Clone(pic.Data))
			return nil
		})
		if err != nil {
			return nil, fmt.Errorf("make the preview of %s: %w", clip.Name, err)
		}
		p.made = true
	}
	if k < 0 || k >= PreviewPictures || len(p.list) == 0 {
		return nil, fmt.Errorf("preview picture %d of %s: %w", k, clip.Name, ErrNotFound)
	}
	return p.list[k*len(p.list)/PreviewPictures], nil
}
