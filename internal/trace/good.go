package trace

import (
	"math"

	"underkick/internal/body"
)

// Limits of the two levels at which marking is good enough (design of the marking
// page): root mean square standard errors over the run, per axis, as shares of the
// body's length from finger tips to toes, and the foot's angle in radians. The design
// gives distances, which are larger by the square root of 2. Hip and knee are asked for
// up to level 1 only, so theirs are those of the end. The upper body hardly moves and
// only carries its share of the mass; its limit is judgement.
const (
	hipLimit   = 0.006
	kneeLimit  = 0.0085
	heelLimit  = 0.0085
	upperLimit = 0.0212
	sweepLimit = 0.015 / math.Sqrt2
	buildLimit = 0.01 / math.Sqrt2
	footLimit  = 3 * math.Pi / 180

	// amplitudeLimit is that of the toe's mean amplitude, as a share of it. The design's
	// 2 % hold the scale's error too.
	amplitudeLimit = 0.013
)

// Good tells for each group of measures how near its landmarks are to being known
// well enough: the limit of the standard error over the standard error, at most 1;
// 0 while a landmark that the group needs has no trace.
type Good struct {
	Speed  float64 // speed, tempo, kick length: hip within 0.6 % of the body's length, knee 0.85 %, shoulder and finger tip 2.1 %
	Sweep  float64 // ankle and toe within 1.06 %, the toe's amplitude within 1.3 % of itself
	Build  float64 // toe within 0.71 %
	Facing float64 // direction of the foot within 3 degrees
}

// Level returns 2 when every group is good enough, 1 when speed and sweep are, else 0.
func (g Good) Level() int {
	switch {
	case g.Speed < 1 || g.Sweep < 1:
		return 0
	case g.Build < 1 || g.Facing < 1:
		return 1
	}
	return 2
}

// Errors are the root mean square standard errors over the run of what the levels
// look at.
type Errors struct {
	Landmarks [body.NumLandmarks]float64 // per axis, as a share of the body's length; +Inf where there is no trace
	Foot      float64                    // of the foot's direction, rad; +Inf where there is no trace
	Sweep     float64                    // of the toe's amplitude, as a share of it; +Inf where no whole kick is traced
}

// Good returns how near the errors are to the limits.
func (e Errors) Good() Good {
	l := e.Landmarks
	near := func(limit float64, of ...float64) float64 {
		least := 1.0
		for _, v := range of {
			least = min(least, limit/v)
		}
		return least
	}
	hand := min(l[body.Fingertip], l[body.Wrist])
	return Good{
		Speed:  min(near(hipLimit, l[body.Hip]), near(kneeLimit, l[body.Knee]), near(upperLimit, l[body.Shoulder], hand)),
		Sweep:  min(near(sweepLimit, l[body.Ankle], l[body.Toe]), near(amplitudeLimit, e.Sweep)),
		Build:  near(buildLimit, l[body.Toe]),
		Facing: near(footLimit, e.Foot),
	}
}

// unknown returns errors before anything is traced.
func unknown() Errors {
	e := Errors{Foot: math.Inf(1), Sweep: math.Inf(1)}
	for l := range e.Landmarks {
		e.Landmarks[l] = math.Inf(1)
	}
	return e
}
