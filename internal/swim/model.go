package swim

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/hydro"
)

// Model is a swimmer's body in water.
type Model struct {
	Subject body.Subject
	Chain   body.Chain
	Coef    hydro.Coefficients

	n      int // links: body.NumSegments, and one more where the trunk bends
	links  [maxLinks]body.Link
	strips [maxLinks]*hydro.Strip
}

// Where the trunk bends at the rib, link body.Trunk is the part below it, whose pitch is
// the body's, and the last link is the part above it.
const (
	chest    = body.NumSegments
	maxLinks = body.NumSegments + 1
)

// Bends reports whether the trunk bends at the rib: six segments instead of five.
func (m *Model) Bends() bool { return m.n > body.NumSegments }

// ModelOptions may refine a model; the zero value is the reference model.
type ModelOptions struct {
	Lengths body.Lengths        // measured segment lengths, m; zero = from height
	Coef    *hydro.Coefficients // nil = hydro.Default()
	// Rib, if above 0, is the rib's place as a share of the trunk from the shoulder: the
	// trunk then bends there and kicks may move the spine. 0 = a stiff trunk.
	Rib float64
}

// Shares of the drag area along the body: our choice, by wetted surface. A trunk that bends
// shares its own between chest and waist.
var dragShare = [maxLinks]float64{body.Arms: 0.20, body.Trunk: 0.45, body.Thighs: 0.15, body.Shanks: 0.10, body.Feet: 0.10}

const (
	chestShare = 0.30
	waistShare = 0.15
)

// NewModel returns the model of a subject. Height and Mass must be known (it panics
// otherwise: call Complete first). The drag area along the body is
//
//	ActiveFactor PassiveArea (mass/75)^(2/3)
func NewModel(s body.Subject, opt ModelOptions) *Model {
	m := &Model{Subject: s, Chain: body.NewChain(s, opt.Lengths), Coef: hydro.Default()}
	if opt.Coef != nil {
		m.Coef = *opt.Coef
	}
	area, share := m.DragArea(), dragShare
	m.n = copy(m.links[:], m.Chain[:])
	if opt.Rib > 0 {
		trunk := &m.Chain[body.Trunk]
		trunk.Cut = opt.Rib * trunk.Length
		m.links[chest], m.links[body.Trunk] = body.CutTrunk(s, trunk.Length, opt.Rib)
		share[chest], share[body.Trunk] = chestShare, waistShare
		m.n++
	}
	for g, link := range m.links[:m.n] {
		so := hydro.StripOptions{Added: m.Coef.AddedRest, Normal: m.Coef.NormalTrunk, Area: area * share[g], Surge: m.Coef.Surge * link.Mass}
		breadth := 1.0
		switch body.Segment(g) {
		case body.Thighs, body.Shanks:
			so.Normal = m.Coef.NormalLegs
		case body.Feet:
			so.Added, so.Normal = m.Coef.AddedFeet, m.Coef.NormalFeet
			breadth = m.Coef.FootBreadth
		}
		z, b := make([]float64, len(link.Breadth)), make([]float64, len(link.Breadth))
		for i, st := range link.Breadth {
			z[i], b[i] = st.Z, breadth*st.B
		}
		m.strips[g] = hydro.NewStrip(z, b, so)
	}
	return m
}

// DragArea returns the drag area along the body while kicking, before the personal
// drag factor, m2.
func (m *Model) DragArea() float64 {
	return m.Coef.ActiveFactor * m.Coef.PassiveArea * math.Pow(m.Subject.Mass/75, 2.0/3)
}
