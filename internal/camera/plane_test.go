package camera

import (
	"errors"
	"strings"
	"testing"
)

const goodPlane = `{"points_px": [[100,500],[1100,500],[1100,100],[100,100]], "points_m": [[0,0],[5,0],[5,2],[0,2]]}`

func TestParsePlane(t *testing.T) {
	entries, err := ParsePlane([]byte("\xef\xbb\xbf \n" + goodPlane + "\n"))
	if err != nil || len(entries) != 1 || entries[0].Frame != nil || len(entries[0].PointsPx) != 4 {
		t.Fatalf("%v %v", entries, err)
	}
	v, err := FromPlane(entries, nil)
	if err != nil {
		t.Fatal(err)
	}
	if x, y := v.ToPool(0, 600, 300); !near(x, 2.5, 1e-9) || !near(y, 1, 1e-9) {
		t.Errorf("middle at (%g, %g)", x, y)
	}
}

func TestParsePlaneList(t *testing.T) {
	list := `[{"frame": 0, "points_px": [[0,0],[100,0]], "points_m": [[0,0],[1,0]]},
	          {"frame": 50, "points_px": [[0,0],[200,0]], "points_m": [[0,0],[1,0]]}]`
	entries, err := ParsePlane([]byte(list))
	if err != nil || len(entries) != 2 || *entries[1].Frame != 50 {
		t.Fatalf("%v %v", entries, err)
	}
	v, err := FromPlane(entries, func(frame int) (float64, error) { return float64(frame) / 50, nil })
	if err != nil {
		t.Fatal(err)
	}
	if s := v.MetresPerPx(1, 10, 10); !near(s, 0.005, 1e-9) {
		t.Errorf("scale at the second key %g", s)
	}
	lost := errors.New("no such picture")
	if _, err := FromPlane(entries, func(int) (float64, error) { return 0, lost }); !errors.Is(err, lost) {
		t.Errorf("a missing frame gives %v", err)
	}
}

func TestParsePlaneRefuses(t *testing.T) {
	for _, c := range []struct{ name, in, says string }{
		{"empty", " \n", "empty"},
		{"not json", "metres 5", "not JSON"},
		{"broken", `{"points_px": [[1,2]`, "should be"},
		{"broken list", `[{"points_px": [[1,2]`, "not valid JSON"},
		{"empty list", `[]`, "0 entries"},
		{"unknown field", `{"points_px": [[0,0],[9,0]], "points_m": [[0,0],[1,0]], "unit": "cm"}`, "unit"},
		{"missing", `{"points_px": [[0,0],[9,0]]}`, "both are needed"},
		{"three numbers", `{"points_px": [[0,0,1],[9,0]], "points_m": [[0,0],[1,0]]}`, "has 3 numbers"},
		{"one number", `{"points_px": [[0],[9,0]], "points_m": [[0,0],[1,0]]}`, "has 1 numbers"},
		{"text", `{"points_px": "a", "points_m": [[0,0],[1,0]]}`, "should be"},
		{"too large", `{"points_px": [[1e999,0],[9,0]], "points_m": [[0,0],[1,0]]}`, "should be"},
		{"three points", `{"points_px": [[0,0],[9,0],[9,9]], "points_m": [[0,0],[1,0],[1,1]]}`, "too few for a plane"},
		{"unequal", `{"points_px": [[0,0],[9,0],[9,9]], "points_m": [[0,0],[1,0]]}`, "one for each"},
		{"two objects", goodPlane + goodPlane, "one list"},
		{"frame before the film", `{"frame": -1, "points_px": [[0,0],[9,0]], "points_m": [[0,0],[1,0]]}`, "before the film"},
		{"list without frames", "[" + goodPlane + "," + goodPlane + "]", `no "frame"`},
		{"same frame twice", `[{"frame":1,"points_px":[[0,0],[9,0]],"points_m":[[0,0],[1,0]]},{"frame":1,"points_px":[[0,0],[9,0]],"points_m":[[0,0],[1,0]]}]`, "already entry 1"},
		{"mixed", `[{"frame":1,"points_px":[[0,0],[9,0]],"points_m":[[0,0],[1,0]]},` + strings.Replace(goodPlane, "{", `{"frame":2,`, 1) + "]", "where the first has 2"},
		{"second entry bad", "[" + strings.Replace(goodPlane, "{", `{"frame":2,`, 1) + `,{"frame":3}]`, "entry 2"},
	} {
		_, err := ParsePlane([]byte(c.in))
		if err == nil {
			t.Errorf("%s: accepted", c.name)
		} else if !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %q does not say %q", c.name, err, c.says)
		}
	}
}

// Whatever the bytes: no panic, and what is accepted makes a view that sends the
// first point where the file says, to the fit's own residual.
func FuzzParsePlane(f *testing.F) {
	f.Add([]byte(goodPlane))
	f.Add([]byte(`[{"frame":0,"points_px":[[0,0],[100,0]],"points_m":[[0,0],[1,0]]}]`))
	f.Add([]byte(`{"points_px":[[0,0],[1,1],[2,2],[3,3]],"points_m":[[0,0],[1,1],[2,2],[3,3]]}`))
	f.Add([]byte(`{"points_px":[[0,0],[1e7,0]],"points_m":[[0,0],[1e-6,0]]}`))
	f.Add([]byte(`[]`))
	f.Fuzz(func(t *testing.T, data []byte) {
		entries, err := ParsePlane(data)
		if err != nil {
			return
		}
		for _, e := range entries {
			v, err := e.View()
			if err != nil {
				t.Fatalf("parsed but no view: %v", err)
			}
			x, y := v.ToPool(0, e.PointsPx[0][0], e.PointsPx[0][1])
			px, py := v.ToPicture(0, x, y)
			if len(e.PointsPx) == 2 && !(near(px, e.PointsPx[0][0], 1) && near(py, e.PointsPx[0][1], 1)) {
				t.Fatalf("first point comes back at (%g, %g), not %v", px, py, e.PointsPx[0])
			}
		}
	})
}
