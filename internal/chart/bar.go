package chart

import "math"

// Bar is one number on a line: the band as a thick stretch, the value as a
// knob, a reference range as a bracket above it and earlier values as ticks
// below it.
type Bar struct {
	Class     string
	Title     string  // read to people who do not see the drawing
	Width     float64 // px; zero: 240
	Value     float64 // NaN: only the range and the ticks are drawn
	Low, High float64 // ends of the band; NaN or equal: no band
	Range     *Range  // nil: no bracket
	Earlier   []float64
	Min, Max  float64 // ends of the line; equal: chosen to hold everything
}

// Range is a reference range. An end that is NaN is open.
type Range struct{ Low, High float64 }

// barHeight is the height of the drawing, px.
const barHeight = 34.0

// SVG returns the drawing.
func (b Bar) SVG() string {
	if b.Width == 0 {
		b.Width = 240
	}
	lo, hi := b.ends()
	left, right := 6.0, b.Width-6
	at := func(x float64) float64 {
		return min(max(left+(x-lo)/(hi-lo)*(right-left), left), right)
	}
	const y = 18.0
	var d drawing
	d.open(joined("bar", b.Class), b.Width, barHeight, b.Title)
	d.line("track", left, y, right, y)
	b.drawBracket(&d, at, left, right)
	if !bad(b.Low) && !bad(b.High) && b.High > b.Low {
		d.rect("spread", at(b.Low), y-4, at(b.High)-at(b.Low), 8)
	}
	for _, e := range b.Earlier {
		if !bad(e) {
			d.line("earlier", at(e), y+6, at(e), y+13)
		}
	}
	if !bad(b.Value) {
		d.circle("knob", at(b.Value), y, 5)
	}
	return d.close()
}

// drawBracket draws the reference range above the line. A side without a limit
// runs to the end of the line and has no hook.
func (b Bar) drawBracket(d *drawing, at func(float64) float64, left, right float64) {
	if b.Range == nil || bad(b.Range.Low) && bad(b.Range.High) {
		return
	}
	const top, hook = 5.0, 11.0
	from, to := left, right
	if !bad(b.Range.Low) {
		from = at(b.Range.Low)
		d.line("bracket", from, top, from, hook)
	}
	if !bad(b.Range.High) {
		to = at(b.Range.High)
		d.line("bracket", to, top, to, hook)
	}
	d.line("bracket", from, top, to, top)
}

// ends returns the ends of the line: the given ones, or those that hold every
// number with a margin of a tenth.
func (b Bar) ends() (lo, hi float64) {
	if b.Min != b.Max {
		return b.Min, b.Max
	}
	shown := []float64{b.Value, b.Low, b.High}
	if b.Low == b.High { // no band
		shown = shown[:1]
	}
	if b.Range != nil {
		shown = append(shown, b.Range.Low, b.Range.High)
	}
	lo, hi = extent(shown, b.Earlier)
	if !(lo <= hi) {
		return 0, 1
	}
	span := hi - lo
	if size := math.Max(math.Abs(lo), math.Abs(hi)); span <= 1e-9*size || size == 0 {
		span = math.Max(size/5, 1e-6)
	}
	return lo - span/10, hi + span/10
}
