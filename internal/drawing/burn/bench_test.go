package burn

import (
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"testing"

	"underkick/internal/drawing"
)

// swimmer is a scene as full as a clip with every layer: a body of ten landmarks,
// the body line, the toe's way of half a kick at 120 pictures a second with its
// ribbon, hatching, and words.
func swimmer(w, h float64) drawing.Scene {
	pen := w / 320
	cased := func(l drawing.Line) []drawing.Shape {
		below := l
		below.Role, below.Width = drawing.Casing, l.Width+2.2*pen
		return []drawing.Shape{below, l}
	}
	var body, way, ribbon []drawing.Point
	for i := range 10 {
		body = append(body, pt(w*(0.85-0.06*float64(i)), h*(0.5+0.05*math.Sin(float64(i)))))
	}
	for i := range 40 {
		f := float64(i) / 40
		way = append(way, pt(w*(0.25+0.1*f), h*(0.5+0.15*math.Cos(3*f))))
	}
	for i, p := range way {
		ribbon = append(ribbon, pt(p.X, p.Y-pen*float64(i)/8))
	}
	for i := len(way) - 1; i >= 0; i-- {
		ribbon = append(ribbon, pt(way[i].X, way[i].Y+pen*float64(i)/8))
	}
	line := cased(drawing.Line{Role: drawing.Travel, Points: []drawing.Point{pt(-w, h/2), pt(2*w, h/2)}, Width: pen, Dash: 6 * pen})
	path := cased(drawing.Line{Role: drawing.Path, Points: way, Width: 1.6 * pen})
	speed := []drawing.Shape{
		drawing.Line{Role: drawing.Casing, Points: ribbon, Closed: true, Width: 1.6 * pen},
		drawing.Area{Role: drawing.Speed, Points: ribbon},
	}
	figure := cased(drawing.Line{Role: drawing.Body, Points: body, Width: 1.4 * pen})
	for _, p := range body {
		figure = append(figure,
			drawing.Disc{Role: drawing.Halo, At: p, R: 7 * pen, Width: 1.4 * pen, Dash: 3 * pen},
			drawing.Disc{Role: drawing.Casing, At: p, R: 3 * pen, Width: 3 * pen},
			drawing.Disc{Role: drawing.Body, At: p, R: 3 * pen, Width: 1.3 * pen})
	}
	var facing []drawing.Shape
	for i := range 12 {
		facing = append(facing, drawing.Line{Role: drawing.Hatch, Points: []drawing.Point{
			pt(body[8].X+float64(i)*3*pen, body[8].Y), pt(body[8].X+float64(i+2)*3*pen, body[8].Y+10*pen),
		}, Width: 1.3 * pen})
	}
	words := []drawing.Shape{
		drawing.Text{Role: drawing.Label, At: pt(8*pen, 20*pen), Size: 12 * pen, Words: "kick 2 of 6, downkick"},
		drawing.Text{Role: drawing.Label, At: pt(w-8*pen, 20*pen), Size: 12 * pen, Anchor: drawing.End, Words: "1.23 s"},
	}
	var s drawing.Scene
	for _, shapes := range [][]drawing.Shape{line, path, speed, figure, facing, words} {
		s.Layers = append(s.Layers, drawing.Layer{Shapes: shapes})
	}
	return s
}

// TestNothingIsAllocatedPerPicture draws one scene again and again, as a clip does.
func TestNothingIsAllocatedPerPicture(t *testing.T) {
	img, s := water(960, 540), swimmer(960, 540)
	var b Burner
	b.Scene(img, s)
	n := testing.AllocsPerRun(20, func() {
		b.Scene(img, s)
		b.Soften(img, 700, 270, 40)
	})
	if n > 4 {
		t.Errorf("%g allocations a picture", n)
	}
	if dir := os.Getenv("UNDERKICK_LOOK"); dir != "" { // to be looked at
		f, err := os.Create(dir + "/burnt.png")
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if err := png.Encode(f, img); err != nil {
			t.Fatal(err)
		}
	}
}

func BenchmarkScene(b *testing.B) {
	for _, size := range []image.Point{{960, 540}, {1920, 1080}} {
		b.Run(fmt.Sprintf("%dx%d", size.X, size.Y), func(b *testing.B) {
			img, s := water(size.X, size.Y), swimmer(float64(size.X), float64(size.Y))
			var w Burner
			b.ReportAllocs()
			for b.Loop() {
				w.Scene(img, s)
			}
		})
	}
}

func BenchmarkSoften(b *testing.B) {
	for _, size := range []image.Point{{960, 540}, {1920, 1080}} {
		b.Run(fmt.Sprintf("%dx%d", size.X, size.Y), func(b *testing.B) {
			img := water(size.X, size.Y)
			var w Burner
			b.ReportAllocs()
			for b.Loop() {
				w.Soften(img, float64(size.X)/2, float64(size.Y)/2, float64(size.X)/24)
			}
		})
	}
}
