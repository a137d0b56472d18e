package poolside

import (
	"context"
	"fmt"
	"io"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/table"
)

// ImportMarks adds the marks of a file (ours, CSV, or COCO keypoints with an
// optional keypoint map) to a run, as one step that one undo takes back. Marks
// that stand on the same places are moved. It returns what to know about it.
func (a *App) ImportMarks(ctx context.Context, runID, by string, file, mapping io.Reader) (notes []string, err error) {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return nil, err
	}
	var opt table.Options
	if mapping != nil {
		if opt.Keypoints, err = table.ParseKeypointMap(mapping); err != nil {
			return nil, inputf("read the keypoint map: %w", err)
		}
	}
	read, err := table.Read(file, opt)
	if err != nil {
		return nil, inputf("read the marks: %w", err)
	}
	placed, err := a.placeMarks(ctx, rc, read)
	if err != nil {
		return nil, err
	}
	if read.Clip.SHA256 != "" && read.Clip.SHA256 != rc.Clip.Hash {
		placed.Warnings = append(placed.Warnings, fmt.Sprintf("The marks say they belong to another clip (%s). Check that they fit this one.", read.Clip.Name))
	}
	who := by
	if read.Who != "" {
		who = read.Who
	}
	_, err = a.store.AddStep(ctx, runID, record.Set(record.ImportMark, who, placed.Marks...))
	return placed.Warnings, err
}

// placeMarks puts a table onto the clip's frames and refuses what lies outside.
func (a *App) placeMarks(ctx context.Context, rc store.Whole, t *table.Table) (*table.Table, error) {
	engine, err := a.engine(ctx)
	if err != nil {
		return nil, err
	}
	index, err := engine.Index(ctx, a.store.ClipPath(rc.Clip), nil)
	if err != nil {
		return nil, err
	}
	placed, err := t.OnFilm(frameTimes(index))
	if err != nil {
		return nil, inputf("put the marks on %s: %w", rc.Clip.Name, err)
	}
	return placed, outsidePicture(placed, rc.Clip.Facts.WidthPx, rc.Clip.Facts.HeightPx)
}

// WriteMarks writes a run's marks as our marks file.
func (a *App) WriteMarks(ctx context.Context, runID string, w io.Writer) error {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return err
	}
	history, err := a.store.Marks(ctx, runID)
	if err != nil {
		return err
	}
	out := table.Table{
		Marks: history.Marks, HasFrame: true, Who: rc.Run.MarkedBy,
		Clip: table.Clip{Name: rc.Clip.Name, SHA256: rc.Clip.Hash},
		Run:  &table.Run{FirstFrame: rc.Run.FromFrame, LastFrame: rc.Run.ToFrame},
	}
	switch rc.Run.Scale.Kind {
	case record.Plane:
		out.Plane = rc.Run.Scale.Plane
	case record.KnownLength:
		out.MetresPerPx = knownScale(rc.Run.Scale)
	}
	return table.WriteMarks(w, &out)
}
