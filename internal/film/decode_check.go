package film

import (
	"fmt"
	"time"
)

// lineGrace is far longer than two goroutines of one process can be apart.
const lineGrace = 20 * time.Second

// check compares the at-th picture of the log with the frame n it should be.
func (d *decoding) check(log *frameLog, at, n, key int, grace time.Duration) error {
	s, ok := log.wait(at, grace)
	want := d.idx.Frames[n].PTS
	good := ok && s.hasPTS && s.pts == want && !(key >= 0 && d.idx.linear.Load())
	if good && d.rightSize(s) {
		return nil
	}
	if key >= 0 && d.done == 0 {
		return errOtherStart
	}
	switch {
	case !ok:
		return fmt.Errorf("%w: frame %d cannot be decoded", ErrIndexChanged, n)
	case s.pts != want:
		return fmt.Errorf("%w: frame %d is at %d, not at %d", ErrIndexChanged, n, s.pts, want)
	}
	return fmt.Errorf("%w: from frame %d on the picture is %d by %d", ErrIndexChanged, n, s.width, s.height)
}

// rightSize reports whether a picture of the log has the stored size, turned.
func (d *decoding) rightSize(s shown) bool {
	w, h := d.idx.Info.CodedWidth, d.idx.Info.CodedHeight
	if d.idx.Info.Rotation%180 == 90 {
		w, h = h, w
	}
	return s.width == w && s.height == h
}

// cutShort explains a picture that did not come although the log showed it.
func (d *decoding) cutShort(p *process, err error, n int) error {
	if waitErr := p.wait(); waitErr != nil {
		return waitErr
	}
	return fmt.Errorf("read frame %d: %w", n, err)
}

// damaged turns the places of telling log lines into stretches of frames,
// within the request: from each line to the first whole picture that is past
// what the decoder may have held back.
func (d *decoding) damaged(lines []int, key int) []Stretch {
	var all []Stretch
	held := d.idx.Info.reorder + max(1, d.e.tool.threads())
	for _, at := range lines {
		n := at
		if key >= 0 {
			n += key
		}
		end := min(n+held, len(d.idx.Frames))
		for end < len(d.idx.Frames) && !d.idx.Frames[end].Key {
			end++
		}
		from, to := max(n-1, d.req.From), min(end, d.req.To)
		if from >= to {
			continue
		}
		all = append(all, Stretch{from, to})
	}
	return joinStretches(all)
}
