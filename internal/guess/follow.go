package guess

import (
	"context"
	"math"
	"sync"
)

// Start is where a person pointed to start the guess: the finger tip and the
// toe of the swimmer in one frame, px of the upright picture.
type Start struct {
	Frame      int
	FingertipX float64
	FingertipY float64
	ToeX, ToeY float64
}

func (s Start) fingertip() xy { return xy{s.FingertipX, s.FingertipY} }
func (s Start) toe() xy       { return xy{s.ToeX, s.ToeY} }

// ends are a swimmer's fingertip and toe.
type ends struct{ fingertip, toe xy }

func (e ends) length() float64 {
	return math.Hypot(e.fingertip.x-e.toe.x, e.fingertip.y-e.toe.y)
}

// onward returns e moved on by k times the way from d to e, which is where the
// ends will be when they go on as they did.
func (e ends) onward(d ends, k float64) ends {
	f := func(a, b xy) xy { return xy{a.x + k*(a.x-b.x), a.y + k*(a.y-b.y)} }
	return ends{f(e.fingertip, d.fingertip), f(e.toe, d.toe)}
}

// habit is where a person points relative to where the network does: from
// the knuckle to the fingertip and from its toe to the toe, in axes along and
// across the line from its toe to its knuckle, in lengths of that line.
type habit struct{ fingertip, toe xy }

func learnHabit(s *sight, e ends) habit {
	into := func(from, to, a, b xy) xy {
		l2 := (a.x-b.x)*(a.x-b.x) + (a.y-b.y)*(a.y-b.y)
		ex, ey := a.x-b.x, a.y-b.y
		dx, dy := to.x-from.x, to.y-from.y
		return xy{(dx*ex + dy*ey) / l2, (dy*ex - dx*ey) / l2}
	}
	a, b := s.merged(knuckle), s.merged(toe)
	return habit{into(a, e.fingertip, a, b), into(b, e.toe, a, b)}
}

// ends returns the swimmer's ends in a sight.
func (h habit) ends(s *sight) ends {
	a, b := s.merged(knuckle), s.merged(toe)
	ex, ey := a.x-b.x, a.y-b.y
	from := func(p, o xy) xy { return xy{p.x + o.x*ex - o.y*ey, p.y + o.x*ey + o.y*ex} }
	return ends{from(a, h.fingertip), from(b, h.toe)}
}

// What counts as having lost the swimmer.
const (
	maxSplit   = 0.15 // of the body's length
	maxStretch = 0.25 // change of the body's length against the start
)

// follower goes through the frames from the start.
type follower struct {
	start  Start
	first  ends
	see    func(ctx context.Context, frame int, c crop) (sight, error)
	stride int // frames between the links of the chain
}

// chain is what following in one direction gave.
type chain struct {
	sights []sight // from the start outwards, the start's own first
	lost   bool    // it ended because the swimmer was lost
}

// follow goes from the start towards last by the stride and stops where the
// swimmer is lost, or after limit further frames (0 = no limit).
func (f *follower) follow(ctx context.Context, mirror bool, last, limit int) (chain, error) {
	first, err := f.see(ctx, f.start.Frame, around(f.first.fingertip, f.first.toe, mirror))
	if err != nil {
		return chain{}, err
	}
	out := chain{sights: []sight{first}}
	h := learnHabit(&first, f.first)
	step := f.stride
	if last < f.start.Frame {
		step = -step
	}
	now, before := f.first, f.first
	for n := f.start.Frame + step; (last-n)*step >= 0; n += step {
		if limit > 0 && len(out.sights) > limit {
			return out, nil
		}
		ahead := now.onward(before, 1)
		s, err := f.see(ctx, n, around(ahead.fingertip, ahead.toe, mirror))
		if err != nil {
			return out, err
		}
		if f.isLost(&s, &first) {
			out.lost = true
			return out, nil
		}
		out.sights = append(out.sights, s)
		now, before = h.ends(&s), now
	}
	return out, nil
}

func (f *follower) isLost(s, first *sight) bool {
	stretch := s.length()/first.length() - 1
	return s.split() > maxSplit || math.Abs(stretch) > maxStretch
}

// both follows in both directions at the same time.
func (f *follower) both(ctx context.Context, mirror bool, from, to, limit int) (back, on chain, err error) {
	// The start's own frame is seen first, or both directions would look at it.
	if _, err := f.see(ctx, f.start.Frame, around(f.first.fingertip, f.first.toe, mirror)); err != nil {
		return chain{}, chain{}, err
	}
	var wait sync.WaitGroup
	var backErr error
	wait.Go(func() { back, backErr = f.follow(ctx, mirror, from, limit) })
	on, err = f.follow(ctx, mirror, to, limit)
	wait.Wait()
	if err == nil {
		err = backErr
	}
	return back, on, err
}

// trial is how many frames in each direction decide between the picture as it
// is and its mirror image.
const trial = 4

// facing tells whether the network sees the swimmer better in the mirror,
// which depends on the direction of swimming and on front or back up: the
// side is kept on which it puts the two legs closer together.
func (f *follower) facing(ctx context.Context, from, to int) (mirror bool, err error) {
	var mean [2]float64
	for i, m := range [...]bool{false, true} {
		back, on, err := f.both(ctx, m, from, to, trial)
		if err != nil {
			return false, err
		}
		n := 0
		for _, c := range [...]chain{back, on} {
			for k := range c.sights {
				mean[i] += c.sights[k].split()
				n++
			}
			if c.lost {
				mean[i] += maxSplit
				n++
			}
		}
		mean[i] /= float64(n)
	}
	return mean[1] < mean[0], nil
}

// between is the crop for a frame between two that were seen: its ends lie on
// the straight line between theirs.
func (h habit) between(a, b *sight, frame int) crop {
	u := float64(frame-a.Frame) / float64(b.Frame-a.Frame)
	ea, eb := h.ends(a), h.ends(b)
	mix := func(p, q xy) xy { return xy{p.x + u*(q.x-p.x), p.y + u*(q.y-p.y)} }
	return around(mix(ea.fingertip, eb.fingertip), mix(ea.toe, eb.toe), a.Mirror)
}
