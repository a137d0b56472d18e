package guess

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"runtime"
	"slices"
	"sync"

	"underkick/internal/guess/network"
)

// Method is the version of the way from pictures to sights; it is part of the
// keys under which they are kept.
const Method = "1"

// ErrStart is wrapped by errors about a start that cannot be used.
var ErrStart = errors.New("the guess cannot start there")

// ErrNotKept is returned for a guess that is not kept whole.
var ErrNotKept = errors.New("the guess is not kept whole")

// ErrUnsupported is returned on machines that cannot run the network.
var ErrUnsupported = network.ErrUnsupported

// Supported reports whether this machine can run the network.
func Supported() bool { return network.Supported() }

// Request says what Run is to look at.
type Request struct {
	// Clip is a hash of the clip's content: the folder's name under which what
	// was seen of it is kept, so that it can be found again and erased.
	Clip          string
	Width, Height int // of the full picture, px
	Pictures      Pictures
	Start         Start
	From, To      int // frames From to To-1; Start.Frame lies among them
	Step          int // look at every Step-th frame counted from the start; 0 = 1
	// CacheDir is where what was seen and what was compiled are kept. What
	// stands there is not looked at again; a run that was stopped goes on
	// where it was.
	CacheDir string
	Workers  int // frames looked at at the same time, about 130 MB each; 0 = one a core, at most 3
	// Kept takes only what was looked at before; Run then needs no Pictures and
	// returns ErrNotKept where a frame is missing.
	Kept bool
	// Between is called every few milliseconds on each worker, so that work which
	// somebody waits for can go first: it returns when the guess may go on. nil = at once.
	Between func()
	// Progress is told the frames done of about total; nil = nobody. The calls
	// come one at a time.
	Progress func(done, total int)
}

// StepAt returns the Step that looks at about 50 frames a second, which is
// enough to follow a kick, for a film with fps frames in a true second.
func StepAt(fps float64) int { return max(1, int(fps/50+1e-9)) }

// Guess is what the network saw of a run.
type Guess struct {
	start  Start
	width  int
	height int
	sights []sight // by frame
	// From and To are the frames From to To-1 through which the swimmer was
	// followed.
	From, To int
	// LostBack and LostOn tell that the swimmer was lost before From or from
	// To on although frames there were asked for.
	LostBack, LostOn bool
}

// Frames lists the frames that were looked at, rising.
func (g *Guess) Frames() []int {
	out := make([]int, len(g.sights))
	for i := range g.sights {
		out[i] = g.sights[i].Frame
	}
	return out
}

// Run follows the swimmer from the start through the frames in both directions
// and returns what the network saw of his body. It takes a few tenths of a
// second per frame looked at and core. When ctx ends it returns its error; what
// was seen until then is kept.
func Run(ctx context.Context, req Request) (*Guess, error) {
	if err := req.Check(); err != nil {
		return nil, err
	}
	s := &seer{pictures: req.Pictures, width: req.Width, kept: req.Kept, between: req.Between}
	if err := s.openSeen(filepath.Join(Dir(req.CacheDir, req.Clip), req.key()+".jsonl")); err != nil {
		return nil, err
	}
	g, err := req.run(ctx, s)
	if err := errors.Join(err, s.close()); err != nil {
		return nil, err
	}
	return g, nil
}

// Dir is the folder below a cache folder in which all guesses of a clip are kept;
// whoever erases the clip removes it.
func Dir(cacheDir, clip string) string { return filepath.Join(cacheDir, "guess", clip) }

