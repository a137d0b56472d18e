package chart

import "math"

// Plot is a drawing of curves on two linear axes, y up.
type Plot struct {
	Class         string  // class of the svg element besides "chart"
	Title         string  // read to people who do not see the drawing
	Width, Height float64 // px; zero: 640 by 240
	X, Y          Axis
	Equal         bool // one scale for both axes: a path in a plane keeps its shape
	Bands         []Band
	Ribbons       []Ribbon
	Lines         []Line
	Dots          []Dots
	Notes         []Note
	Rules         []Rule
	Parts         []Part
}

// Line is a curve through points. A point that is not finite breaks it.
type Line struct {
	X, Y  []float64
	Class string
	Label string // written at the last point; "" for none
}

// Band is the area between two curves over the same X.
type Band struct {
	X, Low, High []float64
	Class        string
}

// Ribbon is a path with a width that carries a third number.
type Ribbon struct {
	X, Y  []float64
	Width []float64 // px
	Class string
}

// Dots are single points of radius R px.
type Dots struct {
	X, Y  []float64
	R     float64
	Class string
}

// Note is a word at a point, to its right, or to its left where Left is set.
type Note struct {
	X, Y float64
	Text string
	Left bool
}

// Rule is a line across the drawing at one X, with a label at its top. A label
// that would run into the one before it moves to a second row or, where that is
// taken too, to the right.
type Rule struct {
	At    float64
	Label string
	Class string
}

// Part is a stretch of the X axis with a name below it.
type Part struct {
	From, To float64
	Label    string
	Class    string
}

// frame is the place of the axes within a drawing and the two scales.
type frame struct {
	left, right, top, bottom float64 // px
	x, y                     Axis
	sx, sy                   float64 // px per unit
}

func (f frame) px(x float64) float64 { return f.left + (x-f.x.Min)*f.sx }
func (f frame) py(y float64) float64 { return f.bottom - (y-f.y.Min)*f.sy }

func (f frame) map2(xs, ys []float64) (px, py []float64) {
	n := min(len(xs), len(ys))
	px, py = make([]float64, n), make([]float64, n)
	for i := range n {
		px[i], py[i] = f.px(xs[i]), f.py(ys[i])
	}
	return px, py
}

// SVG returns the drawing. Slices of unequal length are drawn as far as the
// shorter one goes.
func (p Plot) SVG() string {
	if p.Width == 0 {
		p.Width = 640
	}
	if p.Height == 0 {
		p.Height = 240
	}
	f := p.layout()
	var d drawing
	d.open(joined("chart", p.Class), p.Width, p.Height, p.Title)
	p.drawParts(&d, f)
	p.drawAxes(&d, f)
	if y := f.py(0); p.Y.Zero && y >= f.top && y <= f.bottom {
		d.line("line zero", f.left, y, f.right, y)
	}
	p.drawRules(&d, f)
	for _, b := range p.Bands {
		d.path(joined("band", b.Class), areaBetween(f, b))
	}
	for _, l := range p.Lines {
		p.drawLine(&d, f, l)
	}
	for _, r := range p.Ribbons {
		xs, ys := f.map2(r.X, r.Y)
		d.path(joined("ribbon", r.Class), ribbonOutline(xs, ys, r.Width))
	}
	for _, g := range p.Dots {
		xs, ys := f.map2(g.X, g.Y)
		for i := range xs {
			if !bad(xs[i]) && !bad(ys[i]) {
				d.circle(joined("dot", g.Class), xs[i], ys[i], g.R)
			}
		}
	}
	for _, n := range p.Notes {
		drawNote(&d, f, n)
	}
	return d.close()
}

func drawNote(d *drawing, f frame, n Note) {
	if bad(n.X) || bad(n.Y) {
		return
	}
	if n.Left {
		d.text("label", "end", f.px(n.X)-8, f.py(n.Y)+4, n.Text)
		return
	}
	d.text("label", "start", f.px(n.X)+8, f.py(n.Y)+4, n.Text)
}

func joined(a, b string) string {
	if b == "" {
		return a
	}
	return a + " " + b
}

