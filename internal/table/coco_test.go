package table

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"underkick/internal/body"
)

// coco17 are the keypoint names of the COCO person category, in the order of
// its annotation files (cocodataset.org, keypoint detection).
var coco17 = []string{
	"nose", "left_eye", "right_eye", "left_ear", "right_ear", "left_shoulder", "right_shoulder",
	"left_elbow", "right_elbow", "left_wrist", "right_wrist", "left_hip", "right_hip",
	"left_knee", "right_knee", "left_ankle", "right_ankle",
}

type cocoDoc struct {
	Images      []map[string]any `json:"images"`
	Annotations []map[string]any `json:"annotations"`
	Categories  []map[string]any `json:"categories"`
}

// text writes one entry per line, as annotation programs mostly do not; the
// line numbers in messages can then be checked.
func (d cocoDoc) text(t *testing.T) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("{")
	for i, part := range []struct {
		name string
		list []map[string]any
	}{{"images", d.Images}, {"annotations", d.Annotations}, {"categories", d.Categories}} {
		if i > 0 {
			b.WriteString(",")
		}
		fmt.Fprintf(&b, "%q:[", part.name)
		for j, e := range part.list {
			if j > 0 {
				b.WriteString(",")
			}
			raw, err := json.Marshal(e)
			if err != nil {
				t.Fatal(err)
			}
			b.WriteString("\n" + string(raw))
		}
		b.WriteString("]")
	}
	b.WriteString("}")
	return b.String()
}

// person17 puts keypoint i of COCO's 17 at (10 i, 5 i), each with flag v(i).
func person17(image int, v func(i int) float64) map[string]any {
	var k []float64
	for i := range coco17 {
		if v(i) == 0 {
			k = append(k, 0, 0, 0)
			continue
		}
		k = append(k, float64(10*i), float64(5*i), v(i))
	}
	return map[string]any{"id": 900 + image, "image_id": image, "category_id": 1, "iscrowd": 0, "keypoints": k, "num_keypoints": 17}
}

func always(v float64) func(int) float64 { return func(int) float64 { return v } }

func swimDoc() cocoDoc {
	return cocoDoc{
		Images: []map[string]any{
			{"id": 7, "file_name": "take2/frame_000012.png", "width": 1280, "height": 720},
			{"id": 3, "file_name": "take2/frame_000010.png", "width": 1280, "height": 720},
		},
		Annotations: []map[string]any{person17(7, always(2)), person17(3, always(2))},
		Categories:  []map[string]any{{"id": 1, "name": "person", "keypoints": coco17, "skeleton": [][]int{{16, 14}}}},
	}
}

