package poolside

import (
	"context"
	"fmt"
	"math"

	"underkick/internal/film"
	"underkick/internal/raster"
	"underkick/internal/record"
	"underkick/internal/sight"
)

// SeenRuns is what film alone shows of the runs in a clip.
type SeenRuns struct {
	sight.Report
	Whole bool // the whole clip was looked at
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
	out := &SeenRuns{Report: w.Report(), Whole: from >= total && seen < mostSeen}
	for i := range out.Runs {
		out.Runs[i].LengthPx *= float64(index.Info.Width) / float64(min(sightWidth, index.Info.Width))
	}
	return out, nil
}

// runMargin is how much before and after what was seen a run is proposed, s of true
// time: the finder wants the whole body well inside the picture, a hand can mark nearer
// to its edge.
const runMargin = 0.2

// proposeRun proposes the clip's first run, the one with the most kicks; the zero Run
// where none is seen. It is only made where looking is quick.
func (a *App) proposeRun(ctx context.Context, e *film.Engine, clip record.Clip, index *film.Index, progress func(done, total int)) (record.Run, error) {
	var none record.Run
	if e.Slow() || len(index.Frames) > index.Longest(0) {
		return none, nil
	}
	seen, err := FindRuns(ctx, e, a.store.ClipPath(clip), clip.TrueFPS, progress)
	if err != nil || len(seen.Runs) == 0 {
		return none, err
	}
	best := seen.Runs[0]
	for _, r := range seen.Runs {
		if r.Kicks > best.Kicks {
			best = r
		}
	}
	swimmer, err := a.store.Swimmer(ctx, clip.SwimmerID)
	if err != nil {
		return none, err
	}
	factor, _ := index.Info.SlowMotion()
	margin := int(runMargin * index.Info.FPS / factor)
	return record.Run{
		FromFrame: max(best.First-margin, 0), ToFrame: min(best.Last+margin, len(index.Frames)-1), Position: swimmer.Habit,
	}, nil
}
