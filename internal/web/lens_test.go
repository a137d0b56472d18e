package web

import (
	"context"
	"fmt"
	"net/url"
	"testing"

	"underkick/internal/camera"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

func init() { scenarios = append(scenarios, lensScenarios...) }

// TryLens fits the lines to the fixture's picture.
func (f *fixture) TryLens(_ context.Context, id string, lines []camera.Line) (poolside.LensView, error) {
	if id != f.run.ID {
		return poolside.LensView{}, poolside.ErrNotFound
	}
	fit, err := camera.FitLens(lines, 1280, 720)
	if err != nil {
		return poolside.LensView{Problem: err.Error()}, nil //nolint:nilerr // said on the page
	}
	return poolside.LensView{Known: true, Words: fit.Words(), Lines: lines}, nil
}

// SetLens keeps the fixture's lens or takes it away.
func (f *fixture) SetLens(ctx context.Context, id string, lines []camera.Line) error {
	v, err := f.TryLens(ctx, id, lines)
	switch {
	case err != nil:
		return err
	case len(lines) > 0 && v.Problem != "":
		return fmt.Errorf("%w: %s", poolside.ErrInput, v.Problem)
	case len(lines) == 0:
		v = poolside.LensView{}
	}
	f.lens = v
	return nil
}

// bulging are two straight lines through a lens that bends outwards.
const bulging = `[[[20,60],[320,44],[640,38],[960,44],[1260,60]],[[20,660],[320,676],[640,682],[960,676],[1260,660]]]`

var lensScenarios = []scenario{
	{name: "no lens", path: "/run/r1/mark", status: 200, must: []string{"A lens that bends", `data-lines="[]"`, "Keep the lens"}, mustNot: []string{"Take the lens away"}},
	{name: "a lens is kept", path: "/run/r1/mark", prepared: func(f *fixture) {
		f.lens = poolside.LensView{Known: true, Words: "The lens <bends>.", Lines: []camera.Line{{{1, 2}, {3, 4}}}}
	}, status: 200, must: []string{"The lens &lt;bends&gt;.", `data-lines="[[[1,2],[3,4]]]"`, "Take the lens away"}},
	{name: "what lens lines give", path: "/run/r1/lens/fit.json?lines_px=" + bulging, status: 200, must: []string{`"known":true`, "with the lens taken out 0."}},
	{name: "lines that give no lens", path: "/run/r1/lens/fit.json?lines_px=[[[20,60],[1260,60]]]", status: 200, must: []string{`"known":false`, "mark at least 5"}},
	{name: "lines that are none", path: "/run/r1/lens/fit.json?lines_px=bent", status: 400},
	{name: "lens of no run", path: "/run/zz/lens/fit.json?lines_px=[]", status: 404},
	{name: "lens kept", method: "POST", path: "/run/r1/lens", form: url.Values{"lines_px": {bulging}}, status: 303, location: "/run/r1/mark#lens", afterwards: func(t *testing.T, f *fixture) {
		if !f.lens.Known || len(f.lens.Lines) != 2 {
			t.Errorf("kept %+v", f.lens)
		}
	}},
	{name: "lens refused", method: "POST", path: "/run/r1/lens", form: url.Values{"lines_px": {"[[[20,60],[1260,60]]]"}}, status: 422, must: []string{"mark at least 5"}},
	{name: "lens taken away", method: "POST", path: "/run/r1/lens", form: url.Values{}, prepared: func(f *fixture) { f.lens.Known = true }, status: 303, location: "/run/r1/mark#lens", afterwards: func(t *testing.T, f *fixture) {
		if f.lens.Known {
			t.Error("it is still there")
		}
	}},
	{name: "a rectangle keeps the lens", method: "POST", path: "/run/r1/scale", form: url.Values{"kind": {"rectangle"}, "width_m": {"2"}, "height_m": {"1"}, "points_px": {"[[100,100],[500,110],[490,300],[110,310]]"}}, prepared: func(f *fixture) {
		f.run.Scale = record.Scale{Kind: record.Plane, Plane: []byte(`{"points_px":[[1,1],[500,1]],"points_m":[[0,0],[2,0]],"lens":{"picture_px":[1280,720],"k1":0.1}}`)}
	}, status: 303, location: "/run/r1/mark", afterwards: func(t *testing.T, f *fixture) {
		if l := f.run.Scale.Lens; l == nil || *l.K1 != 0.1 {
			t.Errorf("kept %+v", f.run.Scale)
		}
	}},
}