func (r *Request) run(ctx context.Context, s *seer) (*Guess, error) {
	before, total := len(s.seen), r.total()
	done := before
	s.progress = func() {
		done++
		if r.Progress != nil {
			r.Progress(min(done, total), total)
		}
	}
	s.open = func(ctx context.Context) (*network.Net, error) { return network.Open(ctx, r.CacheDir) }
	s.free = make(chan struct{}, r.workers())
	const links = 2 // every second frame looked at is followed to, the others lie between two
	step := max(1, r.Step)
	f := &follower{start: r.Start, first: ends{r.Start.fingertip(), r.Start.toe()}, see: s.see, stride: links * step}
	mirror, err := f.facing(ctx, r.From, r.To-1)
	if err != nil {
		return nil, err
	}
	back, on, err := f.both(ctx, mirror, r.From, r.To-1, 0)
	if err != nil {
		return nil, err
	}
	g := &Guess{start: r.Start, width: r.Width, height: r.Height, LostBack: back.lost, LostOn: on.lost}
	slices.Reverse(back.sights)
	g.sights = append(back.sights, on.sights[1:]...)
	if err := g.fill(ctx, f, step, s.see); err != nil {
		return nil, err
	}
	if r.Progress != nil && done > before {
		r.Progress(total, total)
	}
	g.From, g.To = g.sights[0].Frame, g.sights[len(g.sights)-1].Frame+1
	if !g.LostBack {
		g.From = r.From
	}
	if !g.LostOn {
		g.To = r.To
	}
	return g, nil
}

// fill looks at the frames between the links of the chain, all cores at once.
func (g *Guess) fill(ctx context.Context, f *follower, step int, see func(context.Context, int, crop) (sight, error)) error {
	at := slices.IndexFunc(g.sights, func(s sight) bool { return s.Frame == f.start.Frame })
	h := learnHabit(&g.sights[at], f.first)
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	var wait sync.WaitGroup
	between := make([]sight, len(g.sights)-1)
	for i := range between {
		wait.Go(func() {
			frame := g.sights[i].Frame + step
			var err error
			if between[i], err = see(ctx, frame, h.between(&g.sights[i], &g.sights[i+1], frame)); err != nil {
				cancel(err)
			}
		})
	}
	wait.Wait()
	if err := context.Cause(ctx); err != nil {
		return err
	}
	all := g.sights[:1:1]
	for i, s := range between {
		if s.split() <= maxSplit {
			all = append(all, s)
		}
		all = append(all, g.sights[i+1])
	}
	g.sights = all
	return nil
}

// mostWorkers keeps the whole program under 600 MB: it takes some 200 MB, each
// worker 130.
const mostWorkers = 3

func (r *Request) workers() int {
	if r.Workers > 0 {
		return r.Workers
	}
	return min(mostWorkers, runtime.NumCPU())
}

// total is about how many frames will be looked at.
func (r *Request) total() int { return (r.To-r.From)/max(1, r.Step) + 2*trial + 1 }

// key names the file of what was seen.
func (r *Request) key() string {
	text := fmt.Sprintf("%s\n%s\n%s\n%d %.2f %.2f %.2f %.2f %d %d", r.Clip, Method, network.Version,
		r.Start.Frame, r.Start.FingertipX, r.Start.FingertipY, r.Start.ToeX, r.Start.ToeY, r.Step, r.Width)
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:16])
}

// minBody is the shortest body the network can see anything of, px.
const minBody = 60

// Check refuses what cannot be meant: its error wraps ErrStart. Run does it too.
func (r *Request) Check() error {
	if r.Pictures == nil && !r.Kept || r.Clip == "" || r.CacheDir == "" || r.Width <= 0 || r.Height <= 0 {
		panic("guess: Run needs pictures, their size and a cache folder")
	}
	if r.From < 0 || r.To-r.From < 2 || r.Start.Frame < r.From || r.Start.Frame >= r.To {
		return fmt.Errorf("%w: frame %d is not among the frames %d to %d", ErrStart, r.Start.Frame, r.From, r.To-1)
	}
	for _, p := range [...]xy{r.Start.fingertip(), r.Start.toe()} {
		if !(p.x >= 0 && p.y >= 0 && p.x <= float64(r.Width) && p.y <= float64(r.Height)) {
			return fmt.Errorf("%w: (%g, %g) is outside the picture of %d by %d px", ErrStart, p.x, p.y, r.Width, r.Height)
		}
	}
	if l := math.Hypot(r.Start.FingertipX-r.Start.ToeX, r.Start.FingertipY-r.Start.ToeY); l < minBody {
		return fmt.Errorf("%w: the finger tip and the toe are only %.0f px apart; the swimmer must be at least %d px long in the picture", ErrStart, l, minBody)
	}
	return nil
}
