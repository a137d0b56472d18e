package drawing

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/kick"
	"underkick/internal/kick/kicktest"
)

const pxPerM = 300.0

// reference is the swimmer of package kicktest over 2.6 s, seen by a camera that
// stands still, with the hip near the middle of the picture.
func reference(t testing.TB) *Run {
	t.Helper()
	swimmer := kicktest.Reference()
	m := swimmer.Fitted(kicktest.Times(0, 2.6, 120))
	for l := range m.Paths {
		for i := range m.Paths[l].X {
			m.Paths[l].X[i] += 1.6
			m.Paths[l].Y[i] -= 1.2
		}
	}
	r, err := kick.MeasureRun(t.Context(), m, swimmer.Subject, kick.Options{Draws: -1})
	if err != nil {
		t.Fatal(err)
	}
	return &Run{Motion: m, View: camera.FromScale(1 / pxPerM), Result: r}
}

var wide = Frame{WidthPx: 1920, HeightPx: 720}

// at is the picture nearest to a moment of a kick.
func (r *Run) at(t float64) int { return Nearest(r.Motion.T, t) }

func layer(t testing.TB, s Scene, id LayerID) []Shape {
	t.Helper()
	for _, l := range s.Layers {
		if l.ID == id {
			return l.Shapes
		}
	}
	t.Fatalf("no layer %s", id)
	return nil
}

func lines(shapes []Shape, role Role) []Line {
	var out []Line
	for _, s := range shapes {
		if l, ok := s.(Line); ok && l.Role == role {
			out = append(out, l)
		}
	}
	return out
}

// TestFacingStripLiesBehindAndInProportion checks the strip of a foot that swims to the
// right (+x) with toes up and back: the hatched side must look back (towards -x) and be
// as long as the part says.
func TestFacingStripLiesBehindAndInProportion(t *testing.T) {
	ankle, toe := Point{100, 100}, Point{80, 70}
	for _, c := range []struct{ swims, backX float64 }{{1, -1}, {-1, 1}} {
		s, ok := facingStrip(ankle, toe, 0.4, Point{c.swims, 0}, 10)
		if !ok {
			t.Fatal("no strip")
		}
		if whole := math.Hypot(20, 30); math.Abs(dist(s[0], s[1])-0.4*whole) > 1e-9 {
			t.Errorf("strip is %v long, want %v", dist(s[0], s[1]), 0.4*whole)
		}
		if s[0] != toe {
			t.Errorf("strip starts at %v, want the toe", s[0])
		}
		if side := (s[3].X - s[0].X) * c.backX; side <= 0 {
			t.Errorf("swimming %v the strip lies on the front side", c.swims)
		}
	}
	if s, _ := facingStrip(ankle, toe, 1.7, Point{1, 0}, 10); math.Abs(dist(s[0], s[1])-dist(ankle, toe)) > 1e-9 {
		t.Errorf("more than all of the segment is hatched: %v", dist(s[0], s[1]))
	}
}

