package film

import (
	"context"
	"fmt"
)

// Still returns frame n of the clip as a JPEG file of at most the given width
// in px (0 = full). It costs decoding from the last whole picture before n, or
// from the beginning of a short clip; for more than a few stills of a stretch
// use a Cache.
func (e *Engine) Still(ctx context.Context, path string, n, width int) ([]byte, error) {
	var still []byte
	_, err := e.Decode(ctx, path, Request{From: n, To: n + 1, Format: JPEG, Width: width}, func(p Picture) error {
		still = append(still, p.Data...)
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("picture of frame %d: %w", n, err)
	}
	return still, nil
}
