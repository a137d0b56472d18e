package film

import (
	"bytes"
	"context"
	"errors"
	"image"
	_ "image/jpeg" // to read the pictures back
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"underkick/internal/disk"
)

func decodeJPEG(t testing.TB, data []byte) image.Image {
	t.Helper()
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// shownNumber reads the painted number off a JPEG file.
func shownNumber(t testing.TB, data []byte) int {
	t.Helper()
	img := decodeJPEG(t, data)
	scale := float64(img.Bounds().Dx()) / clipW
	n := 0
	for bit := range 10 {
		r, _, _, _ := img.At(int((float64(bit)+0.5)*box*scale), int(box/2*scale)).RGBA()
		if r > 0x8000 {
			n |= 1 << bit
		}
	}
	return n
}

// TestCacheNumbers checks that picture n is frame n: while the pictures
// arrive, afterwards, in another width, and without an ingest.
func TestCacheNumbers(t *testing.T) {
	e := native(t)
	c := NewCache(t.TempDir(), 64<<20)
	clip := Clip{clip(t, "long.mp4"), "hash of long.mp4"}
	var done sync.WaitGroup
	done.Go(func() {
		last := 0
		_, err := c.Ingest(t.Context(), e, clip, IngestRequest{To: 200}, func(n, total int) {
			if n != last+1 || total != 200 {
				t.Errorf("progress %d of %d after %d", n, total, last)
			}
			last = n
		})
		if err != nil || last != 200 {
			t.Errorf("ingest: %d, %v", last, err)
		}
	})
	for _, n := range []int{0, 150, 7, 199, 80} {
		done.Go(func() {
			b, err := c.Picture(t.Context(), e, clip, 0, n)
			if err != nil {
				t.Error(err)
			} else if got := shownNumber(t, b); got != n {
				t.Errorf("picture %d shows %d", n, got)
			}
		})
	}
	done.Wait()
	for _, at := range []struct{ n, width int }{{3, 0}, {3, 160}, {530, 160}, {539, 0}} {
		b, err := c.Picture(t.Context(), e, clip, at.width, at.n)
		if err != nil {
			t.Fatal(err)
		}
		if got := shownNumber(t, b); got != at.n {
			t.Errorf("picture %d in width %d shows %d", at.n, at.width, got)
		}
		if img, _, err := image.DecodeConfig(bytes.NewReader(b)); err != nil || at.width > 0 && img.Width != at.width {
			t.Errorf("width %d, want %d, %v", img.Width, at.width, err)
		}
	}
	for _, n := range []int{-1, 540} {
		if _, err := c.Picture(t.Context(), e, clip, 0, n); !errors.Is(err, ErrRange) {
			t.Errorf("picture %d: %v", n, err)
		}
	}
	if rep, err := c.Ingest(t.Context(), e, clip, IngestRequest{To: 200}, nil); err != nil || rep.Pictures != 0 {
		t.Errorf("second ingest decoded %d pictures, %v", rep.Pictures, err)
	}
}

// TestCacheBounded checks that the clip used longest ago goes first, that the
// size never passes the limit, and that it survives reopening.
func TestCacheBounded(t *testing.T) {
	e := native(t)
	path := clip(t, "long.mp4")
	dir := t.TempDir()
	one := NewCache(dir, 64<<20)
	ask := func(c *Cache, hash string) {
		t.Helper()
		if _, err := c.Ingest(t.Context(), e, Clip{path, hash}, IngestRequest{To: 20}, nil); err != nil {
			t.Fatal(err)
		}
	}
	ask(one, "a")
	size, err := one.Size()
	if err != nil || size == 0 {
		t.Fatal(size, err)
	}
	limit := size*5/2 + 1 // room for two sets
	c := NewCache(dir, limit)
	for _, hash := range []string{"b", "a", "c"} { // c does not fit; b was used longest ago
		ask(c, hash)
		if n, err := c.Size(); err != nil || n > limit {
			t.Errorf("%d bytes of %d, %v", n, limit, err)
		}
		time.Sleep(2 * time.Millisecond) // so that the times of use differ
	}
	have := func(hash string) bool {
		m, _ := filepath.Glob(filepath.Join(dir, clipPart(hash)+"-*", "000000.jpg"))
		return len(m) == 1
	}
	if !have("a") || have("b") || !have("c") {
		t.Errorf("kept a %v, b %v, c %v; want a and c", have("a"), have("b"), have("c"))
	}
	again := NewCache(dir, limit)
	n1, _ := c.Size()
	if n2, err := again.Size(); err != nil || n1 != n2 {
		t.Errorf("reopened: %d bytes, want %d, %v", n2, n1, err)
	}
	small := NewCache(t.TempDir(), 1000)
	if _, err := small.Ingest(t.Context(), e, Clip{path, "a"}, IngestRequest{To: 20}, nil); !errors.Is(err, ErrCacheFull) {
		t.Errorf("too small a cache: %v", err)
	}
}

// TestCacheForget checks that an erased clip leaves no picture, also when it
// is being taken in, and that leftovers of a crash are cleared.
func TestCacheForget(t *testing.T) {
	e := native(t)
	dir := t.TempDir()
	c := NewCache(dir, 64<<20)
	cl := Clip{clip(t, "long.mp4"), "h"}
	_, err := c.Ingest(t.Context(), e, cl, IngestRequest{To: 300}, func(n, _ int) {
		if n == 10 {
			if err := c.Forget("h"); err != nil {
				t.Error(err)
			}
		}
	})
	if !errors.Is(err, errForgotten) {
		t.Errorf("ingest of an erased clip: %v", err)
	}
	if n, err := c.Size(); n != 0 || err != nil {
		t.Errorf("%d bytes left, %v", n, err)
	}
	if left, _ := os.ReadDir(dir); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	if _, err := c.Picture(t.Context(), e, cl, 0, 5); err != nil {
		t.Fatal(err)
	}
	sets, _ := filepath.Glob(filepath.Join(dir, "*-*"))
	stale := filepath.Join(sets[0], disk.Unfinished+"1")
	if err := os.WriteFile(stale, []byte("half"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Join(dir, trashPrefix+"1", "set"), 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := NewCache(dir, 64<<20).Size(); err != nil {
		t.Fatal(err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*", ".*")); len(left) > 0 {
		t.Errorf("leftovers: %v", left)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".*")); len(left) > 0 {
		t.Errorf("leftovers: %v", left)
	}
}

// TestCacheCancel checks that an ingest that was ended keeps what it had and
// that those who wait for the rest get it all the same.
func TestCacheCancel(t *testing.T) {
	e := native(t)
	c := NewCache(t.TempDir(), 64<<20)
	cl := Clip{clip(t, "long.mp4"), "h"}
	ctx, cancel := context.WithCancel(t.Context())
	var waiter sync.WaitGroup
	_, err := c.Ingest(ctx, e, cl, IngestRequest{To: 300}, func(n, _ int) {
		if n == 10 {
			waiter.Go(func() {
				b, err := c.Picture(t.Context(), e, cl, 0, 299)
				if err != nil {
					t.Error(err)
				} else if got := shownNumber(t, b); got != 299 {
					t.Errorf("picture 299 shows %d", got)
				}
			})
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	waiter.Wait()
	if rep, err := c.Ingest(t.Context(), e, cl, IngestRequest{To: 10}, nil); err != nil || rep.Pictures != 0 {
		t.Errorf("the pictures of before were decoded again: %d, %v", rep.Pictures, err)
	}
}

// TestCacheDamage checks that damage is remembered with the pictures.
func TestCacheDamage(t *testing.T) {
	e := native(t)
	dir := t.TempDir()
	cl := Clip{clip(t, "corrupt.mp4"), "h"}
	first, err := NewCache(dir, 64<<20).Ingest(t.Context(), e, cl, IngestRequest{}, nil)
	if err != nil || len(first.Damaged) == 0 {
		t.Fatal(first, err)
	}
	second, err := NewCache(dir, 64<<20).Ingest(t.Context(), e, cl, IngestRequest{}, nil)
	if err != nil || second.Pictures != 0 || len(second.Damaged) != len(first.Damaged) {
		t.Errorf("%+v, %v; want the damage of %+v", second, err, first)
	}
}

// TestEmbeddedStill checks the embedded engine's way to JPEG.
func TestEmbeddedStill(t *testing.T) {
	e := embedded(t)
	b, err := e.Still(t.Context(), clip(t, "cfr60.mp4"), 77, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := shownNumber(t, b); got != 77 {
		t.Errorf("picture 77 shows %d", got)
	}
}

// TestOverview checks that the pictures are spread over the clip and show what
// their frames show.
func TestOverview(t *testing.T) {
	e := native(t)
	var at []int
	err := e.Overview(t.Context(), clip(t, "long.mp4"), 160, 5, func(p Picture) error {
		if got := shownNumber(t, p.Data); got != p.N {
			t.Errorf("frame %d shows %d", p.N, got)
		}
		at = append(at, p.N)
		return nil
	})
	// Whole pictures every 60 frames, at least 540/5 = 108 frames apart.
	if want := []int{0, 120, 240, 360, 480}; err != nil || !slices.Equal(at, want) {
		t.Errorf("frames %v, %v; want %v", at, err, want)
	}
}

// TestLongest checks the end of the longest stretch against the limits.
func TestLongest(t *testing.T) {
	x := &Index{Frames: make([]Frame, 5000)}
	for k := range x.Frames {
		x.Frames[k].Time = float64(k) / 60
	}
	for _, c := range []struct{ from, want int }{{0, 721}, {100, 821}, {4900, 5000}, {5000, 5000}, {-1, -1}} {
		if got := x.Longest(c.from); got != c.want {
			t.Errorf("from %d: %d, want %d", c.from, got, c.want)
		}
	}
}
