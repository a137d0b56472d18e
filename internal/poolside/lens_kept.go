package poolside

import (
	"context"
	"encoding/json"
	"fmt"

	"underkick/internal/camera"
	"underkick/internal/record"
	"underkick/internal/store"
)

// LensView is the lens of a run as its scale step shows it.
type LensView struct {
	Known   bool          `json:"known"`   // a lens is kept, or these lines give one
	Words   string        `json:"words"`   // how far the points lie beside straight lines before and after
	Problem string        `json:"problem"` // why these lines give none, and what to do
	Lines   []camera.Line `json:"-"`       // as kept; nil where only the terms are known
}

// LinesText is the kept lines as the page's script reads them.
func (v LensView) LinesText() (string, error) {
	lines := v.Lines
	if lines == nil {
		lines = []camera.Line{}
	}
	text, err := json.Marshal(lines)
	return string(text), err
}

// lensView tells what lens a run has: its own, else that of its plane's text.
func lensView(s record.Scale) LensView {
	lens := s.SeenThrough()
	if lens == nil {
		return LensView{}
	}
	v := lensFound(lens)
	v.Lines = lens.LinesPx
	return v
}

func lensFound(p *camera.PlaneLens) LensView {
	lens, words, err := p.Lens()
	switch {
	case err != nil:
		return LensView{Problem: err.Error()}
	case words == "":
		words = fmt.Sprintf("The lens was given by its terms, k1 = %.3g and k2 = %.3g.", lens.K1, lens.K2)
	}
	return LensView{Known: true, Words: words}
}

// lensOf is the lens that lines on a clip's picture give.
func lensOf(clip record.Clip, lines []camera.Line) *camera.PlaneLens {
	return &camera.PlaneLens{PicturePx: [2]float64{float64(clip.Facts.WidthPx), float64(clip.Facts.HeightPx)}, LinesPx: lines}
}

// TryLens says what lens the lines would give, and keeps nothing.
func (a *App) TryLens(ctx context.Context, runID string, lines []camera.Line) (LensView, error) {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return LensView{}, err
	}
	return lensFound(lensOf(rc.Clip, lines)), nil
}

// SetLens keeps the lens that lines give, for whatever scale the run has or gets; no lines
// take it away. Lines that give none are refused.
func (a *App) SetLens(ctx context.Context, runID string, lines []camera.Line) error {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return err
	}
	if len(lines) == 0 {
		return a.withoutLens(ctx, rc)
	}
	if !rc.Clip.Facts.Known() {
		return inputf("The film is still being read. Wait for it to finish.")
	}
	rc.Run.Scale.Lens = lensOf(rc.Clip, lines)
	if v := lensFound(rc.Run.Scale.Lens); v.Problem != "" {
		return inputf("%s", v.Problem)
	}
	return a.UpdateRun(ctx, rc.Run)
}

// withoutLens takes the lens away, that in the plane's text too.
func (a *App) withoutLens(ctx context.Context, rc store.Whole) error {
	s := &rc.Run.Scale
	s.Lens = nil
	if s.SeenThrough() != nil {
		entries, err := s.PlaneEntries()
		if err != nil {
			return inputf("the scale cannot be used: %w", err)
		}
		entries[0].Lens = nil
		if s.Plane, err = json.Marshal(entries); err != nil {
			return fmt.Errorf("keep the plane without its lens: %w", err)
		}
	}
	return a.UpdateRun(ctx, rc.Run)
}
