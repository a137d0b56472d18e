package poolside

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"time"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/marker"
	"underkick/internal/record"
	"underkick/internal/report"
)

// MarkersView is what is known of how exactly people mark.
type MarkersView struct {
	Name     string          `json:"name"` // who marks at this computer from now on
	Assumed  MarkerAssumed   `json:"assumed"`
	Markers  []MarkerRow     `json:"markers"`
	Sittings []RemarkSitting `json:"sittings"` // newest first
}

// MarkerAssumed is what holds of a person of whom nothing is known. Millimetres are
// those of a body of 1.80 m.
type MarkerAssumed struct {
	OffsetMM float64 `json:"offset_mm"`
	SpreadMM float64 `json:"spread_mm"`
}

// MarkerRow is one marker's error. Millimetres are standard errors per axis on a body
// of 1.80 m.
type MarkerRow struct {
	Name      string           `json:"name"`
	Frames    int              `json:"frames"` // marked again
	Marks     int              `json:"marks"`  // landmarks placed twice
	Later     int              `json:"later"`  // of these, in a later sitting
	OffsetMM  float64          `json:"offset_mm"`
	OffsetMin float64          `json:"offset_low_mm"` // 95 % band
	OffsetMax float64          `json:"offset_high_mm"`
	SpreadMM  float64          `json:"spread_mm"`
	SpreadMin float64          `json:"spread_low_mm"`
	SpreadMax float64          `json:"spread_high_mm"`
	Held      bool             `json:"held"` // the offset is held at its least
	Landmarks []MarkerLandmark `json:"landmarks"`
}

// MarkerLandmark is what was seen of one landmark.
type MarkerLandmark struct {
	Landmark string  `json:"landmark"`
	Marks    int     `json:"marks"`
	RMSMM    float64 `json:"rms_mm"` // differences per axis over sqrt 2
}

// RemarkSitting is one frame marked again, or one run of two marked together.
type RemarkSitting struct {
	By        string    `json:"by"`
	Swimmer   string    `json:"swimmer"`
	When      string    `json:"visit"`
	RunID     string    `json:"run"`
	RemarkID  string    `json:"remark,omitempty"` // "" for runs marked together
	At        time.Time `json:"at"`
	Frames    int       `json:"frames"`
	Marks     int       `json:"marks"`
	LargestMM float64   `json:"largest_mm"`
	Largest   string    `json:"largest"` // landmark
	Finished  bool      `json:"finished"`
	Discarded bool      `json:"discarded"`
}

const bodyMM = body.ArmsUp * 1800

// Markers returns everybody's marking error and what it rests on.
func (a *App) Markers(ctx context.Context) (MarkersView, error) {
	view := MarkersView{
		Assumed: MarkerAssumed{1000 * kick.DefaultOffset, tenth(marker.DefaultSpread * bodyMM)},
		Markers: []MarkerRow{}, Sittings: []RemarkSitting{},
	}
	var err error
	if view.Name, err = a.MarkerName(ctx); err != nil {
		return view, err
	}
	known, err := a.markers(ctx)
	if err != nil {
		return view, err
	}
	for _, name := range slices.Sorted(maps.Keys(known.estimates)) {
		view.Markers = append(view.Markers, markerRow(name, known.frames[name], known.estimates[name]))
	}
	for _, s := range slices.Backward(known.sittings) {
		row, err := a.sittingRow(ctx, s)
		if err != nil {
			return view, err
		}
		view.Sittings = append(view.Sittings, row)
	}
	slices.SortStableFunc(view.Sittings, func(x, y RemarkSitting) int { return y.At.Compare(x.At) })
	return view, nil
}

func markerRow(name string, frames int, e marker.Estimate) MarkerRow {
	mm := func(part float64) float64 { return tenth(part * bodyMM) }
	row := MarkerRow{
		Name: name, Frames: frames, Marks: e.Marks, Later: e.Later, Held: e.Held, Landmarks: []MarkerLandmark{},
		OffsetMM: mm(e.Offset), OffsetMin: mm(e.OffsetBand[0]), OffsetMax: mm(e.OffsetBand[1]),
		SpreadMM: mm(e.Spread), SpreadMin: mm(e.SpreadBand[0]), SpreadMax: mm(e.SpreadBand[1]),
	}
	for _, g := range landmarkGuide {
		if l := e.Landmarks[g.l]; l.Marks > 0 {
			row.Landmarks = append(row.Landmarks, MarkerLandmark{g.l.String(), l.Marks, mm(l.RMS)})
		}
	}
	return row
}

func tenth(v float64) float64 { return math.Round(10*v) / 10 }

func (a *App) sittingRow(ctx context.Context, s remarked) (RemarkSitting, error) {
	rc, err := a.store.RunWhole(ctx, s.RunID)
	if err != nil {
		return RemarkSitting{}, err
	}
	row := RemarkSitting{
		By: s.By, Swimmer: rc.Swimmer.Name, When: longDate(rc.Visit.On), RunID: s.RunID, RemarkID: s.RemarkID, At: s.At,
		Frames: s.Frames, Marks: len(s.Points), Finished: true,
	}
	for _, p := range s.Points {
		if mm := tenth(p.SizePart * bodyMM); mm > row.LargestMM {
			row.LargestMM, row.Largest = mm, p.Landmark
		}
	}
	if s.RemarkID == "" {
		return row, nil
	}
	r, err := a.store.Remark(ctx, s.RemarkID)
	row.Finished, row.Discarded = r.Finished(), r.Discarded()
	if !row.Finished { // nothing of the first marks before that
		row.LargestMM, row.Largest = 0, ""
	}
	return row, err
}

// WriteMarkers writes every landmark placed twice as CSV: who, where, both places in
// px, the body's length there, and the distance in body lengths.
func (a *App) WriteMarkers(ctx context.Context, w io.Writer) error {
	known, err := a.markers(ctx)
	if err != nil {
		return err
	}
	out := csv.NewWriter(w)
	rows := [][]string{{"marker", "at", "run", "frame", "landmark", "first_by", "first_x_px", "first_y_px", "second_x_px", "second_y_px", "body_px", "distance_bl", "later", "counts"}}
	for _, s := range known.sittings {
		if s.RemarkID != "" && !s.Counts {
			r, err := a.store.Remark(ctx, s.RemarkID)
			if err != nil {
				return err
			}
			if !r.Finished() {
				continue
			}
		}
		for _, p := range s.Points {
			rows = append(rows, []string{
				report.CSVText(s.By), record.FormatTime(s.At), s.RunID, strconv.Itoa(p.Frame), p.Landmark, report.CSVText(p.FirstBy),
				px(p.First[0]), px(p.First[1]), px(p.Second[0]), px(p.Second[1]), px(s.BodyPx),
				strconv.FormatFloat(p.SizePart, 'f', 5, 64), strconv.FormatBool(p.Later), strconv.FormatBool(s.Counts && (p.FirstBy == "" || p.FirstBy == s.By)),
			})
		}
	}
	if err := out.WriteAll(rows); err != nil {
		return fmt.Errorf("write the marks made twice: %w", err)
	}
	return nil
}

func px(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }
