package camera

import (
	"fmt"
	"math"
)

// PlaneLens is the lens as a plane file gives it: points along lines that are straight
// in the pool, or the two terms themselves, not both.
type PlaneLens struct {
	PicturePx [2]float64 `json:"picture_px"`         // width and height of the picture that all px count in
	LinesPx   []Line     `json:"lines_px,omitempty"` // lines of LinePoints points or more, see FitLens
	K1        *float64   `json:"k1,omitempty"`       // see Lens
	K2        *float64   `json:"k2,omitempty"`
	K1SD      float64    `json:"k1_sd,omitempty"` // standard errors, 0 = taken as exact; as if they were independent
	K2SD      float64    `json:"k2_sd,omitempty"`
}

// Lens returns the lens and what is to be said about it; the zero Lens of nil. Errors
// wrap ErrLens.
func (p *PlaneLens) Lens() (l Lens, note string, err error) {
	if p == nil {
		return Lens{}, "", nil
	}
	terms := p.K1 != nil || p.K2 != nil
	switch {
	case terms && len(p.LinesPx) > 0:
		return Lens{}, "", lensError("both lines_px and k1, k2 are given; give one of them")
	case !terms && (p.K1SD != 0 || p.K2SD != 0):
		return Lens{}, "", lensError("k1_sd and k2_sd go with k1 and k2; lines_px have their own errors")
	case !terms:
		fit, err := FitLens(p.LinesPx, p.PicturePx[0], p.PicturePx[1])
		return fit.Lens, fit.Words(), err
	case !(p.K1SD >= 0 && p.K1SD <= 10 && p.K2SD >= 0 && p.K2SD <= 10):
		return Lens{}, "", lensError("k1_sd is %g and k2_sd %g; standard errors lie between 0 and 10", p.K1SD, p.K2SD)
	}
	l, err = NewLens(p.PicturePx[0], p.PicturePx[1], orZero(p.K1), orZero(p.K2))
	l.Cov = [3]float64{p.K1SD * p.K1SD, 0, p.K2SD * p.K2SD}
	return l, "", err
}

// FromLength returns the view of a camera square to the swimmer's plane in which the two
// ends of a length of lengthM metres are seen at endsPx, px, through a lens; nil = none. It is FromScale of
// the straight picture: the picture's horizontal is the plane's. Errors wrap ErrLens or
// tell of ends that fall together, or that the lens cannot undo.
func FromLength(lengthM float64, endsPx [2][2]float64, lens *PlaneLens) (View, error) {
	l, note, err := lens.Lens()
	if err != nil {
		return View{}, err
	}
	x0, y0 := l.Straight(endsPx[0][0], endsPx[0][1])
	x1, y1 := l.Straight(endsPx[1][0], endsPx[1][1])
	scale := lengthM / math.Hypot(x1-x0, y1-y0)
	if !(scale > 0) || math.IsInf(scale, 0) {
		return View{}, pointsError("the ends of the length fall together, or lie farther out than the lens can be undone")
	}
	return FromScale(scale).through(l, note), nil
}

func orZero(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}

// Words tells what was found in a sentence or two.
func (f LensFit) Words() string {
	shift, se := f.Lens.EdgePx()
	out := fmt.Sprintf("The lens bends: the marked lines lay %.1f px beside straight ones, with the lens taken out %.1f px; at the picture's side it moves %.0f px, give or take %.0f.",
		f.BeforePx, f.AfterPx, shift, 2*se)
	for _, n := range f.Notes {
		out += " " + n
	}
	return out
}
