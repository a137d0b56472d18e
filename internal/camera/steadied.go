package camera

import (
	"fmt"
	"math"
)

// Step is where the camera of a steadied clip had gone at one time.
type Step struct {
	Time float64    // s
	Map  [9]float64 // picture that the view was given for to this one, row by row, for points of the plane
}

// Steadied returns the view of a moving camera from the view of one picture and
// the steps that lead from that picture to the others (see package steady), at
// least one. driftPx is what is left of the motion, px, over a way of wayPx: it
// enters the scale's error as the error of a way between two pictures,
//
//	ScaleRel^2 = given^2 + 2 (driftPx / wayPx)^2
//
// and ResidualPx. Where v has a lens the steps are those of the straight picture. A way that is not positive leaves the scale's error as it was.
// The error tells of a view that itself moves, or of steps that are no picture.
func Steadied(v View, steps []Step, driftPx, wayPx float64) (View, error) {
	if len(v.keys) != 1 {
		return View{}, fmt.Errorf("camera: only the view of a single picture can be steadied; a plane file with several frames says itself how the camera moves")
	}
	keys := make([]KeyView, len(steps))
	for i, s := range steps {
		h := matrix(s.Map).mul(v.keys[0].toPic)
		inv, ok := h.inverse()
		if !ok {
			return View{}, fmt.Errorf("camera: the step at %.4f s is no picture of the plane", s.Time)
		}
		keys[i] = KeyView{Time: s.Time, View: View{keys: []key{{toPic: h, toPln: inv}}}}
	}
	out, err := Moving(keys)
	if err != nil {
		return View{}, err
	}
	out.errs, out.lens = v.errs, v.lens
	out.errs.ResidualPx = math.Hypot(out.errs.ResidualPx, driftPx)
	if wayPx > 0 {
		out.errs.ScaleRel = math.Hypot(out.errs.ScaleRel, math.Sqrt2*driftPx/wayPx)
	}
	return out, nil
}