func dist(p, q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// TestHatchesStayInTheStripAndAreEven: every line of the hatching lies in the strip, its
// ends on the edges, and lines are one step apart along the strip.
func TestHatchesStayInTheStripAndAreEven(t *testing.T) {
	strip := [4]Point{{0, 0}, {30, 0}, {30, 8}, {0, 8}}
	got := hatching(strip, 5)
	if len(got) != 7 { // s = 5, 10 ... 35 < 30 + 8
		t.Fatalf("%d lines, want 7", len(got))
	}
	for i, l := range got {
		s := 5 * float64(i+1)
		for _, p := range l {
			if p.X < 0 || p.X > 30 || p.Y < 0 || p.Y > 8 || math.Abs(p.X+p.Y-s) > 1e-9 {
				t.Errorf("line %d runs through %v; want x + y = %v inside 30 by 8", i, p, s)
			}
		}
	}
	if hatching([4]Point{}, 5) != nil {
		t.Error("a strip without length is hatched")
	}
}

// TestHatchIsAsLongAsTheSegmentFacesBack holds, at every moment of the downkick, the
// hatched length on foot and shank against the facing that was measured there.
func TestHatchIsAsLongAsTheSegmentFacesBack(t *testing.T) {
	r := reference(t)
	k := r.Result.Kicks[1]
	seen := 0
	for i := r.at(k.Start); i <= r.at(k.Bottom); i++ {
		foot, shank := r.Result.Signals.FacingAt(r.Motion.T[i])
		edges := lines(layer(t, r.Scene(i, 0, wide), FacingLayer), Hatch)
		var strips []Line
		for _, l := range edges {
			if l.Closed {
				strips = append(strips, l)
			}
		}
		var want []float64
		for _, s := range []struct {
			from, to body.Landmark
			part     float64
		}{{body.Knee, body.Ankle, shank}, {body.Ankle, body.Toe, foot}} {
			if s.part > 0 {
				want = append(want, s.part*dist(r.seen(i, s.from), r.seen(i, s.to)))
			}
		}
		if len(strips) != len(want) {
			t.Fatalf("picture %d: %d strips, want %d", i, len(strips), len(want))
		}
		for j, s := range strips {
			seen++
			if got := dist(s.Points[0], s.Points[1]); math.Abs(got-want[j]) > 1e-6 {
				t.Errorf("picture %d: strip %v px long, want %v", i, got, want[j])
			}
		}
	}
	if seen < 20 {
		t.Errorf("only %d strips in a downkick", seen)
	}
}

// seen is where a landmark is on a picture by the scale alone.
func (r *Run) seen(i int, l body.Landmark) Point {
	return Point{r.Motion.Paths[l].X[i] * pxPerM, -r.Motion.Paths[l].Y[i] * pxPerM}
}

func TestWithheldFacingIsNotDrawn(t *testing.T) {
	r := reference(t)
	for i := range r.Result.Summary {
		if m := &r.Result.Summary[i]; m.ID == "facing" {
			m.Value = math.NaN()
		}
	}
	if got := layer(t, r.Scene(r.at(r.Result.Kicks[1].Moments.Fastest), 0, wide), FacingLayer); got != nil {
		t.Errorf("%d shapes of a facing that is withheld", len(got))
	}
}

// posed is a run of one kick in which the swimmer holds one posture: shoulder 1 m ahead
// of the hip, the ankle 0.9 m behind it and 20 degrees to the front side.
func posed(turned, supine bool) *Run {
	sx, sy := 1.0, 1.0
	if turned {
		sx = -1
	}
	if supine {
		sy = -1
	}
	sin, cos := math.Sincos(20 * math.Pi / 180)
	m := body.Motion{T: []float64{0, 0.1, 0.2, 0.3, 0.4}}
	for l, p := range map[body.Landmark]Point{body.Shoulder: {1, 0}, body.Hip: {0, 0}, body.Ankle: {-0.9 * cos, -0.9 * sin}} {
		path := &body.Path{}
		for range m.T {
			path.X, path.Y = append(path.X, 2+sx*p.X), append(path.Y, -1+sy*p.Y)
		}
		m.Paths[l] = path
	}
	k := kick.Kick{Number: 1, Start: 0, Bottom: 0.2, End: 0.4, Values: map[string]float64{"end_lead": 20}}
	k.Moments.Finish = 0.2
	return &Run{
		Motion: m, View: camera.FromScale(1 / pxPerM),
		Result: &kick.Result{Kicks: []kick.Kick{k}, Line: kick.Line{Along: [2]float64{sx, 0}, Turned: turned, Supine: supine}},
	}
}

// TestLeadAngleIsTheAngleOfThePose: the arc spans the constructed 20 degrees between
// the trunk line carried on and the line to the ankle, whichever way the swimmer swims.
func TestLeadAngleIsTheAngleOfThePose(t *testing.T) {
	for _, turned := range []bool{false, true} {
		for _, supine := range []bool{false, true} {
			r := posed(turned, supine)
			shapes := layer(t, r.Scene(2, Only(LeadLayer), wide), LeadLayer)
			if span := arcSpan(t, shapes, r.seen(2, body.Hip)); math.Abs(span-20) > 1e-6 {
				t.Errorf("turned %v, supine %v: the arc spans %v°, want 20", turned, supine, span)
			}
			words, ok := shapes[len(shapes)-1].(Text)
			if !ok || words.Words != "feet ahead" {
				t.Errorf("the angle says %q", words.Words)
			}
			still := wide
			still.Still = true
			if got := layer(t, r.Scene(1, Only(LeadLayer), still), LeadLayer); got != nil {
				t.Error("a still beside the finish shows the angle of the finish")
			}
			for _, far := range []int{0, 4} {
				if got := layer(t, r.Scene(far, Only(LeadLayer), wide), LeadLayer); got != nil {
					t.Errorf("the angle is drawn at picture %d, far from the finish", far)
				}
			}
		}
	}
}

// arcSpan is the angle between the ends of the last line of the lead layer, degrees.
func arcSpan(t *testing.T, shapes []Shape, hip Point) float64 {
	t.Helper()
	all := lines(shapes, Lead)
	if len(all) != 3 {
		t.Fatalf("%d lines, want trunk line, leg and arc", len(all))
	}
	arc := all[2].Points
	a, _ := hip.towards(arc[0])
	b, _ := hip.towards(arc[len(arc)-1])
	return math.Abs(body.Wrap(math.Atan2(b.Y, b.X)-math.Atan2(a.Y, a.X))) * 180 / math.Pi
}

// TestLeadAngleAgreesWithTheMeasure holds the arc at the finish against end_lead, which
// package kick computes between the pictures.
func TestLeadAngleAgreesWithTheMeasure(t *testing.T) {
	r := reference(t)
	for _, k := range r.Result.Kicks {
		if k.Number == 0 {
			continue
		}
		i := r.at(k.Moments.Finish)
		span := arcSpan(t, layer(t, r.Scene(i, Only(LeadLayer), wide), LeadLayer), r.seen(i, body.Hip))
		if want := k.Values["end_lead"]; math.Abs(span-want) > 0.5 { // half a picture at 120 per second turns the legs by less
			t.Errorf("kick %d: the arc spans %.2f°, end_lead is %.2f°", k.Number, span, want)
		}
	}
}

// TestRibbonIsAsWideAsTheFootIsFast measures the ribbon across at every picture.
func TestRibbonIsAsWideAsTheFootIsFast(t *testing.T) {
	r := reference(t)
	k := r.Result.Kicks[1]
	f := wide
	f.Pen = 1.5
	i := r.at(k.Bottom)
	shapes := layer(t, r.Scene(i, Only(SpeedLayer), f), SpeedLayer)
	var area *Area
	for _, s := range shapes {
		if a, ok := s.(Area); ok {
			area = &a
		}
	}
	if area == nil {
		t.Fatal("no ribbon")
	}
	n := len(area.Points) / 2
	if want := i - r.at(k.Start) + 1; n != want {
		t.Fatalf("the ribbon has %d samples, want %d", n, want)
	}
	for j := range n {
		got := dist(area.Points[j], area.Points[2*n-1-j])
		want := PensPerSpeed * 1.5 * r.Result.Signals.FootSpeedAt(r.Motion.T[r.at(k.Start)+j])
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("sample %d is %v px wide, want %v", j, got, want)
		}
		middle := Point{(area.Points[j].X + area.Points[2*n-1-j].X) / 2, (area.Points[j].Y + area.Points[2*n-1-j].Y) / 2}
		if off := dist(middle, r.seen(r.at(k.Start)+j, body.Toe)); off > 1e-6 {
			t.Errorf("sample %d lies %v px off the toe's path", j, off)
		}
	}
}

