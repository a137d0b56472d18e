package poolside

import (
	"context"
	"encoding/json"
	"fmt"

	"underkick/internal/camera"
	"underkick/internal/table"
)

// steady follows the camera through the run and lets the view go with it. The view
// is that of one picture: the plane's frame, or the first of the run. It returns
// what is to be told about it.
func (in *chainInput) steady(ctx context.Context, req FileRequest, t *table.Table) (warnings []string, err error) {
	index, factor, err := timedIndex(ctx, req.Film, req.Clip, req.TrueFPS)
	if err != nil {
		return nil, err
	}
	if len(in.Frames) == 0 {
		return nil, inputf("there is nothing to steady: no frame is marked")
	}
	want := steadyRequest{
		engine: req.Film, path: req.Clip, index: index, factor: factor, progress: req.Progress,
		first: in.Frames[0], last: in.Frames[len(in.Frames)-1], base: in.Frames[0],
	}
	if err := want.onePicture(req, t); err != nil {
		return nil, err
	}
	if want.base < 0 || want.base >= len(index.Frames) {
		return nil, inputf("the plane names frame %d, which %s does not have", want.base, index.Info.Name)
	}
	want.first, want.last = min(want.first, want.base), max(want.last, want.base)
	s, err := steadyView(ctx, want)
	if err != nil {
		return nil, err
	}
	in.View = &s.View
	return s.notes(), nil
}

// onePicture sets the view of a single picture and the frame it holds for.
func (want *steadyRequest) onePicture(req FileRequest, t *table.Table) error {
	if scale := max(req.MetresPerPx, 0); scale > 0 || req.Plane == "" && t.MetresPerPx > 0 {
		if scale == 0 {
			scale = t.MetresPerPx
		}
		want.view = camera.FromScale(scale)
		return nil
	}
	text := t.Plane
	if req.Plane != "" {
		read, err := readSmall(req.Plane)
		if err != nil {
			return err
		}
		text = json.RawMessage(read)
	}
	if text == nil {
		return inputf("a steadied clip needs a scale that holds for one picture: give --plane or --metres-per-px")
	}
	entries, err := camera.ParsePlane(text)
	if err != nil {
		return inputf("read the plane: %w", err)
	}
	return want.of(entries[0])
}

// of takes view, points and frame of a plane file's entry.
func (want *steadyRequest) of(e camera.PlaneEntry) (err error) {
	if e.Frame != nil {
		want.base = *e.Frame
	}
	if want.view, err = e.View(); err != nil {
		return inputf("read the plane: %w", err)
	}
	want.plane = e.PointsPx
	return nil
}

// stillPx is the way of the picture's middle below which a camera stood still.
const stillPx = 2.0

// notes tells how the camera moved and what is left of it.
func (s *Steadied) notes() []string {
	if s.TravelPx < stillPx && s.TravelPx < 3*s.DriftPx {
		return []string{fmt.Sprintf("The camera stood still within %.1f px; steadying changes nothing.", max(s.TravelPx, 0.1))}
	}
	out := []string{fmt.Sprintf("The camera moved by up to %.0f px and was steadied; about %.1f px are left and are in the bands.", s.TravelPx, s.DriftPx)}
	switch {
	case s.PlaneSeen == 0:
		out = append(out, "No points of the swimmer's plane could be followed, only the background. If the camera itself moved and did not just turn, lengths are off by a part of that. A measuring rod in the plane, named by --plane, mends this.")
	case s.PlaneSeen < 0.8:
		out = append(out, fmt.Sprintf("The points of the swimmer's plane were followed in %.0f %% of the pictures; in the others the background stood in for them.", 100*s.PlaneSeen))
	}
	if s.Lost > 0 {
		out = append(out, fmt.Sprintf("In %d pictures too little that stands still was seen; there the camera is taken to have paused.", s.Lost))
	}
	return out
}
