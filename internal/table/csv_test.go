package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"underkick/internal/body"
)

const plainCSV = `frame,time_s,landmark,x_px,y_px,sd_px
0,0,hip,100.5,200.25,1.5
0,0,toe,300,210,
1,0.02,hip,101.5,200.75,1.5
`

// The same three marks, as other programs and other countries write them.
func TestReadCSVTakesEveryOrdinaryForm(t *testing.T) {
	want := []body.Mark{
		{Frame: 0, Time: 0, Landmark: body.Hip, X: 100.5, Y: 200.25, SD: 1.5},
		{Frame: 0, Time: 0, Landmark: body.Toe, X: 300, Y: 210},
		{Frame: 1, Time: 0.02, Landmark: body.Hip, X: 101.5, Y: 200.75, SD: 1.5},
	}
	for name, text := range map[string]string{
		"plain":           plainCSV,
		"byte order mark": "\xEF\xBB\xBF" + plainCSV,
		"CRLF":            strings.ReplaceAll(plainCSV, "\n", "\r\n"),
		"no last newline": strings.TrimSuffix(plainCSV, "\n"),
		"blank lines":     "\n" + strings.ReplaceAll(plainCSV, "\n", "\n\n") + ",,,,,\n",
		"tabs":            strings.ReplaceAll(plainCSV, ",", "\t"),
		"semicolons":      strings.ReplaceAll(plainCSV, ",", ";"),
		"decimal commas":  strings.ReplaceAll(strings.ReplaceAll(plainCSV, ",", ";"), ".", ","),
		"decimal commas, tabs": strings.ReplaceAll(strings.ReplaceAll(plainCSV, ",", "\t"),
			".", ","),
		"sep line":         "sep=;\r\n" + strings.ReplaceAll(plainCSV, ",", ";"),
		"order and case":   "Y_px, X_px ,LANDMARK,time_s,sd_px,Frame\n200.25,100.5,Hip,0,1.5,0\n210,300,toe,0,,0\n200.75,101.5,hip,0.02,1.5,1\n",
		"quoted":           "\"frame\",\"time_s\",\"landmark\",\"x_px\",\"y_px\",\"sd_px\"\n\"0\",\"0\",\"hip\",\"100.5\",\"200.25\",\"1.5\"\n0,0,\"toe\",300,210,\n1,0.02,hip,101.5,200.75,1.5\n",
		"rows any order":   "frame,time_s,landmark,x_px,y_px,sd_px\n1,0.02,hip,101.5,200.75,1.5\n0,0,toe,300,210,\n0,0,hip,100.5,200.25,1.5\n",
		"exponents":        "frame,time_s,landmark,x_px,y_px,sd_px\n0,0e0,hip,1.005e2,200.25,1.5\n0,0,toe,3e2,+210,\n1,2e-2,hip,101.5,200.75,1.5\n",
		"whole as decimal": "frame,time_s,landmark,x_px,y_px,sd_px\n0.0,0,hip,100.5,200.25,1.5\n0,0,toe,300,210,\n1.0,0.02,hip,101.5,200.75,1.5\n",
		"unknown point":    plainCSV + "1,0.02,toe,,,\n",
		"more columns":     "frame,time_s,landmark,x_px,y_px,sd_px,note\n0,0,hip,100.5,200.25,1.5,a\n0,0,toe,300,210,,\n1,0.02,hip,101.5,200.75,1.5,\n",
		"confidence":       "frame,time_s,landmark,x_px,y_px,sd_px,confidence\n0,0,hip,100.5,200.25,1.5,1\n0,0,toe,300,210,,0.4\n1,0.02,hip,101.5,200.75,1.5,\n1,0.02,knee,5,5,,0\n",
	} {
		t.Run(name, func(t *testing.T) {
			got, err := ReadCSV(strings.NewReader(text), Options{})
			if err != nil {
				t.Fatal(err)
			}
			sameMarks(t, got.Marks, want, 0)
			if !got.HasFrame || !got.HasTime {
				t.Errorf("HasFrame %v, HasTime %v; both are given", got.HasFrame, got.HasTime)
			}
		})
	}
}

