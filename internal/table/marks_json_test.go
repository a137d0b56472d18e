package table

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/body"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func demoTable() *Table {
	return &Table{
		HasFrame: true, HasTime: true, FPS: 59.94, Who: "R. Ashdown",
		Clip:  Clip{Name: "lane4 take2.mp4", SHA256: strings.Repeat("0123456789abcdef", 4)},
		Run:   &Run{FirstFrame: 3, LastFrame: 140},
		Plane: json.RawMessage(`{"points_px":[[0,0],[500,0]],"points_m":[[0,0],[5,0]]}`),
		Marks: []body.Mark{
			{Frame: 3, Time: 0.05005, Landmark: body.Hip, X: 640.25, Y: 360.1},
			{Frame: 3, Time: 0.05005, Landmark: body.Toe, X: 212.125, Y: 401.0 / 3, SD: 1.25},
			{Frame: 9, Time: 0.15015, Landmark: body.Hip, X: 655, Y: 358},
		},
	}
}

func TestWriteMarksGolden(t *testing.T) {
	var out bytes.Buffer
	if err := WriteMarks(&out, demoTable()); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("testdata", "marks.golden.json")
	if *update {
		if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if out.String() != string(want) {
		t.Errorf("wrote\n%s\nwant\n%s", &out, want)
	}
	if !json.Valid(out.Bytes()) {
		t.Error("not valid JSON")
	}
}

func TestMarksFileRoundTrip(t *testing.T) {
	frameOnly := demoTable()
	frameOnly.HasTime, frameOnly.Clip, frameOnly.Plane, frameOnly.Run = false, Clip{}, nil, nil
	frameOnly.MetresPerPx = 0.00213
	for i := range frameOnly.Marks {
		frameOnly.Marks[i].Time = 0
	}
	for name, want := range map[string]*Table{"all": demoTable(), "frames only": frameOnly} {
		t.Run(name, func(t *testing.T) {
			var out bytes.Buffer
			if err := WriteMarks(&out, want); err != nil {
				t.Fatal(err)
			}
			got, err := ReadMarks(&out)
			if err != nil {
				t.Fatal(err)
			}
			sameMarks(t, got.Marks, want.Marks, 0)
			if got.HasFrame != want.HasFrame || got.HasTime != want.HasTime || got.FPS != want.FPS ||
				got.Who != want.Who || got.Clip != want.Clip || got.MetresPerPx != want.MetresPerPx {
				t.Errorf("got %+v\nwant %+v", got, want)
			}
			if (got.Run == nil) != (want.Run == nil) || (got.Run != nil && *got.Run != *want.Run) {
				t.Errorf("run %v, want %v", got.Run, want.Run)
			}
			if compact(t, got.Plane) != compact(t, want.Plane) {
				t.Errorf("plane %s, want %s", got.Plane, want.Plane)
			}
		})
	}
}

func compact(t *testing.T, raw json.RawMessage) string {
	t.Helper()
	if raw == nil {
		return ""
	}
	var b bytes.Buffer
	if err := json.Compact(&b, raw); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestReadMarksTakesTimesByFrame(t *testing.T) {
	const text = `{"format":"underkick marks","version":1,"times_s":[0,0.04,0.05],
	"marks":[{"frame":2,"landmark":"hip","x_px":1,"y_px":2},{"frame":1,"landmark":"hip","x_px":1,"y_px":2}]}`
	got, err := ReadMarks(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if !got.HasTime || got.Marks[0].Time != 0.04 || got.Marks[1].Time != 0.05 {
		t.Errorf("got %+v", got)
	}
}

func TestReadMarksSaysWhatIsWrongAndWhere(t *testing.T) {
	const head = "{\n\"format\":\"underkick marks\",\n\"version\":1,\n"
	mark := `{"frame":1,"landmark":"hip","x_px":1,"y_px":2}`
	for name, c := range map[string]struct{ text, want string }{
		"empty":            {"", "ends too early"},
		"cut off":          {head + `"marks":[` + mark, "ends too early"},
		"not JSON":         {head + "\"marks\":[\n" + mark + "\n" + mark + "]}", "line 6: this is not valid JSON"},
		"two documents":    {head + `"marks":[` + mark + "]} {}", "not valid JSON"},
		"a list":           {"[]", "JSON object"},
		"other format":     {`{"format":"x","version":1,"marks":[]}`, `"format" is "x"`},
		"later version":    {`{"format":"underkick marks","version":9,"marks":[]}`, "reads version 1"},
		"misspelt":         {head + `"mark":[]}`, `line 4: unknown field "mark"`},
		"misspelt in mark": {head + "\"marks\":[\n{\"frame\":1,\"landmark\":\"hip\",\"xpx\":1,\"y_px\":2}]}", `line 5: unknown field "xpx"`},
		"key twice":        {head + `"who":"a","who":"b","marks":[` + mark + `]}`, `"who" stands twice`},
		"no marks":         {head + `"who":"a"}`, `no list "marks"`},
		"marks no list":    {head + `"marks":{}}`, `line 4: "marks" must be a list`},
		"no entries":       {head + `"marks":[]}`, "holds no marks"},
		"null":             {head + `"marks":null}`, "must be a list"},
		"wrong kind":       {head + "\"marks\":[\n" + mark + ",\n{\"frame\":\"one\",\"landmark\":\"hip\",\"x_px\":1,\"y_px\":2}]}", "line 6: frame is a string where a whole number is expected"},
		"half frame":       {head + `"marks":[{"frame":1.5,"landmark":"hip","x_px":1,"y_px":2}]}`, "frame is a number 1.5 where a whole number"},
		"no place":         {head + `"marks":[{"frame":1,"landmark":"hip","x_px":1}]}`, "x_px or y_px is missing"},
		"unknown landmark": {head + "\"marks\":[" + mark + ",\n{\"frame\":1,\"landmark\":\"Hip\",\"x_px\":1,\"y_px\":2}]}", `line 5: unknown landmark "Hip"`},
		"negative":         {head + `"marks":[{"frame":-1,"landmark":"hip","x_px":1,"y_px":2}]}`, "counted from 0"},
		"twice":            {head + "\"marks\":[\n" + mark + ",\n" + mark + "]}", "line 6: hip stands twice on frame 1 (first on line 5)"},
		"overflow":         {head + `"marks":[{"frame":1,"landmark":"hip","x_px":1e999,"y_px":2}]}`, "x_px is a number 1e999"},
		"sum":              {head + `"clip":{"sha256":"abc"},"marks":[` + mark + `]}`, "64 lower-case hex digits"},
		"fps":              {head + `"fps":0,"marks":[` + mark + `]}`, `"fps" is 0`},
		"scale":            {head + `"metres_per_px":-1,"marks":[` + mark + `]}`, `"metres_per_px" is -1`},
		"run":              {head + `"run":{"first_frame":5,"last_frame":4},"marks":[` + mark + `]}`, "from frame 5 to 4"},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := ReadMarks(strings.NewReader(c.text))
			var probs *Problems
			if !errors.As(err, &probs) {
				t.Fatalf("error %v, table %v; want a *Problems", err, got)
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("message\n%s\ndoes not say\n%s", err, c.want)
			}
		})
	}
}

func TestWriteMarksRefusesWhatJSONCannotHold(t *testing.T) {
	bad := demoTable()
	bad.Marks[1].X = math.NaN()
	if err := WriteMarks(&bytes.Buffer{}, bad); err == nil || !strings.Contains(err.Error(), "toe on frame 3") {
		t.Errorf("error %v", err)
	}
	full := errors.New("disk full")
	if err := WriteMarks(failingWriter{full}, demoTable()); !errors.Is(err, full) {
		t.Errorf("error %v does not carry the writer's", err)
	}
}