func TestRibbonOutlineBreaksWhereSpeedIsUnknown(t *testing.T) {
	way := []Point{{0, 0}, {10, 0}, {20, 0}, {30, 0}, {40, 0}}
	got := ribbonOutlines(way, []float64{2, 4, math.NaN(), 6, 8})
	want := [][]Point{{{0, 1}, {10, 2}, {10, -2}, {0, -1}}, {{30, 3}, {40, 4}, {40, -4}, {30, -3}}}
	if len(got) != 2 {
		t.Fatalf("%d pieces, want 2", len(got))
	}
	for i := range want {
		for j := range want[i] {
			if dist(got[i][j], want[i][j]) > 1e-12 {
				t.Errorf("piece %d: %v, want %v", i, got[i], want[i])
			}
		}
	}
}

// TestPathStaysInTheWater: a toe that rests in the water while the camera pans is one
// point of the path on every picture, wherever the camera looks.
func TestPathStaysInTheWater(t *testing.T) {
	r := posed(false, false)
	toe := &body.Path{}
	for range r.Motion.T {
		toe.X, toe.Y = append(toe.X, 3), append(toe.Y, -2)
	}
	r.Motion.Paths[body.Toe] = toe
	var keys []camera.KeyView
	for _, at := range []struct{ t, left float64 }{{0, 1}, {0.4, 1.8}} {
		v, err := camera.FromPoints(
			[][2]float64{{0, 0}, {1200, 0}, {1200, 600}, {0, 600}},
			[][2]float64{{at.left, 0}, {at.left + 4, 0}, {at.left + 4, -2}, {at.left, -2}})
		if err != nil {
			t.Fatal(err)
		}
		keys = append(keys, camera.KeyView{Time: at.t, View: v})
	}
	view, err := camera.Moving(keys)
	if err != nil {
		t.Fatal(err)
	}
	r.View = view
	var places []Point
	for _, i := range []int{1, 3} {
		way := lines(layer(t, r.Scene(i, Only(PathLayer), wide), PathLayer), Path)
		if len(way) != 1 || len(way[0].Points) != i+1 {
			t.Fatalf("picture %d: path %v, want %d points", i, way, i+1)
		}
		for _, p := range way[0].Points {
			if dist(p, way[0].Points[0]) > 1e-6 {
				t.Errorf("picture %d: a resting toe's path runs from %v to %v", i, way[0].Points[0], p)
			}
		}
		places = append(places, way[0].Points[0])
	}
	if pan := places[0].X - places[1].X; math.Abs(pan-0.4*300) > 1e-6 { // 0.8 m in 0.4 s, 300 px/m, 0.2 s apart
		t.Errorf("the path moves %v px on the picture while the camera pans 0.4 m, want 120", pan)
	}
}

