package web

import (
	"context"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// ScaleGrid is one line, at the length given, so that a test sees what was asked.
func (f *fixture) ScaleGrid(_ context.Context, id string, frame int, s record.Scale) (poolside.GridView, error) {
	if id != f.run.ID || frame < 0 || frame >= fixtureFrames {
		return poolside.GridView{}, poolside.ErrNotFound
	}
	if err := s.Validate(); err != nil {
		return poolside.GridView{}, err
	}
	line := poolside.GridLineView{Metres: s.LengthM, Upright: true, Whole: true, Px: [][2]float64{{600, 0}, {600, 720}}}
	return poolside.GridView{Words: "By this scale the picture shows 3.9 m by 2.2 m.", Lines: []poolside.GridLineView{line}}, nil
}
