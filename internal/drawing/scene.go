package drawing

// Scene is everything drawn on one picture, bottom layer first.
type Scene struct{ Layers []Layer }

// Layer is one thing that can be switched on and off.
type Layer struct {
	ID     LayerID
	Words  string  // what it shows
	Off    bool    // switched off: kept for a page that switches, not to be drawn
	Shapes []Shape // bottom first
}

// Crop is the part of a picture that is shown, px, and whether it is shown
// mirrored (left and right exchanged). It may reach beyond the picture.
type Crop struct {
	X, Y, W, H float64
	Mirror     bool
}

// Through maps a scene into a crop's own px, counted from the crop's top-left
// corner as shown: widthPx is how wide the crop is shown, 0 = as wide as it is.
// A mirrored crop mirrors the shapes; words stay readable. It panics unless
// c.W is positive.
func (s Scene) Through(c Crop, widthPx float64) Scene {
	if !(c.W > 0) {
		panic("drawing: a crop needs a width")
	}
	scale := 1.0
	if widthPx > 0 {
		scale = widthPx / c.W
	}
	out := Scene{Layers: make([]Layer, len(s.Layers))}
	for i, l := range s.Layers {
		shapes := make([]Shape, len(l.Shapes))
		for j, shape := range l.Shapes {
			shapes[j] = shape.through(c, scale)
		}
		l.Shapes = shapes
		out.Layers[i] = l
	}
	return out
}

// place maps a point of the picture into the crop's own px.
func (c Crop) Place(p Point, scale float64) Point {
	x := p.X - c.X
	if c.Mirror {
		x = c.W - x
	}
	return Point{x * scale, (p.Y - c.Y) * scale}
}

func (c Crop) points(ps []Point, scale float64) []Point {
	out := make([]Point, len(ps))
	for i, p := range ps {
		out[i] = c.Place(p, scale)
	}
	return out
}

// at returns the point that lies dx to the right and dy below the crop's
// top-left corner as it is shown.
func (c Crop) at(dx, dy float64) Point {
	if c.Mirror {
		dx = c.W - dx
	}
	return Point{c.X + dx, c.Y + dy}
}
