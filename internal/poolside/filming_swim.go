package poolside

import (
	"context"
	"math"
	"math/rand/v2"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/camera/filming"
	"underkick/internal/kick"
	"underkick/internal/kick/kicktest"
	"underkick/internal/series"
)

// The card's swimmer: the reference kick with less swing, so that the toes travel 0.30
// standing heights (published 0.29, reference notes check 4), and kicks that differ.
const (
	cardSwing   = 0.83
	cardScatter = 0.04 // of the swings from kick to kick; published 1 to 12 % over variables (Connaboy et al. 2010)
	cardSeed    = 7
	cardDraws   = 60
	// fitPrice is what filling the frames between marks costs over marking all of them,
	// found by measuring the same swims through marks and fit (TestExpectedBandsHold).
	fitPrice    = 1.0
	fewestMarks = 3            // frames per kick, below which the fit's own errors are larger than said here
	shownPx     = PictureWidth // a click is made on a picture at most this wide
)

// filmed is a swim as one set-up would film it.
type filmed struct {
	in      FilmingInput
	setup   filming.Setup
	view    filming.View
	swimmer kicktest.Swimmer
	way     float64 // in kicks, of one run
	kicks   int     // whole ones, likely
	shutter float64 // s
}

// film sets up the swim of a completed input; runs > 1 films it as often.
func (in FilmingInput) film(runs int) filmed {
	f := filmed{in: in, setup: in.setup(), swimmer: kicktest.Reference(), shutter: in.shutter()}
	f.view = f.setup.View()
	s := &f.swimmer
	s.Subject = body.Subject{Height: in.HeightM, Sex: body.Male}
	s.Subject, _ = s.Subject.Complete() // mass and sex count as known
	s.Frequency, s.Speed, s.Ripple = in.TempoHz, in.SpeedMPS, in.SpeedMPS*0.1
	f.way = f.view.Way(s.Subject.ArmsUpLength()) / (in.SpeedMPS / in.TempoHz)
	if f.kicks = max(int(math.Round(f.way-1)), 0); runs > 1 {
		f.way, f.kicks = f.way*float64(runs), f.kicks*runs
	}
	f.swimmer.Size = scatteredSizes(f.kicks)
	return f
}

// scatteredSizes returns sizes of kicks that scatter about cardSwing by cardScatter,
// the same standard deviation whatever their number.
func scatteredSizes(kicks int) func(kick int) float64 {
	rng := rand.New(rand.NewPCG(cardSeed, 1))
	z := make([]float64, max(kicks, 2))
	mean, square := 0.0, 0.0
	for i := range z {
		z[i] = rng.NormFloat64()
		mean += z[i] / float64(len(z))
	}
	for _, v := range z {
		square += (v - mean) * (v - mean) / float64(len(z)-1)
	}
	for i := range z {
		z[i] = cardSwing * (1 + cardScatter*(z[i]-mean)/math.Sqrt(square))
	}
	return func(k int) float64 { return z[((k%len(z))+len(z))%len(z)] }
}

// times of the pictures: the whole body is in view, the whole kicks in the middle.
func (f filmed) times() []float64 {
	spare := (f.way - float64(f.kicks)) / 2
	return kicktest.Times(-spare/f.in.TempoHz, f.way/f.in.TempoHz, f.in.FPS)
}

// toeSpeed returns the greatest speed of the toe over the pool, m/s.
func (f filmed) toeSpeed() float64 {
	m := f.swimmer.Fitted(kicktest.Times(0, 1/f.in.TempoHz, 200*f.in.TempoHz))
	fastest := 0.0
	toe := m.Paths[body.Toe]
	for i := range m.T {
		fastest = max(fastest, math.Hypot(toe.VX[i], toe.VY[i]))
	}
	return fastest
}

func (f filmed) footLength() float64 { return f.swimmer.Subject.Lengths()[body.Feet] }

// clickM is the standard error of a click, m: clickPx on the picture as it is shown.
func (f filmed) clickM() float64 {
	return clickPx * max(float64(f.in.WidthPx)/shownPx, 1) / f.view.PxPerM
}

// markedMotion is the swim with the standard errors of its traces: the frames marked
// of n pictures say as much as all of them, each sqrt(n / marked) less
// exact. A mark errs by a click and by where in its smear it was put: a smear of
// length b is uniform, b/sqrt(12) along it, b/sqrt(24) per axis on average.
func (f filmed) markedMotion(runs int) body.Motion {
	m := f.swimmer.Fitted(f.times())
	share := fitPrice * math.Sqrt(float64(len(m.T))/float64(min(f.marked(runs), len(m.T))))
	click := f.clickM()
	for _, p := range m.Paths {
		p.SD = make([]float64, len(m.T))
		for i := range p.SD {
			p.SD[i] = share * math.Hypot(click, math.Hypot(p.VX[i], p.VY[i])*f.shutter/math.Sqrt(24))
		}
	}
	return m
}