// TestPathIsThatOfTheKickUpToNow counts its points and holds its end against the toe.
func TestPathIsThatOfTheKickUpToNow(t *testing.T) {
	r := reference(t)
	k := r.Result.Kicks[2]
	i := r.at(k.Moments.Fastest)
	scene := r.Scene(i, Only(PathLayer, RestLayer), wide)
	way, rest := lines(layer(t, scene, PathLayer), Path)[0].Points, lines(layer(t, scene, RestLayer), Path)[0].Points
	if len(way) != i-r.at(k.Start)+1 || len(rest) != r.at(k.End)-i+1 {
		t.Errorf("%d points so far and %d to come", len(way), len(rest))
	}
	if toe := r.seen(i, body.Toe); dist(way[len(way)-1], toe) > 1e-6 || dist(rest[0], toe) > 1e-6 {
		t.Errorf("the path ends at %v and goes on at %v, the toe is at %v", way[len(way)-1], rest[0], toe)
	}
}

// TestLandmarksShowWhatIsKnownOfThem: marked, filled in, doubtful and missing ones.
func TestLandmarksShowWhatIsKnownOfThem(t *testing.T) {
	r := posed(false, false)
	r.Motion.Paths[body.Ankle].SD = []float64{0, 0, 0.02, 0, 0} // body on the picture 1.9 m: 1.5 % is 28 mm
	r.Motion.Paths[body.Shoulder].SD = []float64{0, 0, 0.04, 0, 0}
	r.Motion.Paths[body.Knee] = &body.Path{X: nans(5), Y: nans(5)}
	r.Marked = func(i int, l body.Landmark) bool { return i == 2 && l == body.Hip }
	f := wide
	f.Pen = 1
	var filled, rings, halos, dashed int
	for _, s := range layer(t, r.Scene(2, Only(BodyLayer), f), BodyLayer) {
		switch d, ok := s.(Disc); {
		case !ok:
		case d.Role == Body && d.Width == 0:
			filled++
			if dist(d.At, r.seen(2, body.Hip)) > 1e-9 {
				t.Errorf("the filled disc is at %v, not at the marked hip", d.At)
			}
		case d.Role == Body:
			rings++
		case d.Role == Halo:
			halos++
			want := map[bool]float64{false: 1.96 * 0.02 * pxPerM, true: 1.96 * 0.04 * pxPerM}[d.Dash > 0]
			if math.Abs(d.R-want) > 0.01 {
				t.Errorf("halo of %v px, want 95 %%: %v", d.R, want)
			}
			if d.Dash > 0 {
				dashed++
			}
		}
	}
	if filled != 1 || rings != 2 || halos != 2 || dashed != 1 {
		t.Errorf("%d marked, %d filled in, %d halos of which %d doubtful; want 1, 2, 2, 1", filled, rings, halos, dashed)
	}
}

