package poolside

import (
	"context"
	"math"
	"slices"

	"underkick/internal/drawing"
	"underkick/internal/film"
	"underkick/internal/kick"
	"underkick/internal/record"
	"underkick/internal/store"
)

// clipPlan is a clip worked out: which pictures are shown when, and how.
type clipPlan struct {
	app     *App
	engine  *film.Engine
	encoder film.Encoder
	spec    ClipSpec
	panels  []*clipPanel

	times         []float64 // of the clip's pictures, s from 0
	end           float64   // s
	width, height int       // of the clip, px
	named         bool      // real names are written in it
}

// clipPanel is one run in a clip.
type clipPanel struct {
	rc     store.Whole
	m      *Measured
	label  string // "" for none
	shown  []int  // picture of the run, by picture of the clip
	crops  []drawing.Crop
	width  int // px
	height int
	x, y   int // of its corner in the clip, px
}

// planClip checks a spec, fills in what is usual, and works the clip out. Everything that
// can be refused is refused here.
func (a *App) planClip(ctx context.Context, spec *ClipSpec) (*clipPlan, error) {
	if err := spec.check(); err != nil {
		return nil, err
	}
	p := &clipPlan{app: a}
	var err error
	if p.engine, err = a.engine(ctx); err != nil {
		return nil, err
	}
	if p.encoder, err = p.engine.Encoder(ctx); err != nil {
		return nil, err
	}
	for _, r := range spec.Runs {
		panel, err := a.clipPanel(ctx, r, spec.Audience)
		if err != nil {
			return nil, err
		}
		p.panels = append(p.panels, panel)
	}
	if len(p.panels) == 2 {
		err = p.lockPhase(spec)
	} else {
		err = p.takePart(spec)
	}
	if err != nil {
		return nil, err
	}
	p.spec = *spec
	p.layOut()
	p.name(ctx)
	return p, p.facesKnown()
}

// clipPanel reads and measures a run, once its swimmer may be shown to those it is for.
func (a *App) clipPanel(ctx context.Context, r ClipRun, who record.Audience) (*clipPanel, error) {
	rc, err := a.store.RunWhole(ctx, r.RunID)
	if err != nil {
		return nil, err
	}
	if err := a.mayBeFor(ctx, rc.Swimmer, who); err != nil {
		return nil, err
	}
	if slowMotionView(rc.Clip).Ask {
		return nil, inputf("Say how fast the clip was filmed before you make a clip of it: the file plays at one rate and names another.")
	}
	if _, err := pictureSize(rc.Clip); err != nil {
		return nil, err
	}
	m, _, err := a.measureKept(ctx, rc)
	if err != nil {
		return nil, err
	}
	return &clipPanel{rc: rc, m: m}, nil
}

// takePart takes the pictures of one run: kicks, frames, or all of it.
func (p *clipPlan) takePart(spec *ClipSpec) error {
	panel, r := p.panels[0], spec.Runs[0]
	from, to := 0, len(panel.m.motion.T)-1
	switch {
	case r.Kick > 0 || r.Kicks > 0:
		kicks, err := panel.kicks(r)
		if err != nil {
			return err
		}
		from, to = panel.between(kicks[0].Start, kicks[len(kicks)-1].End)
	case r.To > 0:
		first := panel.m.frames[0]
		if r.From < first || r.To > panel.m.frames[to] {
			return inputf("frames %d to %d are not in the run, which has %d to %d", r.From, r.To, first, panel.m.frames[to])
		}
		from, to = r.From-first, r.To-first
	}
	for i := from; i <= to; i++ {
		panel.shown = append(panel.shown, i)
	}
	return p.takeTimes(spec.Slow)
}

// takeTimes gives the clip the first panel's own times, slowed.
func (p *clipPlan) takeTimes(slow int) error {
	lead := p.panels[0]
	n := len(lead.shown)
	if n < 2 {
		return inputf("a clip needs at least two pictures; choose more kicks or frames")
	}
	if n > mostClipPics {
		return inputf("the clip would have %d pictures; at most %d are made at once. Choose fewer kicks", n, mostClipPics)
	}
	t := lead.m.motion.T
	for _, i := range lead.shown {
		p.times = append(p.times, (t[i]-t[lead.shown[0]])*float64(slow))
	}
	p.end = 2*p.times[n-1] - p.times[n-2]
	return nil
}