// drawn returns the motion with one draw of its errors, which are as smooth as a fit's.
func (f filmed) drawn(m body.Motion, rng *rand.Rand) body.Motion {
	cutoff := min(max(smoothest, smoothTempos*f.in.TempoHz), f.in.FPS/4)
	out := body.Motion{T: m.T}
	for l, p := range m.Paths {
		x, vx := f.astray(p.SD, cutoff, rng)
		y, vy := f.astray(p.SD, cutoff, rng)
		for i := range m.T {
			x[i], y[i], vx[i], vy[i] = x[i]+p.X[i], y[i]+p.Y[i], vx[i]+p.VX[i], vy[i]+p.VY[i]
		}
		out.Paths[l] = &body.Path{X: x, Y: y, VX: vx, VY: vy}
	}
	return out
}

// astray draws white noise of the given standard errors, low-passed, and its slope.
func (f filmed) astray(sd []float64, cutoff float64, rng *rand.Rand) (e, slope []float64) {
	e = make([]float64, len(sd))
	for i := range e {
		e[i] = sd[i] * rng.NormFloat64()
	}
	e = series.LowPass(e, f.in.FPS, cutoff)
	return e, series.Derivative(e, 1/f.in.FPS)
}

// Smoothness of what a fit leaves in error, as that of filtered traces (the low-pass of
// package kick: 8 Hz or 3.6 tempos).
const (
	smoothest    = 8.0 // Hz
	smoothTempos = 3.6
)

// marked is how many frames will be marked: as given per run, else four a kick.
func (f filmed) marked(runs int) int {
	if f.in.Marked > 0 {
		return f.in.Marked * runs
	}
	return max(usualPerKick*f.kicks, leastMarked)
}

// noise is what the scale will rest on.
func (f filmed) noise() kick.Noise {
	click := math.Sqrt2 * camera.ClickPx / f.view.PxPerM // over a length of 1 m
	switch f.in.Scale {
	case "rectangle":
		return kick.Noise{ScaleRel: math.Hypot(click/2, f.setup.ScaleError(f.in.DistanceSD)), Roll: camera.RectangleRoll}
	case "height":
		return kick.Noise{ScaleRel: camera.BodyHeightScaleRel, Roll: camera.DefaultRoll}
	}
	return kick.Noise{ScaleRel: math.Hypot(click, f.setup.ScaleError(f.in.DistanceSD)), Roll: camera.DefaultRoll}
}

func (f filmed) clip() kick.Clip {
	return kick.Clip{
		FrameRate: f.in.FPS, ToeBlur: filming.Blur(f.toeSpeed(), f.shutter, f.footLength()),
		Pitch: f.setup.Turn(f.in.CameraDepthM, f.in.SwimmerDepthM), ScaleFromHeight: f.in.Scale == "height",
	}
}

// measure measures the swim with the errors that filming and marking put in.
func (f filmed) measure(ctx context.Context, runs int) (*kick.Result, error) {
	m, noise := f.markedMotion(runs), f.noise()
	noise.Draw = func(rng *rand.Rand) body.Motion { return f.drawn(m, rng) }
	return kick.MeasureRun(ctx, m, f.swimmer.Subject, kick.Options{Noise: noise, Clip: f.clip(), Seed: cardSeed, Draws: cardDraws})
}

// seen measures the swim without any error, once as it is and once as the picture
// bends it when one scale, that of the middle, is taken everywhere.
func (f filmed) seen(ctx context.Context) (exact, bent *kick.Result, err error) {
	m := f.swimmer.Motion(f.times())
	opt := kick.Options{Draws: -1, Clip: f.clip()}
	if exact, err = kick.MeasureRun(ctx, m, f.swimmer.Subject, opt); err != nil {
		return nil, nil, err
	}
	bent, err = kick.MeasureRun(ctx, f.bend(m), f.swimmer.Subject, opt)
	return exact, bent, err
}

// bend puts a motion where the flat port or window shows it. The way is the middle of
// the picture's; heights count from its middle line.
func (f filmed) bend(m body.Motion) body.Motion {
	shift := 0.0
	for i := range m.T { // the middle of the body goes from side to side of the picture
		shift += (m.Paths[body.Fingertip].X[i] + m.Paths[body.Toe].X[i]) / 2 / float64(len(m.T))
	}
	out := body.Motion{T: m.T}
	for l, p := range m.Paths {
		q := &body.Path{X: make([]float64, len(m.T)), Y: make([]float64, len(m.T))}
		for i := range m.T {
			x, y := p.X[i]-shift, p.Y[i]
			r := math.Hypot(x, y)
			grow := 1.0
			if r > 0 {
				grow = f.setup.Offset(r) / (r * f.view.PxPerM)
			}
			q.X[i], q.Y[i] = x*grow, y*grow
		}
		out.Paths[l] = q
	}
	return out
}
