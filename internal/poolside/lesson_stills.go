package poolside

import (
	"context"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"underkick/internal/drawing"
	"underkick/internal/record"
	"underkick/internal/report/paper"
)

// stills lays a row of stills for every run, or two where both halves of the kick are shown.
func (t *teacher) stills(ctx context.Context, b record.LessonBlock, runs []placed, out *paper.Block) error {
	for _, r := range runs {
		made, err := t.cutStills(ctx, r)
		if err != nil {
			return err
		}
		parts := []record.KickPart{b.Part}
		if b.Part == record.WholePart {
			parts = []record.KickPart{record.DownkickPart, record.UpkickPart}
		}
		for _, part := range parts {
			row, err := t.row(r, made.view, part)
			if err != nil {
				return err
			}
			if len(row.Stills) > 0 {
				out.Rows = append(out.Rows, row)
			}
		}
	}
	if n := len(out.Rows); n > 0 {
		out.Rows[n-1].Key = "Hatched: the part of foot and shank that faces back while it moves. Dashed: the body line. " + CaptionRule
	}
	return nil
}

// cutStills makes a run's stills; what keeps a run from having them is told to the author, and
// the run has none.
func (t *teacher) cutStills(ctx context.Context, r placed) (madeStills, error) {
	opt, err := t.app.lessonStills(ctx, t.lesson, r.id, r.Kick)
	if err != nil {
		return madeStills{}, err
	}
	made, err := t.app.stillsOf(ctx, r.id, opt)
	if problem, ok := problemOf(err); ok {
		t.warn(r.label + ": " + problem)
		return madeStills{}, nil
	}
	if slices.ContainsFunc(made.view.Stills, softened) {
		t.note(r, made.view.Notes)
	}
	return made, err
}

// note tells the author once what several runs may share.
func (t *teacher) note(r placed, notes []string) {
	for _, n := range notes {
		if !slices.Contains(t.noted[n], r.label) {
			t.noted[n] = append(t.noted[n], r.label)
		}
	}
}

// softened reports whether what is softened reaches into a still; those of the legs seldom show
// a head.
func softened(s StillView) bool {
	return slices.ContainsFunc(s.Soft, func(f Face) bool {
		dx := max(s.Crop.X-f.X, f.X-s.Crop.X-s.Crop.W, 0)
		dy := max(s.Crop.Y-f.Y, f.Y-s.Crop.Y-s.Crop.H, 0)
		return math.Hypot(dx, dy) < f.R
	})
}

// row lays the stills of one half of a run's kick.
func (t *teacher) row(r placed, view StillsView, part record.KickPart) (paper.Row, error) {
	row := paper.Row{Label: t.words(r)}
	if part == record.UpkickPart {
		row.Label += ", upkick"
	}
	for _, s := range view.Stills {
		if s.Upkick != (part == record.UpkickPart) {
			continue
		}
		svg, err := t.drawn(r, s, view.Kick)
		if err != nil {
			return row, err
		}
		caption, own := r.Captions[s.Moment]
		if !own {
			caption = strings.Join(s.Caption, "; ")
		}
		row.Stills = append(row.Stills, paper.Still{Picture: svg, Moment: s.Moment, Caption: t.own(caption)})
	}
	return row, nil
}

// drawn is a still with its drawing as an SVG; the picture itself holds only what is shown.
func (t *teacher) drawn(r placed, s StillView, number int) (template.HTML, error) {
	address, err := t.pictures(LessonPicture{LessonID: t.lesson.ID, RunID: r.id, Kick: number, Moment: s.Moment})
	return drawnStill(s, address, fmt.Sprintf("%s at %s of kick %d", r.name, s.Moment, number)), err
}

// drawnStill puts a still's drawing over its picture, which shows the crop alone.
func drawnStill(s StillView, address, title string) template.HTML {
	svg := drawing.SVG(s.Scene.Through(s.Crop, 0), drawing.Sheet{
		Picture: address, WidthPx: s.Crop.W, HeightPx: s.Crop.H, Class: "still film", Title: title,
	})
	return template.HTML(svg) //nolint:gosec // drawing escapes every text
}

// lineClasses tell the lines of a drawing apart.
var lineClasses = []string{"a", "b", "c", "d", "e", "f"}
