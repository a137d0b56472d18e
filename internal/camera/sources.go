package camera

import "math"

// Standard errors of a view. All are judgement unless a source is named; a
// caller who knows better puts better ones in with View.WithErrors.
const (
	// KnownLengthScaleRel is the relative standard error of a scale read off a
	// known length: 1.5 %. It holds the clicks on its two ends and the distance
	// between its plane and the swimmer's: an object d in front of or behind a
	// plane at distance D is scaled by D/(D +- d), 4 % for 0.2 m at 5 m.
	KnownLengthScaleRel = 0.015

	// BodyHeightScaleRel is the relative standard error of a scale taken from
	// the swimmer's height: 4 %. Segment lengths scatter by a few per cent
	// around their share of height, and marks sit on the skin.
	BodyHeightScaleRel = 0.04

	// PlanePlacementRel is what a rectangle still leaves open: a swimmer 5 cm
	// out of a plane 5 m away is seen 1 % too large or too small.
	PlanePlacementRel = 0.01

	// ClickPx is the standard error of a carefully placed calibration point,
	// per axis. It is the floor under the residual of a homography, which four
	// points always meet exactly.
	ClickPx = 1.0
)

// Standard errors of roll, the turn of the picture's horizontal against the
// water's.
const (
	DefaultRoll   = 1.0 * math.Pi / 180 // of a picture with a plain scale, rad
	RectangleRoll = 0.5 * math.Pi / 180 // of a rectangle taken as level (tile lines, a hung frame), rad
)
