package filming

import "math"

// Housing is what stands between the lens and the water.
type Housing uint8

// The housings.
const (
	FlatPort Housing = iota // a flat pane just before the lens
	Dome                    // a dome centred on the lens: rays cross it straight
	Window                  // a window in the pool wall, the camera behind it in air
)

// Setup is a camera before a lane. Field, WidthPx, HeightPx and Distance must be
// positive, Field below pi; the methods give NaN otherwise.
type Setup struct {
	Field             float64 // full horizontal angle of view in air, rad
	WidthPx, HeightPx int     // of the picture
	Housing           Housing
	Distance          float64 // water between port or window and the swimmer's plane, m
	Behind            float64 // of a Window: air between lens and pane, m
	PaneWidth         float64 // of a Window: width of the pane, m; 0 = wider than the view
}

// FieldOfLens returns the full angle of view in air, rad, of a rectilinear lens:
// 2 atan(width / (2 focal length)), both in the same unit.
func FieldOfLens(focal, sensorWidth float64) float64 { return 2 * math.Atan(sensorWidth/(2*focal)) }

// FullFrameWidth is the width of the picture, mm, that a '35 mm equivalent' focal
// length refers to. Video often uses less of the sensor and then sees less.
const FullFrameWidth = 36.0

// aspectLimit is how near to edge-on a ray may be, rad, before it is no picture.
const aspectLimit = 89 * math.Pi / 180

// ok reports whether the setup describes a camera.
func (s Setup) ok() bool {
	return s.Field > 0 && s.Field < 2*aspectLimit && s.WidthPx > 0 && s.HeightPx > 0 && s.Distance > 0 && !(s.Behind < 0)
}

// focal is the lens's focal length in px.
func (s Setup) focal() float64 { return float64(s.WidthPx) / 2 / math.Tan(s.Field/2) }

// air is the air between lens and pane that refracts, m.
func (s Setup) air() float64 {
	if s.Housing == Window {
		return s.Behind
	}
	return 0
}

// reach returns how far from the axis, m in the swimmer's plane, a ray leads that
// leaves the lens at the angle a in air, rad:
//
//	dome: d tan a    flat port: d tan w    window: b tan a + d tan w,  sin a = n sin w
//
// with d the way in water and b the air between lens and pane.
func (s Setup) reach(a float64) float64 {
	if s.Housing == Dome {
		return s.Distance * math.Tan(a)
	}
	return s.air()*math.Tan(a) + s.Distance*math.Tan(WaterAngle(a))
}

// slope is the derivative of reach, m/rad: cos a da = n cos w dw.
func (s Setup) slope(a float64) float64 {
	sec := 1 / math.Cos(a)
	if s.Housing == Dome {
		return s.Distance * sec * sec
	}
	w := math.Cos(WaterAngle(a))
	return s.air()*sec*sec + s.Distance*math.Cos(a)/(RefractiveIndex*w*w*w)
}

// Apparent returns the distance, m, at which the swimmer seems to be, that of a
// pinhole without water with the same scale in the middle of the picture: d for a
// dome, d/n behind a flat port, b + d/n behind a window.
func (s Setup) Apparent() float64 {
	if s.Housing == Dome {
		return s.Distance
	}
	return s.air() + s.Distance/RefractiveIndex
}

// half returns the half angle in air, rad, of what is seen to the sides: that of the
// lens, or what the pane leaves of it.
func (s Setup) half() float64 {
	a := s.Field / 2
	if s.Housing == Window && s.PaneWidth > 0 && s.Behind > 0 {
		a = min(a, math.Atan(s.PaneWidth/2/s.Behind))
	}
	return a
}

// Offset returns how far from the middle of the picture, px, a point of the swimmer's
// plane is seen that is x m from the axis (either sign, odd). Solved by bisection to a
// thousandth of a pixel; NaN for a setup that is none.
func (s Setup) Offset(x float64) float64 {
	if !s.ok() {
		return math.NaN()
	}
	lo, hi := 0.0, aspectLimit
	for range 60 {
		mid := (lo + hi) / 2
		if s.reach(mid) < math.Abs(x) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Copysign(s.focal()*math.Tan((lo+hi)/2), x)
}
