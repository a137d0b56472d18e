package table

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"underkick/internal/body"
)

// sound fails unless a table that was read holds what its documentation says,
// and comes back the same from both written forms.
func sound(t *testing.T, table *Table, err error) {
	t.Helper()
	if err != nil {
		var probs *Problems
		if !errors.As(err, &probs) || len(probs.List) == 0 || len(probs.List) > maxListed {
			t.Fatalf("error %#v is no list of problems", err)
		}
		return
	}
	if len(table.Marks) == 0 || (!table.HasFrame && !table.HasTime) {
		t.Fatalf("an empty or timeless table was read: %+v", table)
	}
	for i, m := range table.Marks {
		for _, v := range []float64{m.X, m.Y, m.Time, m.SD} {
			if math.IsNaN(v) || math.Abs(v) > maxPx {
				t.Fatalf("mark %+v", m)
			}
		}
		if m.Frame < 0 || m.Frame > maxFrame || m.SD < 0 || int(m.Landmark) >= body.NumLandmarks {
			t.Fatalf("mark %+v", m)
		}
		if i == 0 {
			continue
		}
		p := table.Marks[i-1]
		if p.Frame > m.Frame || (p.Frame == m.Frame && p.Landmark >= m.Landmark) || (table.HasTime && (p.Frame == m.Frame) != (p.Time == m.Time)) {
			t.Fatalf("marks out of order: %+v, %+v", p, m)
		}
	}
	var out bytes.Buffer
	if err := WriteMarks(&out, table); err != nil {
		t.Fatal(err)
	}
	again, err := ReadMarks(&out)
	if err != nil {
		t.Fatalf("what WriteMarks wrote is not read: %v", err)
	}
	sameMarks(t, again.Marks, table.Marks, 0)
	out.Reset()
	if err := WriteCSV(&out, table.Marks); err != nil {
		t.Fatal(err)
	}
	if again, err = ReadCSV(&out, Options{}); err != nil {
		t.Fatalf("what WriteCSV wrote is not read: %v", err)
	}
	sameMarks(t, again.Marks, table.Marks, 0.5e-4)
}

func FuzzReadCSV(f *testing.F) {
	f.Add(plainCSV)
	f.Add("sep=;\nframe;landmark;x_px;y_px\n0;hip;1,5;2\n")
	f.Add("time_s\tlandmark\tx_px\ty_px\tconfidence\n0.1\ttoe\t1\t2\t0.5\n")
	f.Add("frame,landmark,x_px,y_px\n0,\"hip\n,1,2\n1,hip,NaN,1e999\n")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ReadCSV(strings.NewReader(text), Options{})
		sound(t, got, err)
	})
}

func FuzzReadMarks(f *testing.F) {
	var out bytes.Buffer
	if err := WriteMarks(&out, demoTable()); err != nil {
		f.Fatal(err)
	}
	f.Add(out.String())
	f.Add(`{"format":"underkick marks","version":1,"times_s":[0,1],"marks":[{"frame":1,"landmark":"hip","x_px":1,"y_px":2}]}`)
	f.Add(`{"marks":null,"run":null,"clip":null}`)
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ReadMarks(strings.NewReader(text))
		sound(t, got, err)
	})
}

func FuzzReadCOCO(f *testing.F) {
	f.Add(`{"images":[{"id":1,"file_name":"a7.png","time_s":1}],"annotations":[{"image_id":1,"category_id":1,"keypoints":[1,2,2,3,4,1]}],"categories":[{"id":1,"name":"p","keypoints":["left_hip","toe"]}]}`)
	f.Add(`{"images":[],"annotations":[],"categories":[]}`)
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ReadCOCO(strings.NewReader(text), Options{})
		sound(t, got, err)
	})
}

func FuzzParseKeypointMap(f *testing.F) {
	f.Add(`{"format":"underkick keypoint map","version":1,"left":{"a":"hip"},"right":{"b":"toe"},"take":"left","sd_px":1}`)
	f.Fuzz(func(t *testing.T, text string) {
		m, err := ParseKeypointMap(strings.NewReader(text))
		if err == nil && (len(m.Keypoints) == 0 || !(m.SD >= 0)) {
			t.Fatalf("map %+v", m)
		}
	})
}
