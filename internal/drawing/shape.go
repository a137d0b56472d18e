package drawing

// Point is a place on a picture, px from its top-left corner, x right, y down.
type Point struct{ X, Y float64 }

// Role says what a shape stands for. The palette gives it its colour.
type Role string

// The roles.
const (
	Casing Role = "casing" // dark line below every other line, so that it shows on any water
	Body   Role = "body"   // segments, joints and landmarks
	Halo   Role = "halo"   // 95 % of the error of a landmark that nobody marked
	Travel Role = "travel" // body line
	Hatch  Role = "hatch"  // backward-facing part of foot and shank
	Path   Role = "path"   // way of the toe
	Speed  Role = "speed"  // ribbon as wide as the foot is fast
	Lead   Role = "lead"   // angle of the feet ahead of the hips
	Label  Role = "label"  // words
)

// Shape is one of Line, Area, Disc and Text.
type Shape interface {
	// through maps the shape into a crop's own px.
	through(c Crop, scale float64) Shape
}

// Line is a stroke through points, with round ends.
type Line struct {
	Role   Role
	Points []Point
	Closed bool
	Width  float64 // px
	Dash   float64 // length of dashes and gaps, px; 0 = unbroken
}

// Area is a filled outline; its last point joins the first.
type Area struct {
	Role   Role
	Points []Point
}

// Disc is a filled disc, or a ring where Width is not 0.
type Disc struct {
	Role  Role
	At    Point
	R     float64 // px, to the middle of a ring's stroke
	Width float64 // of the ring, px; 0 = filled
	Dash  float64 // of the ring, px; 0 = unbroken
}

// Anchor says which part of a text stands at its point.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Text is a line of words; At is on its base line. Text is never mirrored.
type Text struct {
	Role   Role
	At     Point
	Size   float64 // font size, px
	Anchor Anchor
	Words  string
}

func (l Line) through(c Crop, scale float64) Shape {
	l.Points, l.Width, l.Dash = c.points(l.Points, scale), l.Width*scale, l.Dash*scale
	return l
}

func (a Area) through(c Crop, scale float64) Shape {
	a.Points = c.points(a.Points, scale)
	return a
}

func (d Disc) through(c Crop, scale float64) Shape {
	d.At, d.R, d.Width, d.Dash = c.Place(d.At, scale), d.R*scale, d.Width*scale, d.Dash*scale
	return d
}

func (t Text) through(c Crop, scale float64) Shape {
	t.At, t.Size = c.Place(t.At, scale), t.Size*scale
	if c.Mirror {
		t.Anchor = End - t.Anchor
	}
	return t
}