// COCO's keypoints are 0-indexed: pixel (0, 0) is the first pixel, whose middle
// is (0.5, 0.5) here.
func TestReadCOCOCountsFromThePicturesCorner(t *testing.T) {
	got, err := ReadCOCO(strings.NewReader(swimDoc().text(t)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !got.HasFrame || got.HasTime {
		t.Errorf("HasFrame %v, HasTime %v", got.HasFrame, got.HasTime)
	}
	if f := got.Frames(); len(f) != 2 || f[0] != 10 || f[1] != 12 {
		t.Errorf("frames %v, want 10 and 12 of the file names", f)
	}
	want := map[body.Landmark][2]float64{ // the left side: equal flags on both
		body.Shoulder: {50.5, 25.5}, body.Elbow: {70.5, 35.5}, body.Wrist: {90.5, 45.5},
		body.Hip: {110.5, 55.5}, body.Knee: {130.5, 65.5}, body.Ankle: {150.5, 75.5},
	}
	if len(got.Marks) != 2*len(want) {
		t.Fatalf("%d marks, want %d", len(got.Marks), 2*len(want))
	}
	for _, m := range got.Marks {
		if w := want[m.Landmark]; m.X != w[0] || m.Y != w[1] {
			t.Errorf("%s at (%g, %g), want %v", m.Landmark, m.X, m.Y, w)
		}
	}
	if !strings.Contains(strings.Join(got.Warnings, "\n"), "left out: nose, left_eye") {
		t.Errorf("warnings %q do not name the keypoints left out", got.Warnings)
	}

	m := DefaultKeypoints()
	m.CornerPx = true
	if got, err = ReadCOCO(strings.NewReader(swimDoc().text(t)), Options{Keypoints: m}); err != nil {
		t.Fatal(err)
	}
	if got.Marks[0].X != 90 || got.Marks[0].Y != 45 { // wrist
		t.Errorf("with pixel corner: %+v", got.Marks[0])
	}
}

func TestReadCOCOTakesOneSide(t *testing.T) {
	// The right side is hidden (v = 1) on one picture, but its ankle is not.
	doc := swimDoc()
	doc.Annotations[0] = person17(7, func(i int) float64 {
		if strings.HasPrefix(coco17[i], "left") && coco17[i] != "left_ankle" || i == 16 {
			return 2
		}
		return 1
	})
	for take, hipAnkle := range map[Take][2]float64{
		"":            {110.5, 150.5},
		TakeNearer:    {110.5, 150.5},
		TakeLeft:      {110.5, 150.5},
		TakeRight:     {120.5, 160.5},
		TakeConfident: {110.5, 160.5},
	} {
		m := DefaultKeypoints()
		m.Take = take
		got, err := ReadCOCO(strings.NewReader(doc.text(t)), Options{Keypoints: m})
		if err != nil {
			t.Fatal(err)
		}
		for _, mark := range got.Marks {
			if mark.Frame != 12 {
				continue
			}
			if mark.Landmark == body.Hip && mark.X != hipAnkle[0] || mark.Landmark == body.Ankle && mark.X != hipAnkle[1] {
				t.Errorf("take %q: %s at x = %g, want hip %g, ankle %g", take, mark.Landmark, mark.X, hipAnkle[0], hipAnkle[1])
			}
		}
	}
	// Mirrored, the nearer side is the right one.
	doc.Annotations = []map[string]any{person17(7, func(i int) float64 {
		if strings.HasPrefix(coco17[i], "left") {
			return 0
		}
		return 2
	})}
	got, err := ReadCOCO(strings.NewReader(doc.text(t)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Marks) != 6 || got.Marks[len(got.Marks)-1].X != 160.5 {
		t.Errorf("marks %+v, want the right side", got.Marks)
	}
}

func TestReadCOCOWithAKeypointMap(t *testing.T) {
	m, err := ParseKeypointMap(strings.NewReader(`{
		"format": "underkick keypoint map", "version": 1,
		"middle": {"crown": "head"},
		"left": {"L hip": "hip", "L toe tip": "toe"},
		"right": {"R hip": "hip", "R toe tip": "toe"},
		"take": "more_confident", "frame_from": "frame", "first_number": 1,
		"person": "score", "pixel": "corner", "sd_px": 2.5, "category": "swimmer"
	}`))
	if err != nil {
		t.Fatal(err)
	}
	keys := []string{"crown", "L hip", "L toe tip", "R hip", "R toe tip"}
	doc := cocoDoc{
		Images: []map[string]any{{"id": 1, "file_name": "a.png", "frame": 5, "time_s": 0.5}},
		Annotations: []map[string]any{
			{"image_id": 1, "category_id": 2, "score": 0.3, "keypoints": []float64{9, 9, 2, 9, 9, 2, 9, 9, 2, 9, 9, 2, 9, 9, 2}},
			{"image_id": 1, "category_id": 2, "score": 0.8, "keypoints": []float64{1, 2, 1, 3, 4, 0.5, 0, 0, 0, 5, 6, 0.9, 7, 8, 0.2}},
			{"image_id": 1, "category_id": 2, "score": 0.9, "iscrowd": 1, "keypoints": []float64{9, 9, 2, 9, 9, 2, 9, 9, 2, 9, 9, 2, 9, 9, 2}},
			{"image_id": 1, "category_id": 9, "keypoints": []float64{9, 9, 2}},
		},
		Categories: []map[string]any{
			{"id": 2, "name": "swimmer", "keypoints": keys},
			{"id": 9, "name": "buoy", "keypoints": []string{"top"}},
		},
	}
	got, err := ReadCOCO(strings.NewReader(doc.text(t)), Options{Keypoints: m})
	if err != nil {
		t.Fatal(err)
	}
	sameMarks(t, got.Marks, []body.Mark{
		{Frame: 4, Time: 0.5, Landmark: body.Head, X: 1, Y: 2, SD: 2.5},
		{Frame: 4, Time: 0.5, Landmark: body.Hip, X: 5, Y: 6, SD: 2.5},
		{Frame: 4, Time: 0.5, Landmark: body.Toe, X: 7, Y: 8, SD: 2.5},
	}, 0)

	// A limit on confidence drops the weak toe.
	if got, err = ReadCOCO(strings.NewReader(doc.text(t)), Options{Keypoints: m, MinConfidence: 0.5}); err != nil {
		t.Fatal(err)
	}
	if len(got.Marks) != 2 || got.Marks[1].Landmark != body.Hip {
		t.Errorf("marks %+v", got.Marks)
	}
}

func TestReadCOCOChoosesThePerson(t *testing.T) {
	doc := swimDoc()
	second := person17(7, func(i int) float64 {
		if i > 12 {
			return 2
		}
		return 0
	})
	second["area"] = 5000.0
	doc.Annotations[0]["bbox"] = []float64{0, 0, 20, 30}
	doc.Annotations = append(doc.Annotations, second)
	if _, err := ReadCOCO(strings.NewReader(doc.text(t)), Options{}); err == nil || !strings.Contains(err.Error(), "two annotated bodies") {
		t.Errorf("two bodies without a rule: %v", err)
	}
	for rule, wantHip := range map[string]bool{"most_points": true, "largest": false} {
		m := DefaultKeypoints()
		m.Person = rule
		got, err := ReadCOCO(strings.NewReader(doc.text(t)), Options{Keypoints: m})
		if err != nil {
			t.Fatal(err)
		}
		hip := false
		for _, mark := range got.Marks {
			hip = hip || mark.Frame == 12 && mark.Landmark == body.Hip
		}
		if hip != wantHip {
			t.Errorf("%s: hip on frame 12 is %v, want %v", rule, hip, wantHip)
		}
	}
}

func TestReadCOCOSaysWhatIsWrong(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*cocoDoc)
		want   string
	}{
		"no categories": {func(d *cocoDoc) { d.Categories = nil }, "no category names its keypoints"},
		"two categories": {func(d *cocoDoc) {
			d.Categories = append(d.Categories, map[string]any{"id": 2, "name": "seal", "keypoints": []string{"hip"}})
		}, `2 categories have keypoints (person, seal)`},
		"count":           {func(d *cocoDoc) { d.Annotations[0]["keypoints"] = []float64{1, 2, 2} }, "line 4: \"keypoints\" has 3 numbers; the category has 17 keypoints, so 51"},
		"lost image":      {func(d *cocoDoc) { d.Annotations[0]["image_id"] = 99 }, "belongs to image 99, which is not among the images"},
		"no image":        {func(d *cocoDoc) { delete(d.Annotations[0], "image_id") }, `no "image_id"`},
		"image twice":     {func(d *cocoDoc) { d.Images[1]["id"] = 7 }, "line 3: image id 7 stands twice (first on line 2)"},
		"no number":       {func(d *cocoDoc) { d.Images[0]["file_name"] = "first.png" }, `"first.png" has no number to take as its frame`},
		"same number":     {func(d *cocoDoc) { d.Images[0]["file_name"] = "other/10.png" }, "stands twice on frame 10"},
		"flag":            {func(d *cocoDoc) { d.Annotations[0]["keypoints"].([]float64)[5*3+2] = 3 }, "runs from 0 (not there) to 2 (visible)"},
		"no names of use": {func(d *cocoDoc) { d.Categories[0]["keypoints"] = strings.Fields(strings.Repeat("x ", 17)) }, "stands twice in its category"},
		"none known":      {func(d *cocoDoc) { d.Categories[0]["keypoints"] = numbered(17) }, "give a keypoint map"},
		"no marks":        {func(d *cocoDoc) { d.Annotations = nil }, "no keypoint could be used: 0 annotated pictures"},
		"wrong kind":      {func(d *cocoDoc) { d.Images[0]["id"] = "seven" }, "id is a string where a whole number is expected"},
		"far out":         {func(d *cocoDoc) { d.Annotations[0]["keypoints"].([]float64)[5*3] = 1e8 }, "beyond anything a film can hold"},
	} {
		t.Run(name, func(t *testing.T) {
			doc := swimDoc()
			c.change(&doc)
			got, err := ReadCOCO(strings.NewReader(doc.text(t)), Options{})
			var probs *Problems
			if !errors.As(err, &probs) {
				t.Fatalf("error %v, table %v; want a *Problems", err, got)
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("message\n%s\ndoes not say\n%s", err, c.want)
			}
		})
	}
	if _, err := ReadCOCO(strings.NewReader(`{"images":[],"annotations":[]}`), Options{}); err == nil || !strings.Contains(err.Error(), `no list "categories"`) {
		t.Errorf("error %v", err)
	}
}

func numbered(n int) []string {
	s := make([]string, n)
	for i := range s {
		s[i] = fmt.Sprint("p", i)
	}
	return s
}

func TestReadCOCOAsksAboutPicturesNumberedFromOne(t *testing.T) {
	doc := swimDoc()
	doc.Images[0]["file_name"], doc.Images[1]["file_name"] = "img0001.png", "img0002.png"
	got, err := ReadCOCO(strings.NewReader(doc.text(t)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(got.Warnings, "\n"), `set "first_number": 1`) {
		t.Errorf("warnings %q", got.Warnings)
	}
}

func TestLastNumber(t *testing.T) {
	for name, want := range map[string]int{
		"000042.png": 42, "swim2/take-7_000042.png": 42, `c:\clips\a1\b 3.jpeg`: 3, "frame12": 12, "12frame.png": 12, "5": 5, ".7": 7,
	} {
		if got, ok := lastNumber(name); !ok || got != want {
			t.Errorf("lastNumber(%q) = %d, %v; want %d", name, got, ok, want)
		}
	}
	for _, name := range []string{"", "frame.png", "a1/b", "x.264", "99999999999999999999999.png"} {
		if got, ok := lastNumber(name); ok {
			t.Errorf("lastNumber(%q) = %d, want none", name, got)
		}
	}
}

func TestParseKeypointMapSaysWhatIsWrong(t *testing.T) {
	const head = `{"format":"underkick keypoint map","version":1,`
	for name, c := range map[string]struct{ text, want string }{
		"not JSON":  {"hip: left_hip", "not valid JSON"},
		"format":    {`{"format":"underkick marks","version":1}`, "a keypoint map says"},
		"version":   {`{"format":"underkick keypoint map","version":2}`, `"version": 1`},
		"misspelt":  {head + `"lefts":{}}`, `unknown field "lefts"`},
		"none":      {head + `"left":{}}`, "it names no keypoints"},
		"landmark":  {head + `"left":{"a":"thigh"}}`, `keypoint "a": unknown landmark "thigh"`},
		"two sides": {head + `"left":{"a":"hip"},"right":{"a":"hip"}}`, `keypoint "a" stands on two sides`},
		"take":      {head + `"left":{"a":"hip"},"take":"best"}`, `"take" is "best"; it may be "nearer", "left", "right", "more_confident"`},
		"frames":    {head + `"left":{"a":"hip"},"frame_from":"name"}`, `"frame_from" is "name"`},
		"person":    {head + `"left":{"a":"hip"},"person":"first"}`, `"person" is "first"`},
		"pixel":     {head + `"left":{"a":"hip"},"pixel":"centre"}`, `"pixel" is "centre"; it may be "index", "corner"`},
		"sd":        {head + `"left":{"a":"hip"},"sd_px":-2}`, `"sd_px" is -2`},
		"first":     {head + `"left":{"a":"hip"},"first_number":-2}`, `"first_number" is -2`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := ParseKeypointMap(strings.NewReader(c.text))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("message %v does not say %s", err, c.want)
			}
		})
	}
}
