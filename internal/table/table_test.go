package table

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"underkick/internal/body"
)

func mustCSV(t *testing.T, text string) *Table {
	t.Helper()
	got, err := ReadCSV(strings.NewReader(text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func TestReadTellsTheFormsApart(t *testing.T) {
	var marks bytes.Buffer
	if err := WriteMarks(&marks, demoTable()); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		text string
		want int
	}{
		"csv": {plainCSV, 3}, "marks": {marks.String(), 3}, "coco": {swimDoc().text(t), 12},
		"marks with mark": {"\xEF\xBB\xBF" + marks.String(), 3},
	} {
		got, err := Read(strings.NewReader(c.text), Options{})
		if err != nil || len(got.Marks) != c.want {
			t.Errorf("%s: %v marks, error %v; want %d", name, got, err, c.want)
		}
	}
	for text, want := range map[string]string{
		"": "it is empty", "[1]": "JSON object", `{"a":`: "ends too early", "swim": "no column",
	} {
		if _, err := Read(strings.NewReader(text), Options{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: error %v does not say %q", text, err, want)
		}
	}
}

func TestAtRate(t *testing.T) {
	byFrame := mustCSV(t, "frame,landmark,x_px,y_px\n30,hip,1,2\n45,hip,1,2\n")
	got, err := byFrame.AtRate(60)
	if err != nil {
		t.Fatal(err)
	}
	if times := got.Times(); times[0] != 0.5 || times[1] != 0.75 || !got.HasTime {
		t.Errorf("times %v", times)
	}
	if byFrame.HasTime || byFrame.Marks[0].Time != 0 {
		t.Error("AtRate changed the table it was given")
	}
	for _, fps := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := byFrame.AtRate(fps); err == nil {
			t.Errorf("fps %g is taken", fps)
		}
	}
	byFrame.FPS = 30
	if got, err = byFrame.AtRate(0); err != nil || got.Times()[0] != 1 {
		t.Errorf("the table's own rate: %v, %v", got, err)
	}
	// time_s wins without film.
	timed := mustCSV(t, plainCSV)
	if got, err = timed.AtRate(100); err != nil || got.Times()[1] != 0.02 {
		t.Errorf("a table with times: %v, %v", got.Times(), err)
	}
}

func TestOnFilmUsesTheFilmsTimes(t *testing.T) {
	// An uneven film: 0, 40, 60, 120 ms.
	film := []float64{0, 0.040, 0.060, 0.120}
	got, err := mustCSV(t, "frame,time_s,landmark,x_px,y_px\n1,0.045,hip,1,2\n2,0.075,hip,1,2\n3,0.2,hip,1,2\n").OnFilm(film)
	if err != nil {
		t.Fatal(err)
	}
	if times := got.Times(); times[0] != 0.040 || times[1] != 0.060 || times[2] != 0.120 {
		t.Errorf("times %v, want the film's", times)
	}
	if all := strings.Join(got.Warnings, "\n"); !strings.Contains(all, "disagrees with the film on 2 marks (by up to 0.080 s, on frame 3)") {
		t.Errorf("warnings %q", all)
	}

	if _, err = mustCSV(t, "frame,landmark,x_px,y_px\n3,hip,1,2\n4,hip,1,2\n4,toe,1,2\n").OnFilm(film); err == nil ||
		!strings.Contains(err.Error(), "frame 4 is marked, but the film has frames 0 to 3") || strings.Count(err.Error(), "frame 4") != 1 {
		t.Errorf("error %v", err)
	}
}

func TestOnFilmPlacesTimesOnFrames(t *testing.T) {
	film := []float64{0, 0.040, 0.060, 0.120}
	got, err := mustCSV(t, "time_s,landmark,x_px,y_px\n0.041,hip,1,2\n0.041,toe,1,2\n0.1,hip,1,2\n").OnFilm(film)
	if err != nil {
		t.Fatal(err)
	}
	sameMarks(t, got.Marks, []body.Mark{
		{Frame: 1, Time: 0.040, Landmark: body.Hip, X: 1, Y: 2},
		{Frame: 1, Time: 0.040, Landmark: body.Toe, X: 1, Y: 2},
		{Frame: 3, Time: 0.120, Landmark: body.Hip, X: 1, Y: 2},
	}, 0)
	if !got.HasFrame {
		t.Error("HasFrame is false on a film")
	}
	for text, want := range map[string]string{
		"0.041,hip,1,2\n0.9,hip,1,2\n":   "no frame within half a frame",
		"0.041,hip,1,2\n0.045,toe,1,2\n": "two times of the table fall on frame 1",
	} {
		if _, err = mustCSV(t, "time_s,landmark,x_px,y_px\n"+text).OnFilm(film); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v does not say %q", err, want)
		}
	}
	if _, err = mustCSV(t, plainCSV).OnFilm(nil); err == nil {
		t.Error("a film without frames takes marks")
	}
}

func TestMotionAndBack(t *testing.T) {
	table := mustCSV(t, plainCSV)
	m := table.Motion()
	if len(m.T) != 2 || m.T[1] != 0.02 || !m.Has(body.Hip) || !m.Has(body.Toe) || m.Has(body.Knee) {
		t.Fatalf("motion %+v", m)
	}
	hip, toe := m.Paths[body.Hip], m.Paths[body.Toe]
	if hip.X[0] != 100.5 || hip.Y[1] != 200.75 || hip.SD[1] != 1.5 {
		t.Errorf("hip %+v", hip)
	}
	if toe.X[0] != 300 || !math.IsNaN(toe.X[1]) || !math.IsNaN(toe.Y[1]) || toe.SD != nil {
		t.Errorf("toe %+v", toe)
	}
	sameMarks(t, FromMotion(m, table.Frames()), table.Marks, 0)

	defer func() {
		if recover() == nil {
			t.Error("FromMotion takes a wrong number of frames")
		}
	}()
	FromMotion(m, []int{1})
}

func TestOutside(t *testing.T) {
	marks := []body.Mark{{X: 0, Y: 0}, {X: 640, Y: 360}, {X: 640.5, Y: 10}, {X: -0.1, Y: 10}, {X: 10, Y: 361}, {X: math.NaN(), Y: 1}}
	if got := Outside(marks, 640, 360); len(got) != 4 {
		t.Errorf("%d marks outside, want 4: %v", len(got), got)
	}
}