func nans(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.NaN()
	}
	return out
}

func TestNothingUnknownReachesTheFile(t *testing.T) {
	r := reference(t)
	for _, l := range []body.Landmark{body.Wrist, body.Heel, body.Knee} {
		r.Motion.Paths[l] = &body.Path{X: nans(len(r.Motion.T)), Y: nans(len(r.Motion.T))}
	}
	toe := r.Motion.Paths[body.Toe]
	k := r.Result.Kicks[1]
	for i := r.at(k.Start) + 4; i < r.at(k.Start)+9; i++ {
		toe.X[i] = math.NaN()
	}
	for i := range r.Motion.T {
		if svg := SVG(r.Scene(i, All(), wide), Sheet{WidthPx: 1920, HeightPx: 720}); strings.Contains(svg, "NaN") {
			t.Fatalf("picture %d holds NaN", i)
		}
	}
}

// TestMirroredCropMirrorsShapesAndNotWords: a mirrored scene, mirrored again by hand, is
// the scene; words keep their order and stay where they are read.
func TestMirroredCropMirrorsShapesAndNotWords(t *testing.T) {
	r := reference(t)
	i := r.at(r.Result.Kicks[1].Moments.Finish)
	f := wide
	f.Kick, f.Crop = r.Result.Kicks[1].Number, Crop{X: 100, Y: 50, W: 640, H: 480}
	plain := r.Scene(i, All(), f).Through(f.Crop, 320)
	f.Crop.Mirror = true
	mirrored := r.Scene(i, All(), f).Through(f.Crop, 320)
	words := 0
	for n, l := range plain.Layers {
		for j, shape := range l.Shapes {
			switch s := shape.(type) {
			case Line:
				for h, p := range s.Points {
					if q := mirrored.Layers[n].Shapes[j].(Line).Points[h]; math.Abs(p.X+q.X-320) > 1e-9 || math.Abs(p.Y-q.Y) > 1e-9 {
						t.Fatalf("%s: %v became %v", l.ID, p, q)
					}
				}
			case Text:
				words++
				m := mirrored.Layers[n].Shapes[j].(Text)
				if m.Words != s.Words || m.Anchor != s.Anchor {
					t.Errorf("%s: %q anchored %v became %q anchored %v", l.ID, s.Words, s.Anchor, m.Words, m.Anchor)
				}
				if l.ID != LeadLayer && dist(m.At, s.At) > 1e-9 {
					t.Errorf("%s: words moved from %v to %v", l.ID, s.At, m.At)
				}
			}
		}
	}
	if words != 3 {
		t.Errorf("%d words, want count, clock and angle", words)
	}
}

