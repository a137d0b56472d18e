package poolside

import (
	"context"
	"encoding/json"
	"fmt"
	"io"

	"underkick/internal/camera"
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
	switch s := rc.Run.Scale; {
	case s.Known() && s.Lens != nil:
		if out.Plane, err = planeText(s); err != nil {
			return err
		}
	case s.Kind == record.Plane:
		out.Plane = s.Plane
	case s.Kind == record.KnownLength:
		out.MetresPerPx = knownScale(s)
	}
	return table.WriteMarks(w, &out)
}

// planeText writes a scale with its lens as the text of a plane file. A known length becomes
// two points in axes that are level in the picture.
func planeText(s record.Scale) (json.RawMessage, error) {
	if s.Kind == record.KnownLength {
		view, err := camera.FromLength(s.LengthM, s.PointsPx, s.Lens)
		if err != nil {
			return nil, err
		}
		e := camera.PlaneEntry{Frame: &s.Frame, PointsPx: s.PointsPx[:], PointsM: make([][2]float64, 2), Lens: s.Lens}
		for i, p := range s.PointsPx {
			e.PointsM[i][0], e.PointsM[i][1] = view.ToPool(0, p[0], p[1])
		}
		return json.Marshal(e)
	}
	entries, err := s.PlaneEntries()
	if err != nil {
		return nil, err
	}
	if len(entries) == 1 {
		return json.Marshal(entries[0])
	}
	return json.Marshal(entries)
}
