package spread

import (
	"context"
	"fmt"
	"math/rand/v2"
	"runtime"
	"sync"
	"sync/atomic"
)

// Draws calls fn n times, on all cores, and returns the results in order of the
// index i. Each call gets its own generator, which depends on seed and i only:
// the same seed gives the same results on any machine and any number of cores.
// fn must be safe to call at the same time from several goroutines.
//
// When ctx ends, no further call starts and the error wraps ctx.Err(). n of 0 or
// less gives an empty slice.
func Draws(ctx context.Context, n int, seed uint64, fn func(i int, rng *rand.Rand) []float64) ([][]float64, error) {
	if n <= 0 {
		return [][]float64{}, ctx.Err()
	}
	out := make([][]float64, n)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				out[i] = fn(i, rand.New(rand.NewPCG(seed, scatter(uint64(i)))))
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("resampling stopped: %w", err)
	}
	return out, nil
}

// scatter spreads neighbouring indexes over all 64 bits, so that their
// generators start far apart (the finaliser of SplitMix64; Steele, Lea and Flood,
// OOPSLA 2014).
func scatter(i uint64) uint64 {
	i += 0x9e3779b97f4a7c15
	i = (i ^ i>>30) * 0xbf58476d1ce4e5b9
	i = (i ^ i>>27) * 0x94d049bb133111eb
	return i ^ i>>31
}
