package body

// Path is one landmark's positions over the frames of a Motion, in metres in
// the pool plane (x along the pool, y up). All slices have the Motion's length;
// NaN stands where the point is not known.
type Path struct {
	X, Y   []float64 // m
	VX, VY []float64 // m/s, analytic derivatives of a fitted trace; nil where the path must still be filtered and differentiated
	SD     []float64 // standard error per axis, m; nil = not known
}

// Motion is a swimmer's landmarks over time.
type Motion struct {
	T     []float64           // presentation times, s, strictly rising
	Paths [NumLandmarks]*Path // nil where the landmark is absent throughout
}

// Has reports whether landmark l is present at all.
func (m Motion) Has(l Landmark) bool { return m.Paths[l] != nil }

// Sex selects the table of body-segment parameters.
type Sex uint8

// The sexes of the published tables.
const (
	SexUnknown Sex = iota // the male table is used, and a warning says so
	Female
	Male
)

// Subject is what is known of the swimmer's body. Zero means not known.
type Subject struct {
	Height float64 // standing height, m
	Mass   float64 // kg
	Sex    Sex
}