func TestReadCSVWithFrameOnlyOrTimeOnly(t *testing.T) {
	byFrame, err := ReadCSV(strings.NewReader("frame,landmark,x_px,y_px\n4,hip,1,2\n2,hip,3,4\n"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if byFrame.HasTime || !byFrame.HasFrame {
		t.Errorf("frame only: HasFrame %v, HasTime %v", byFrame.HasFrame, byFrame.HasTime)
	}
	sameMarks(t, byFrame.Marks, []body.Mark{{Frame: 2, Landmark: body.Hip, X: 3, Y: 4}, {Frame: 4, Landmark: body.Hip, X: 1, Y: 2}}, 0)

	byTime, err := ReadCSV(strings.NewReader("time_s,landmark,x_px,y_px\n0.5,toe,1,2\n0.25,hip,3,4\n0.5,hip,5,6\n"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !byTime.HasTime || byTime.HasFrame {
		t.Errorf("time only: HasFrame %v, HasTime %v", byTime.HasFrame, byTime.HasTime)
	}
	sameMarks(t, byTime.Marks, []body.Mark{
		{Frame: 0, Time: 0.25, Landmark: body.Hip, X: 3, Y: 4},
		{Frame: 1, Time: 0.5, Landmark: body.Hip, X: 5, Y: 6},
		{Frame: 1, Time: 0.5, Landmark: body.Toe, X: 1, Y: 2},
	}, 0)
}

func TestReadCSVSaysWhatIsWrongAndWhere(t *testing.T) {
	const head = "frame,landmark,x_px,y_px\n"
	for name, c := range map[string]struct{ text, want string }{
		"empty":             {"", "it is empty"},
		"blank":             {" \n\n", "it is empty"},
		"only a header":     {head, "holds no marks"},
		"no header":         {"0,hip,1,2\n", "no column landmark, x_px, y_px, frame or time_s"},
		"no place":          {"frame,landmark,x_px\n0,hip,1\n", "no column y_px"},
		"no time":           {"landmark,x_px,y_px\nhip,1,2\n", "no column frame or time_s"},
		"column twice":      {"frame,landmark,x_px,x_px,y_px\n0,hip,1,1,2\n", "x_px stands twice"},
		"unknown landmark":  {head + "0,hip,1,2\n0,hips,1,2\n", `line 3: unknown landmark "hips"; the landmarks are fingertip`},
		"twice":             {head + "0,hip,1,2\n7,toe,1,2\n7,toe,1,3\n", "line 4: toe stands twice on frame 7 (first on line 3)"},
		"twice by time":     {"time_s,landmark,x_px,y_px\n0.5,toe,1,2\n0.5,toe,1,3\n", "line 3: toe stands twice at 0.5 s"},
		"negative frame":    {head + "-1,hip,1,2\n", "line 2: frame is -1; frames are counted from 0"},
		"half a frame":      {head + "1.5,hip,1,2\n", "frames are whole numbers"},
		"huge frame":        {head + "1e9,hip,1,2\n", "more than a film holds"},
		"nan":               {head + "0,hip,nan,2\n", `line 2: x_px is "nan", not a finite number`},
		"infinite":          {head + "0,hip,1,-Inf\n", `y_px is "-Inf", not a finite number`},
		"overflow":          {head + "0,hip,1,1e999\n", "not a finite number"},
		"hex":               {head + "0,hip,0x10,2\n", `x_px is "0x10"`},
		"not a number":      {head + "0,hip,12 px,2\n", `x_px is "12 px", not a number`},
		"one coordinate":    {head + "0,hip,12,\n", "y_px is empty while the other coordinate is not"},
		"far out":           {head + "0,hip,1e7,2\n", "beyond anything a film can hold"},
		"decimal comma":     {head + "0,hip,1,5,2,5\n", "put semicolons between the fields"},
		"thousands":         {"frame;landmark;x_px;y_px\n0;hip;1.234,5;2\n", "without marks between thousands"},
		"short row":         {head + "0,hip,1\n", "line 2: 3 fields where the first line has 4"},
		"bad quote":         {head + "0,\"hip,1,2\n", "line 2: "},
		"negative sd":       {"frame,landmark,x_px,y_px,sd_px\n0,hip,1,2,-1\n", "sd_px is -1"},
		"confidence 7":      {"frame,landmark,x_px,y_px,confidence\n0,hip,1,2,7\n", "runs from 0 to 1"},
		"no frame here":     {head + ",hip,1,2\n", "line 2: neither frame nor time_s is given"},
		"frame or time":     {"frame,time_s,landmark,x_px,y_px\n0,,hip,1,2\n,1,hip,1,2\n", "give the same one for every mark"},
		"two times":         {"frame,time_s,landmark,x_px,y_px\n0,0,hip,1,2\n0,0.1,toe,1,2\n", "line 3: frame 0 has the times 0 s and 0.1 s (line 2)"},
		"times fall":        {"frame,time_s,landmark,x_px,y_px\n0,0.1,hip,1,2\n1,0.1,hip,1,2\n", "times must rise with frames"},
		"times too close":   {"time_s,landmark,x_px,y_px\n0.1,hip,1,2\n0.100001,toe,1,2\n", "must carry the same time_s to the last digit"},
		"UTF-16":            {"\xFF\xFEf\x00r\x00", "save it as UTF-8"},
		"a film":            {"\x00\x00\x00\x18ftypmp42", "not a text file"},
		"all weak":          {"frame,landmark,x_px,y_px,confidence\n0,hip,1,2,0\n", "holds no marks"},
		"error after sep":   {"sep=,\n" + head + "0,hips,1,2\n", "line 3: unknown landmark"},
		"line after quotes": {"frame,landmark,x_px,y_px,note\n0,hip,1,2,\"a\nb\"\n0,hips,1,2,\n", "line 4: unknown landmark"},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := ReadCSV(strings.NewReader(c.text), Options{})
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

func TestReadCSVCollectsProblemsUpToALimit(t *testing.T) {
	var b strings.Builder
	b.WriteString("frame,landmark,x_px,y_px\n")
	for i := range 50 {
		fmt.Fprintf(&b, "%d,elbow%d,1,2\n", i, i)
	}
	_, err := ReadCSV(strings.NewReader(b.String()), Options{})
	var probs *Problems
	if !errors.As(err, &probs) {
		t.Fatal(err)
	}
	if len(probs.List) != maxListed || probs.More != 50-maxListed {
		t.Errorf("%d listed and %d more, want %d and %d", len(probs.List), probs.More, maxListed, 50-maxListed)
	}
	if probs.List[0].Line != 2 || probs.List[19].Line != 21 {
		t.Errorf("lines %d and %d, want 2 and 21", probs.List[0].Line, probs.List[19].Line)
	}
	if !strings.HasSuffix(err.Error(), "and 30 more") {
		t.Errorf("the message does not count what it leaves out:\n%s", err)
	}
}

// One wrong name in a whole table is one problem and leaves room for others.
func TestReadCSVTellsTheSameProblemOnce(t *testing.T) {
	_, err := ReadCSV(strings.NewReader("frame,landmark,x_px,y_px\n"+strings.Repeat("1,hips,1,2\n", 500)+"2,hip,1,x\n"), Options{})
	var probs *Problems
	if !errors.As(err, &probs) || len(probs.List) != 2 || probs.List[0].Again != 499 || probs.List[1].Line != 502 {
		t.Fatalf("problems %+v", probs)
	}
	if want := "\n  line 2 and 499 more: unknown landmark"; !strings.Contains(err.Error(), want) {
		t.Errorf("%q does not say %q", err, want)
	}
}

func TestReadCSVWarnsOfWhatItLeavesOut(t *testing.T) {
	const text = "frame,time_s,landmark,x_px,y_px,confidence,who\n0,0,hip,1,2,0.9,a\n1,,hip,1,2,0.1,a\n2,,hip,1,2,0.9,a\n3,,hip,,,,a\n"
	got, err := ReadCSV(strings.NewReader(text), Options{MinConfidence: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Marks) != 2 || got.HasTime {
		t.Fatalf("marks %v, HasTime %v", got.Marks, got.HasTime)
	}
	all := strings.Join(got.Warnings, "\n")
	for _, want := range []string{`columns not known and not used: "who"`, "1 rows have no x_px and y_px", "1 points were left out for their confidence", "time_s is missing from 1 of 2 marks"} {
		if !strings.Contains(all, want) {
			t.Errorf("warnings\n%s\ndo not say %q", all, want)
		}
	}
}

func TestReadCSVStopsAtAHugeFile(t *testing.T) {
	_, err := ReadCSV(io.MultiReader(strings.NewReader("frame,landmark,x_px,y_px\n"), endless{}), Options{})
	if err == nil || !strings.Contains(err.Error(), "larger than 128 MB") {
		t.Errorf("error %v", err)
	}
}

// endless is a file that never ends.
type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '\n'
	}
	return len(p), nil
}

func TestReadCSVPassesOnAReadError(t *testing.T) {
	broken := errors.New("cable out")
	_, err := ReadCSV(io.MultiReader(strings.NewReader(plainCSV), failing{broken}), Options{})
	if !errors.Is(err, broken) {
		t.Errorf("error %v does not carry the reader's", err)
	}
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

// What WriteCSV writes is read by the standard library's csv reader as the same
// marks, and by ours.
func TestWriteCSVAgainstEncodingCSV(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	var marks []body.Mark
	for f := range 40 {
		for l := range body.Landmark(body.NumLandmarks) {
			m := body.Mark{Frame: f, Time: 3 + float64(f)*1001/60000, Landmark: l, X: 2000*rng.Float64() - 50, Y: 1100 * rng.Float64()}
			if rng.IntN(2) == 0 {
				m.SD = 4 * rng.Float64()
			}
			marks = append(marks, m)
		}
	}
	var out bytes.Buffer
	if err := WriteCSV(&out, marks); err != nil {
		t.Fatal(err)
	}
	text := out.String()

	recs, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(recs[0], ","); got != "frame,time_s,landmark,x_px,y_px,sd_px" {
		t.Fatalf("header %s", got)
	}
	if len(recs) != 1+len(marks) {
		t.Fatalf("%d rows for %d marks", len(recs)-1, len(marks))
	}
	var back []body.Mark
	for _, r := range recs[1:] {
		l, err := body.ParseLandmark(r[2])
		if err != nil {
			t.Fatal(err)
		}
		m := body.Mark{Frame: int(number(t, r[0])), Time: number(t, r[1]), Landmark: l, X: number(t, r[3]), Y: number(t, r[4])}
		if r[5] != "" {
			m.SD = number(t, r[5])
		}
		back = append(back, m)
	}
	sameMarks(t, back, marks, 0.5e-4) // four decimals are written

	ours, err := ReadCSV(strings.NewReader(text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	sameMarks(t, ours.Marks, back, 0)
	for i, m := range ours.Marks {
		if m.Time != marks[i].Time {
			t.Fatalf("time %v came back as %v", marks[i].Time, m.Time)
		}
	}
}

func TestWriteCSVPassesOnAWriteError(t *testing.T) {
	full := errors.New("disk full")
	if err := WriteCSV(failingWriter{full}, []body.Mark{{}}); !errors.Is(err, full) {
		t.Errorf("error %v does not carry the writer's", err)
	}
}

type failingWriter struct{ err error }

func (f failingWriter) Write([]byte) (int, error) { return 0, f.err }

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// sameMarks fails unless the marks agree, px within tol.
func sameMarks(t *testing.T, got, want []body.Mark, tol float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d marks, want %d: %v", len(got), len(want), got)
	}
	for i, g := range got {
		w := want[i]
		if g.Frame != w.Frame || g.Landmark != w.Landmark || g.Time != w.Time ||
			math.Abs(g.X-w.X) > tol || math.Abs(g.Y-w.Y) > tol || math.Abs(g.SD-w.SD) > tol {
			t.Fatalf("mark %d is %+v, want %+v", i, g, w)
		}
	}
}

func BenchmarkReadCSV(b *testing.B) {
	var marks []body.Mark
	for f := range 600 {
		for l := range body.Landmark(body.NumLandmarks) {
			marks = append(marks, body.Mark{Frame: f, Time: float64(f) / 60, Landmark: l, X: 100.123, Y: 200.456, SD: 1})
		}
	}
	var out bytes.Buffer
	if err := WriteCSV(&out, marks); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(out.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ReadCSV(bytes.NewReader(out.Bytes()), Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
