package guess

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sync"
	"testing"
)

// pond is a stand-in for film and network: a swimmer whose true points are
// known. Through a crop that fits him he is seen as he is but for the usual
// differences; through one that does not, he is not seen.
type pond struct {
	mu     sync.Mutex
	gone   func(frame int) bool
	mirror bool // the swimmer is seen well in the mirror only
	crops  map[int]crop
}

// ends are the swimmer's true fingertip and toe: he crosses the picture at 4 px
// a frame and beats his toes 60 px up and down, once in 40 frames.
func (p *pond) ends(frame int) ends {
	x, w := 300+4*float64(frame), 2*math.Pi*float64(frame)/40
	return ends{xy{x + 500, 350 + 12*math.Sin(w+1)}, xy{x, 360 + 60*math.Sin(w)}}
}

func (p *pond) see(_ context.Context, frame int, c crop) (sight, error) {
	p.mu.Lock()
	p.crops[frame] = c
	p.mu.Unlock()
	e := p.ends(frame)
	along := func(u, off float64) xy {
		return xy{e.toe.x + u*(e.fingertip.x-e.toe.x), e.toe.y + u*(e.fingertip.y-e.toe.y) + off}
	}
	s := sight{Frame: frame, Mirror: c.mirror}
	apart := 4.0
	if c.mirror != p.mirror {
		apart = 30
	}
	if p.gone != nil && p.gone(frame) {
		apart = 200
	}
	for i, u := range [places]float64{0.94, 0.88, 0.78, 0.66, 0.7, 0.42, 0.25, 0.09, 0.07, 0.01} {
		for k, sign := range [...]float64{-1, 1} {
			at := along(u, sign*apart/2)
			s.Points[i][k] = view{at.x, at.y, 0.9}
		}
	}
	return s, nil
}

func newFollower(p *pond, start int) *follower {
	p.crops = map[int]crop{}
	f := &follower{start: Start{Frame: start}, first: p.ends(start), stride: 4}
	f.see = p.see
	return f
}

// TestFollowKeepsTheSwimmerInTheCrop: seen from the crop, the swimmer stays
// within the 10 % and 20 degrees beyond which the network fails.
func TestFollowKeepsTheSwimmerInTheCrop(t *testing.T) {
	p := &pond{}
	f := newFollower(p, 60)
	back, err := f.follow(t.Context(), false, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	on, err := f.follow(t.Context(), false, 121, 0)
	if err != nil {
		t.Fatal(err)
	}
	if back.lost || on.lost || len(back.sights) != 16 || len(on.sights) != 16 {
		t.Fatalf("followed %d and %d frames, lost %v %v", len(back.sights), len(on.sights), back.lost, on.lost)
	}
	for frame, c := range p.crops {
		want := p.ends(frame)
		fit := around(want.fingertip, want.toe, false)
		off := math.Hypot(c.x-fit.x, c.y-fit.y) / want.length()
		turn := math.Acos(min(1, c.ux*fit.ux+c.uy*fit.uy)) * 180 / math.Pi
		if off > 0.07 || turn > 8 || math.Abs(c.side/fit.side-1) > 0.05 {
			t.Errorf("frame %d: crop off by %.3f of the body, %.1f deg, size %.3f", frame, off, turn, c.side/fit.side)
		}
	}
}

func TestFollowStopsWhereTheSwimmerIsLost(t *testing.T) {
	p := &pond{gone: func(frame int) bool { return frame > 90 }}
	on, err := newFollower(p, 60).follow(t.Context(), false, 121, 0)
	if err != nil || !on.lost || on.sights[len(on.sights)-1].Frame != 88 {
		t.Fatalf("lost %v after frame %d, %v", on.lost, on.sights[len(on.sights)-1].Frame, err)
	}
}

func TestFacingKeepsTheSideThatIsSeenBetter(t *testing.T) {
	for _, want := range []bool{false, true} {
		got, err := newFollower(&pond{mirror: want}, 60).facing(t.Context(), 0, 121)
		if err != nil || got != want {
			t.Errorf("mirror %v, want %v, %v", got, want, err)
		}
	}
}

func TestFollowPassesErrorsOn(t *testing.T) {
	broken := errors.New("broken film")
	f := newFollower(&pond{}, 60)
	f.see = func(_ context.Context, frame int, _ crop) (sight, error) {
		return sight{}, fmt.Errorf("%d: %w", frame, broken)
	}
	if _, _, err := f.both(t.Context(), false, 0, 121, 0); !errors.Is(err, broken) {
		t.Error(err)
	}
}

// TestHabitGivesBackTheEnds: what was learned on one sight leads back to the
// ends on the same body turned, moved and larger.
func TestHabitGivesBackTheEnds(t *testing.T) {
	p := &pond{crops: map[int]crop{}}
	s, err := p.see(t.Context(), 7, crop{})
	if err != nil {
		t.Fatal(err)
	}
	e := ends{xy{840, 355}, xy{310, 420}}
	h := learnHabit(&s, e)
	turn := func(a xy) xy { return xy{100 - 2*a.y, 50 + 2*a.x} } // a quarter turn, twice as large
	turned := s
	for i := range turned.Points {
		for k, v := range s.Points[i] {
			at := turn(xy{v.X, v.Y})
			turned.Points[i][k].X, turned.Points[i][k].Y = at.x, at.y
		}
	}
	got, want := h.ends(&turned), ends{turn(e.fingertip), turn(e.toe)}
	if math.Hypot(got.fingertip.x-want.fingertip.x, got.fingertip.y-want.fingertip.y) > 1e-9 ||
		math.Hypot(got.toe.x-want.toe.x, got.toe.y-want.toe.y) > 1e-9 {
		t.Errorf("ends %v, want %v", got, want)
	}
}

func TestMergedTrustsTheArmThatIsSeen(t *testing.T) {
	var s sight
	s.Points[wrist] = [2]view{{100, 100, 0.1}, {200, 200, 0.9}}
	s.Points[knee] = [2]view{{100, 100, 0.1}, {200, 200, 0.9}}
	if w := s.merged(wrist); w.x < 199 {
		t.Errorf("wrist at %v", w)
	}
	if k := s.merged(knee); k != (xy{150, 150}) {
		t.Errorf("knee at %v", k)
	}
}
