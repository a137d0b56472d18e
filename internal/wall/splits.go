package wall

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"underkick/internal/spread"
)

// ErrSplits is wrapped by the errors of FromSplits.
var ErrSplits = errors.New("no kicking speed can be had from the split times")

// Split is the head at a known place at a time, under water and kicking.
type Split struct {
	X float64 `json:"x_m"`
	T float64 `json:"t_s"`
}

// SplitOptions refine FromSplits; the zero value is the default.
type SplitOptions struct {
	TimeSD float64 // standard error of one time, s; 0 = 0.1, a watch in the hand
	Kicks  int     // between the first and the last split, 0 = not counted
}

// FromSplits returns the steady kicking speed, and the tempo where the kicks were counted,
// from two places that the kicking head passed (the first and the last of splits). The speed that
// the push-off or dive still carries is taken out: the steady speed is the one with which the
// closed form of Kicking, begun with the question's entry and the first kick at from, needs
// that long. The standard deviations come from draws of the times and the inputs.
//
// Errors wrap ErrSplits, but for ctx.Err().
func FromSplits(ctx context.Context, q Question, from float64, splits []Split, opt SplitOptions) (speed, rate Given, err error) {
	if opt.TimeSD == 0 {
		opt.TimeSD = watchSD
	}
	if len(splits) < 2 {
		return speed, rate, fmt.Errorf("%w: it takes two", ErrSplits)
	}
	a, b := splits[0], splits[len(splits)-1]
	if !(b.X-a.X >= 1) || !(b.T > a.T) {
		return speed, rate, fmt.Errorf("%w: the second place must lie a metre or more beyond the first, and be passed later", ErrSplits)
	}
	q.Swimmer.Kick = Given{Value: (b.X - a.X) / (b.T - a.T)}
	in := completed(q)
	if in.Draws <= 0 {
		in.Draws = defaultDraws
	}
	from = math.Max(from, in.Entry.At.Value)
	if a.X < from {
		return speed, rate, fmt.Errorf("%w: the first place lies before the first kick", ErrSplits)
	}
	value := in.central().solved(from, a.X, b.X, b.T-a.T)
	draws, err := spread.Draws(ctx, in.Draws, in.Seed, func(_ int, rng *rand.Rand) []float64 {
		s := in.draw(rng)
		took := b.T - a.T + math.Sqrt2*opt.TimeSD*rng.NormFloat64()
		return []float64{s.solved(math.Max(from, s.x0), a.X, b.X, took)}
	})
	if err != nil {
		return speed, rate, err
	}
	if math.IsNaN(value) {
		return speed, rate, fmt.Errorf("%w: no kicking speed from 0.3 to 4 m/s takes %.2f s for %.1f m here; check the places, the times and the first kick", ErrSplits, b.T-a.T, b.X-a.X)
	}
	speed = Given{Value: value, SD: deviation(draws), From: "split times"}
	if opt.Kicks > 0 {
		f := float64(opt.Kicks) / (b.T - a.T)
		rate = Given{Value: f, SD: f * math.Hypot(math.Sqrt2*opt.TimeSD/(b.T-a.T), 0.3/float64(opt.Kicks)), From: "split times"}
	}
	return speed, rate, nil
}

// solved returns the steady speed with which the way from a to b takes so long, NaN where
// there is none.
func (s stretch) solved(from, a, b, took float64) float64 {
	low, high := 0.3, 4.0
	miss := func(speed float64) float64 {
		s.kick.Speed = speed
		return s.kickedTo(b, from) - s.kickedTo(a, from) - took
	}
	if !(miss(low) > 0 && miss(high) < 0) {
		return math.NaN()
	}
	for range 50 {
		if mid := (low + high) / 2; miss(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// deviation returns the standard deviation of the first numbers, half the central 95 % over
// 1.96, so that draws without a solution or far out do not decide.
func deviation(draws [][]float64) float64 {
	values := make([]float64, len(draws))
	for i, d := range draws {
		values[i] = d[0]
	}
	return (spread.Quantile(values, 0.975) - spread.Quantile(values, 0.025)) / (2 * 1.96)
}
