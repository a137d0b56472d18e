package poolside

import (
	"context"
	"maps"
	"slices"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/exported"
)

// standingMarks is the table of the marks that stand: what the history of mark_steps and
// mark_changes comes to, for those who do not want to replay it.
func (a *App) standingMarks(scope store.ExportScope) exportSource {
	t := exported.Table{
		Name: "marks", Words: "marks that stand: what mark_steps and mark_changes come to", Key: []string{"run", "frame", "landmark"},
		Links: []exported.Link{{Fields: []string{"run", "seq"}, Table: "mark_steps", Keys: []string{"run", "seq"}}},
		Fields: []exported.Field{
			{Name: "run", Type: "string", Words: "id of the run", Must: true},
			{Name: "frame", Type: "integer", Words: "frame, counted from 0 in the clip", Must: true},
			{Name: "landmark", Type: "string", Words: "body point", Must: true},
			{Name: "time_s", Type: "number", Unit: "s", Words: "the film's own time of the frame", Must: true},
			{Name: "x_px", Type: "number", Unit: "px", Words: "from the left edge of the picture, rightwards; the middle of the first pixel is 0.5", Must: true},
			{Name: "y_px", Type: "number", Unit: "px", Words: "from the top edge, downwards", Must: true},
			{Name: "sd_px", Type: "number", Unit: "px", Words: "standard error per axis; 0: as assumed for every mark", Must: true},
			{Name: "who", Type: "string", Words: "who placed it"},
			{Name: "seq", Type: "integer", Words: "step that placed it", Must: true},
		},
	}
	return exportSource{t, func(ctx context.Context, row func([]any) error) error {
		for _, id := range scope.Swimmers {
			visits, err := a.store.Filmed(ctx, id)
			if err != nil {
				return err
			}
			for _, run := range runsOf(visits) {
				steps, err := a.store.Steps(ctx, run)
				if err != nil {
					return err
				}
				for _, p := range record.Standing(steps) {
					m := p.Mark
					if err := row([]any{run, int64(m.Frame), m.Landmark.String(), m.Time, m.X, m.Y, m.SD, orEmpty(p.By), p.Seq}); err != nil {
						return err
					}
				}
			}
		}
		return nil
	}}
}

// orEmpty is nil for an empty text.
func orEmpty(text string) any {
	if text == "" {
		return nil
	}
	return text
}

// markersTable is the table of the markers' own errors. They rest on the frames that all
// swimmers' runs were marked again on, so they go only with whole squads.
func (a *App) markersTable(scope store.ExportScope) exportSource {
	bl := func(name, words string) exported.Field {
		return exported.Field{Name: name, Type: "number", Unit: "body lengths", Words: words}
	}
	t := exported.Table{
		Name: "markers", Words: "how exactly each marker marks, from all frames marked again in this data folder; only in the export of a whole squad", Key: []string{"name"},
		Fields: []exported.Field{
			{Name: "name", Type: "string", Words: "who marks", Must: true},
			{Name: "frames", Type: "integer", Words: "frames marked again", Must: true},
			{Name: "marks", Type: "integer", Words: "landmarks placed twice", Must: true},
			{Name: "later", Type: "integer", Words: "of these, in a later sitting", Must: true},
			bl("offset", "standard error per axis that all marks of a landmark share in one sitting with a clip"),
			bl("offset_low", "lower end of its 95 % band"), bl("offset_high", "upper end of its 95 % band"),
			{Name: "offset_held", Type: "boolean", Words: "the offset is held at its least, because too few were placed again later", Must: true},
			bl("spread", "standard error per axis of a single click"),
			bl("spread_low", "lower end of its 95 % band"), bl("spread_high", "upper end of its 95 % band"),
		},
	}
	return exportSource{t, func(ctx context.Context, row func([]any) error) error {
		if len(scope.Squads) == 0 {
			return nil
		}
		known, err := a.markers(ctx)
		if err != nil {
			return err
		}
		for _, name := range slices.Sorted(maps.Keys(known.estimates)) {
			e := known.estimates[name]
			err := row([]any{
				name, int64(known.frames[name]), int64(e.Marks), int64(e.Later),
				number(e.Offset), number(e.OffsetBand[0]), number(e.OffsetBand[1]), e.Held,
				number(e.Spread), number(e.SpreadBand[0]), number(e.SpreadBand[1]),
			})
			if err != nil {
				return err
			}
		}
		return nil
	}}
}
