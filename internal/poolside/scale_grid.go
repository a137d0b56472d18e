package poolside

import (
	"context"
	"math"

	"underkick/internal/camera"
	"underkick/internal/record"
)

// GridView is the metre grid of a scale laid on one frame of a run.
type GridView struct {
	Words string         `json:"words"` // how much of the pool the picture shows by this scale, or why there is no grid
	Lines []GridLineView `json:"lines"`
}

// GridLineView is one line of the grid as the picture shows it.
type GridLineView struct {
	Metres  float64      `json:"metres"`  // from where the grid begins
	Upright bool         `json:"upright"` // a line across the lane's direction
	Whole   bool         `json:"whole"`   // at whole metres
	Px      [][2]float64 `json:"px"`
}

// ScaleGrid lays the metre grid of a scale on a frame of a run; the scale need not
// be kept. A known length's grid begins at its first end, a plane's at its own origin.
// A scale that cannot be used gives an error that wraps ErrInput or is record.Faults.
func (a *App) ScaleGrid(ctx context.Context, runID string, frame int, scale record.Scale) (GridView, error) {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return GridView{}, err
	}
	if err := scale.Validate(); err != nil {
		return GridView{}, err
	}
	rc.Run.Scale = scale
	in, err := a.chainInput(ctx, rc)
	if err != nil {
		return GridView{}, err
	}
	if in.View == nil {
		return GridView{Words: "No length is set, so there is no grid to lay on the picture.", Lines: []GridLineView{}}, nil
	}
	t, err := in.timeOf(frame)
	if err != nil {
		return GridView{}, inputf("lay the grid: %w", err)
	}
	var x0, y0 float64
	if scale.Kind == record.KnownLength {
		at, err := in.timeOf(scale.Frame)
		if err != nil {
			return GridView{}, inputf("lay the grid: %w", err)
		}
		x0, y0 = in.View.ToPool(at, scale.PointsPx[0][0], scale.PointsPx[0][1])
	}
	return gridView(in.View.GridOn(t, float64(rc.Clip.Facts.WidthPx), float64(rc.Clip.Facts.HeightPx), x0, y0)), nil
}

// gridView is the grid to a tenth of a pixel.
func gridView(g camera.Grid) GridView {
	out := GridView{Words: g.Words(), Lines: make([]GridLineView, len(g.Lines))}
	for i, l := range g.Lines {
		for j, p := range l.Px {
			l.Px[j] = [2]float64{math.Round(10*p[0]) / 10, math.Round(10*p[1]) / 10}
		}
		out.Lines[i] = GridLineView(l)
	}
	return out
}