func (p Plot) layout() frame {
	f := frame{left: 4, right: p.Width - 4, top: 4, bottom: p.Height - 4}
	if !p.Y.Bare {
		f.left, f.top = 46, 10 // the topmost number stands half above its line
	}
	if !p.X.Bare {
		f.bottom = p.Height - 34
	}
	if len(p.Rules) > 0 {
		f.top = 36
	}
	var xs, ys [][]float64
	for _, l := range p.Lines {
		xs, ys = append(xs, l.X), append(ys, l.Y)
	}
	for _, r := range p.Ribbons {
		xs, ys = append(xs, r.X), append(ys, r.Y)
	}
	for _, b := range p.Bands {
		xs, ys = append(xs, b.X), append(ys, b.Low, b.High)
	}
	for _, g := range p.Dots {
		xs, ys = append(xs, g.X), append(ys, g.Y)
	}
	xlo, xhi := extent(xs...)
	ylo, yhi := extent(ys...)
	f.x = p.X.rounded(xlo, xhi, 6)
	f.y = p.Y.rounded(ylo, yhi, 4)
	f.sx = (f.right - f.left) / (f.x.Max - f.x.Min)
	f.sy = (f.bottom - f.top) / (f.y.Max - f.y.Min)
	if p.Equal {
		f.equalise()
	}
	return f
}

// equalise takes the smaller scale for both axes and centres the data.
func (f *frame) equalise() {
	s := math.Min(f.sx, f.sy)
	grow := func(a *Axis, px float64) {
		extra := px/s - (a.Max - a.Min)
		a.Min -= extra / 2
		a.Max += extra / 2
	}
	grow(&f.x, f.right-f.left)
	grow(&f.y, f.bottom-f.top)
	f.sx, f.sy = s, s
}

func (p Plot) drawAxes(d *drawing, f frame) {
	if !p.Y.Bare {
		ticks := p.Y.Ticks
		if ticks == nil {
			ticks = RoundTicks(f.y.Min, f.y.Max, 5)
		}
		for _, t := range ticks {
			y := f.py(t.At)
			d.line("grid", f.left, y, f.right, y)
			d.text("tick", "end", f.left-6, y+4, t.Text)
		}
		d.upright("axis", 11, (f.top+f.bottom)/2, p.Y.Label)
	}
	if p.X.Bare {
		return
	}
	ticks := p.X.Ticks
	if ticks == nil && len(p.Parts) == 0 {
		ticks = RoundTicks(f.x.Min, f.x.Max, 8)
	}
	for _, t := range ticks {
		x := f.px(t.At)
		d.line("ticks", x, f.bottom, x, f.bottom+4)
		d.text("tick", "middle", x, f.bottom+16, t.Text)
	}
	d.line("ticks", f.left, f.bottom, f.right, f.bottom)
	if p.X.Label != "" {
		d.text("axis", "middle", (f.left+f.right)/2, p.Height-4, p.X.Label)
	}
}

func (p Plot) drawParts(d *drawing, f frame) {
	for _, s := range p.Parts {
		a, b := f.px(s.From), f.px(s.To)
		d.rect(joined("part", s.Class), a, f.top, b-a, f.bottom-f.top)
		d.text("tick", "middle", (a+b)/2, f.bottom+16, s.Label)
	}
}

// labelPx is a generous width of one character of a tick label, px.
const labelPx = 7

func (p Plot) drawRules(d *drawing, f frame) {
	var free [2]float64 // where the next label of each row may start
	for _, r := range p.Rules {
		if bad(r.At) {
			continue
		}
		x := f.px(r.At)
		half := float64(len([]rune(r.Label))) * labelPx / 2
		at := min(max(x, f.left+half), f.right-half)
		row := 1
		if at-half < free[1] && free[0] < free[1] {
			row = 0
		}
		at = max(at, free[row]+half)
		free[row] = at + half + 4
		y := 14 + 16*float64(row)
		d.line(joined("rule", r.Class), x, y+4, x, f.bottom)
		d.text("tick", "middle", at, y, r.Label)
	}
}

func (p Plot) drawLine(d *drawing, f frame, l Line) {
	xs, ys := f.map2(l.X, l.Y)
	d.path(joined("line", l.Class), polyline(xs, ys))
	if l.Label == "" {
		return
	}
	for i := len(xs) - 1; i >= 0; i-- {
		if !bad(xs[i]) && !bad(ys[i]) {
			d.text(joined("label", l.Class), "end", xs[i]-2, ys[i]-6, l.Label)
			return
		}
	}
}

// areaBetween returns the closed outline of a band. Points that are not finite
// are left out.
func areaBetween(f frame, b Band) string {
	n := min(len(b.X), len(b.Low), len(b.High))
	var xs, ys []float64
	for i := range n {
		if !bad(b.Low[i]) && !bad(b.High[i]) {
			xs, ys = append(xs, f.px(b.X[i])), append(ys, f.py(b.High[i]))
		}
	}
	for i := n - 1; i >= 0; i-- {
		if !bad(b.Low[i]) && !bad(b.High[i]) {
			xs, ys = append(xs, f.px(b.X[i])), append(ys, f.py(b.Low[i]))
		}
	}
	if len(xs) < 4 {
		return ""
	}
	return polyline(xs, ys) + "Z"
}