func TestCountAndClock(t *testing.T) {
	r := reference(t)
	k := r.Result.Kicks[1]
	of := fmt.Sprintf("kick %d of %d", k.Number, len(r.Result.Signals.Curves))
	for _, c := range []struct {
		t     float64
		words string
	}{{k.Moments.Fastest, of + ", downkick"}, {k.Moments.FastestUp, of + ", upkick"}} {
		i := r.at(c.t)
		s := r.Scene(i, Only(CountLayer, ClockLayer), wide)
		if got := layer(t, s, CountLayer)[0].(Text).Words; got != c.words {
			t.Errorf("at %.2f s it says %q, want %q", c.t, got, c.words)
		}
		if got, want := layer(t, s, ClockLayer)[0].(Text).Words, fmt.Sprintf("%.2f s", r.Motion.T[i]); got != want {
			t.Errorf("the clock says %q, want %q", got, want)
		}
	}
}

func TestSwitches(t *testing.T) {
	var usual Switches
	if got := usual.String(); got != "body,facing,body-line" {
		t.Errorf("the usual layers are %q", got)
	}
	for _, c := range []struct {
		text, back string
	}{{"", "body,facing,body-line"}, {"none", "none"}, {"speed, clock", "speed,clock"}, {"all", All().String()}} {
		sw, err := ParseSwitches(c.text)
		if err != nil || sw.String() != c.back {
			t.Errorf("%q became %q, %v; want %q", c.text, sw, err, c.back)
		}
		if again, err := ParseSwitches(sw.String()); err != nil || again != sw {
			t.Errorf("%q read back is %q, %v", sw, again, err)
		}
	}
	if _, err := ParseSwitches("body,glow"); err == nil || !strings.Contains(err.Error(), "toe-path") {
		t.Errorf("an unknown layer: %v, want the list of layers", err)
	}
	for _, l := range Layers() {
		if !All().On(l.ID) || None().On(l.ID) || !None().With(l.ID, true).On(l.ID) || usual.On(l.ID) != l.Usual {
			t.Errorf("layer %s does not switch", l.ID)
		}
	}
	r := reference(t)
	if got := len(r.Scene(20, Only(ClockLayer), wide).Layers); got != 1 {
		t.Errorf("%d layers drawn, want the clock alone", got)
	}
	f := wide
	f.KeepOff = true
	for _, l := range r.Scene(20, Only(ClockLayer), f).Layers {
		if l.Off == (l.ID == ClockLayer) {
			t.Errorf("layer %s is off: %v", l.ID, l.Off)
		}
	}
}

// BenchmarkScene draws one picture with every layer on, as a clip with the drawing in it
// asks for.
func BenchmarkScene(b *testing.B) {
	r := reference(b)
	i := r.at(r.Result.Kicks[1].Moments.Finish)
	b.ReportAllocs()
	for b.Loop() {
		r.Scene(i, All(), wide)
	}
}

// TestNoMeasureStandsInPictures: a number without its band is not shown, and there is no
// room for bands in a picture. Only counts and the clock are written.
func TestNoMeasureStandsInPictures(t *testing.T) {
	r := reference(t)
	allowed := regexp.MustCompile(`^(feet ahead|(kick \d+ of \d+|part of a kick), (down|up)kick|\d+\.\d\d s)$`)
	seen := map[string]bool{}
	for i := range r.Motion.T {
		for _, l := range r.Scene(i, All(), wide).Layers {
			for _, shape := range l.Shapes {
				text, ok := shape.(Text)
				if !ok {
					continue
				}
				seen[strings.Fields(text.Words)[0]] = true
				if !allowed.MatchString(text.Words) {
					t.Fatalf("picture %d says %q", i, text.Words)
				}
			}
		}
	}
	if !seen["feet"] || !seen["kick"] {
		t.Errorf("seen only %v: the test asks too little", seen)
	}
}
