package poolside

import (
	"context"
	"fmt"
	"math"

	"underkick/internal/film"
	"underkick/internal/raster"
	"underkick/internal/sight"
)

// SeenRuns is what film alone shows of the runs in a clip.
type SeenRuns struct {
	sight.Report
	Whole bool // the whole clip was looked at

	margin int     // pictures that a proposal goes beyond what was seen
	scale  float64 // of the pictures looked at: their px per px of the clip
}

// Numbers of the looking.
const (
	sightWidth = 640  // px of the pictures looked at
	sightRate  = 50.0 // of them per second of true time, about
	mostSeen   = 3600 // pictures looked at
)

// FindRuns looks for swimmers who cross the picture. trueFPS is the rate at which a
// slow-motion clip was filmed, 0 = as the file says or plays.
func FindRuns(ctx context.Context, e *film.Engine, path string, trueFPS float64, progress func(done, total int)) (*SeenRuns, error) {
	index, err := IndexFile(ctx, e, path)
	if err != nil {
		return nil, err
	}
	factor, _ := index.Info.SlowMotion()
	if trueFPS > 0 {
		factor = index.Info.FPS / trueFPS
	}
	step := max(1, int(math.Round(index.Info.FPS/factor/sightRate)))
	var w sight.Watch
	seen, from, total := 0, 0, len(index.Frames)
	for from < total && seen < mostSeen {
		to := index.Longest(from)
		if to <= from {
			break
		}
		req := film.Request{From: from, To: to, Width: min(sightWidth, index.Info.Width)}
		_, err := e.Decode(ctx, path, req, func(p film.Picture) error {
			if p.N%step == 0 && seen < mostSeen {
				w.Add(p.N, p.Time*factor, raster.FromBytes(p.Width, p.Height, p.Data))
				seen++
			}
			if progress != nil {
				progress(p.N+1, total)
			}
			return nil
		})
		if err != nil {
			return nil, fmt.Errorf("look for the runs in %s: %w", index.Info.Name, err)
		}
		from = to
	}
	out := &SeenRuns{
		Report: w.Report(), Whole: from >= total && seen < mostSeen, margin: int(runMargin * index.Info.FPS / factor),
		scale: float64(min(sightWidth, index.Info.Width)) / float64(index.Info.Width),
	}
	for i := range out.Runs {
		out.Runs[i].LengthPx /= out.scale
	}
	return out, nil
}

// runMargin is how much before and after what was seen a run is proposed, s of true
// time: the finder wants the whole body well inside the picture, a hand can mark nearer
// to its edge.
const runMargin = 0.2