// between is the first picture at or after a time and the last at or before another,
// within half a picture.
func (p *clipPanel) between(start, end float64) (from, to int) {
	return drawing.Nearest(p.m.motion.T, start), drawing.Nearest(p.m.motion.T, end)
}

// kicks are the whole kicks of a run from the one asked for on that follow each other
// without a gap; all of them where the first was not named.
func (p *clipPanel) kicks(r ClipRun) ([]kick.Kick, error) {
	var list []kick.Kick
	for _, k := range p.m.Result.Kicks {
		if k.Number == 0 || k.Number < r.Kick {
			continue
		}
		if n := len(list); n > 0 && k.Start-list[n-1].End > 1e-6 {
			break
		}
		if r.Kicks == 0 || len(list) < r.Kicks {
			list = append(list, k)
		}
	}
	switch {
	case len(list) == 0, r.Kick > 0 && list[0].Number != r.Kick:
		return nil, inputf("the run of %s has no whole kick %d", longDate(p.rc.Visit.On), max(r.Kick, 1))
	case len(list) < r.Kicks:
		return nil, inputf("from kick %d on the run of %s has %d whole kicks, not %d", list[0].Number, longDate(p.rc.Visit.On), len(list), r.Kicks)
	}
	return list, nil
}

// lockPhase lines two runs up: the first keeps its pictures and times; of the second,
// each picture is the one nearest in its own time to the same phase of the kick.
func (p *clipPlan) lockPhase(spec *ClipSpec) error {
	lead, other := p.panels[0], p.panels[1]
	own, err := lead.kicks(spec.Runs[0])
	if err != nil {
		return err
	}
	theirs, err := other.kicks(spec.Runs[1])
	if err != nil {
		return err
	}
	n := min(len(own), len(theirs))
	own, theirs = own[:n], theirs[:n]
	from, to := lead.between(own[0].Start, own[n-1].End)
	for i := from; i <= to; i++ {
		lead.shown = append(lead.shown, i)
		other.shown = append(other.shown, drawing.Nearest(other.m.motion.T, samePhase(own, theirs, lead.m.motion.T[i])))
	}
	return p.takeTimes(spec.Slow)
}

// samePhase is the time at which the other kicks are where the own ones are at t.
func samePhase(own, theirs []kick.Kick, t float64) float64 {
	k := 0
	for k+1 < len(own) && t >= own[k+1].Start {
		k++
	}
	return theirs[k].At(own[k].Phase(t))
}

// layOut gives every panel its place and every picture its crop.
func (p *clipPlan) layOut() {
	width := min(p.spec.WidthPx, p.encoder.MaxWidth)
	if len(p.panels) == 2 && !p.spec.Above {
		width = even(width / 2)
	}
	for k, panel := range p.panels {
		if p.spec.Follow {
			panel.follow(p.spec)
		} else {
			panel.whole()
			width = min(width, panel.rc.Clip.Facts.WidthPx)
		}
		c := panel.crops[0]
		panel.width, panel.height = even(width), even(int(math.Round(float64(width)*c.H/c.W)))
		if k > 0 && p.spec.Above {
			panel.y = p.panels[0].height
		} else if k > 0 {
			panel.x = p.panels[0].width
		}
		p.width, p.height = max(p.width, panel.x+panel.width), max(p.height, panel.y+panel.height)
	}
}

func even(n int) int { return max(2, n/2*2) }

// whole shows the whole picture as it was filmed.
func (p *clipPanel) whole() {
	c := drawing.Crop{W: float64(p.rc.Clip.Facts.WidthPx), H: float64(p.rc.Clip.Facts.HeightPx)}
	p.crops = slices.Repeat([]drawing.Crop{c}, len(p.shown))
}

// follow lets the picture go with the swimmer, equally large for every swimmer; of two,
// both swim to the right.
func (p *clipPanel) follow(spec ClipSpec) {
	w := p.m.window(p.rc, spec.Legs)
	for _, i := range p.shown {
		c := w.crop(i)
		if len(spec.Runs) == 1 {
			c.Mirror = false
		}
		p.crops = append(p.crops, c)
	}
}
