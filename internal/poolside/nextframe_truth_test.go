package poolside

import (
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/body"
	"underkick/internal/score"
	"underkick/internal/trace"
)

// handPx is the standard error of a click per axis that the design's bars assume.
const handPx = 2

// A coach without a guess, who marks what is asked on the demo's clips with the
// scatter of a steady hand, reaches both levels, and the traces are then as good as
// the levels say: over the clips the true errors of toe, ankle, knee and hip stay
// within 1.5 % of the body's length per axis at the first, of the toe within 1 % and
// of the foot within 3 degrees at the second.
func TestLevelsHoldOnTheDemoClips(t *testing.T) {
	skipShort(t)
	clips, err := demoClips()
	if err != nil {
		t.Fatal(err)
	}
	var reached [3]levelScore
	for n, k := range clips {
		follow(t, k, uint64(n), &reached)
	}
	for level, limits := range map[int]map[body.Landmark]float64{
		1: {body.Toe: 0.015, body.Ankle: 0.015, body.Knee: 0.015, body.Hip: 0.015},
		2: {body.Toe: 0.01},
	} {
		r := &reached[level]
		if r.clips != len(clips) {
			t.Errorf("level %d is reached on %d of %d clips", level, r.clips, len(clips))
		}
		foot := r.errors.FootAngle() * 180 / math.Pi
		t.Logf("level %d: %d clicks on %d frames a clip; foot %.1f deg", level, r.clicks/r.clips, r.frames/r.clips, foot)
		for _, l := range r.errors.Landmarks() {
			perAxis := l.RMS / math.Sqrt2
			t.Logf("level %d: %v true %.2f %%, stated %.2f %% per axis, held %.1f %%", level, l.Landmark, 100*perAxis, 100*l.Stated/math.Sqrt2, 100*l.Held)
			if limit, ok := limits[l.Landmark]; ok && perAxis > limit {
				t.Errorf("level %d: %v is off by %.2f %%", level, l.Landmark, 100*perAxis)
			}
		}
		if level == 2 && foot > 3 {
			t.Errorf("the foot is off by %.1f degrees", foot)
		}
	}
}

type levelScore struct {
	clips, clicks, frames int
	errors                score.Traces
}

// follow marks a clip as asked until both levels are reached, or 250 clicks.
func follow(t *testing.T, k *knownClip, seed uint64, reached *[3]levelScore) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 8))
	view, err := k.view(0, rng)
	if err != nil {
		t.Fatal(err)
	}
	in := k.input(view)
	truth := k.within(k.px)
	seen := func(at, x, y float64) bool {
		v := viewOr(view)
		xPx, yPx := v.ToPicture(at, x, y)
		return xPx >= 0 && yPx >= 0 && xPx <= k.widthPx && yPx <= k.high
	}
	visited := map[int]bool{}
	level := 0
	for len(in.Marks) < 250 && level < 2 {
		tr, err := fillFrames(in)
		if err != nil {
			tr = traced{view: viewOr(view)}
		}
		marks, err := toPlane(in.Marks, tr.view)
		if err != nil {
			t.Fatal(err)
		}
		a := trace.Advise(in.Times, marks, tr.fit, trace.AdviseOptions{InView: seen})
		for ; level < a.Level; level++ {
			r := &reached[level+1]
			r.clips, r.clicks, r.frames = r.clips+1, r.clicks+len(in.Marks), r.frames+len(visited)
			m := Measured{View: tr.view, motion: tr.motion}
			r.errors.Add(truth, m.pictureMotion(), score.BodyLength(truth))
		}
		for _, l := range a.Ask.Landmarks {
			p := truth.Paths[l]
			in.Marks = append(in.Marks, body.Mark{
				Frame: in.Frames[a.Ask.Frame], Time: in.Times[a.Ask.Frame], Landmark: l,
				X: p.X[a.Ask.Frame] + handPx*rng.NormFloat64(), Y: p.Y[a.Ask.Frame] + handPx*rng.NormFloat64(),
			})
		}
		visited[a.Ask.Frame] = true
	}
	t.Logf("%s: level %d with %d clicks on %d frames", k.name, level, len(in.Marks), len(visited))
}
