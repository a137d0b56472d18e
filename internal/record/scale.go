package record

import (
	"encoding/json"
	"math"

	"underkick/internal/camera"
)

// ScaleKind is how pixels become metres; empty = not chosen yet.
type ScaleKind string

// The kinds of scale.
const (
	KnownLength ScaleKind = "known-length" // something of known length in the swimmer's plane
	Plane       ScaleKind = "plane"        // points of known place in the swimmer's plane
	BodyHeight  ScaleKind = "height"       // the swimmer's own height, the fallback
)

// Scale says how the pixels of a run become metres. Fields of another kind
// than Kind are ignored but kept, so that changing back loses nothing.
type Scale struct {
	Kind     ScaleKind       `json:"-"`
	LengthM  float64         `json:"length_m,omitempty"` // known length, m
	Frame    int             `json:"frame,omitempty"`    // picture its ends were marked on
	PointsPx [2][2]float64   `json:"points_px"`          // its two ends, px
	Plane    json.RawMessage `json:"plane,omitempty"`    // text of a plane file, see camera.ParsePlane
	// Lens bends the picture under a known length and a plane alike; nil = that of the plane's text, if any.
	Lens   *camera.PlaneLens `json:"lens,omitempty"`
	Steady bool              `json:"steady,omitempty"` // the camera moved: what was set on one picture follows it
}

// Known reports whether a length or points were given.
func (s Scale) Known() bool { return s.Kind == KnownLength || s.Kind == Plane }

// PlaneEntries reads the plane's text; Lens, where there is one, stands in place of the text's.
func (s Scale) PlaneEntries() ([]camera.PlaneEntry, error) {
	entries, err := camera.ParsePlane(s.Plane)
	if err == nil && s.Lens != nil {
		entries[0].Lens = s.Lens
	}
	return entries, err
}

// SeenThrough returns the lens of the scale: its own, else that of the plane's text where a
// plane is chosen; nil = none.
func (s Scale) SeenThrough() *camera.PlaneLens {
	if s.Lens != nil || s.Kind != Plane {
		return s.Lens
	}
	entries, err := camera.ParsePlane(s.Plane)
	if err != nil {
		return nil // Validate tells of it
	}
	return entries[0].Lens
}

// Validate returns nil or Faults of scale, length_m (0.05 to 100), points_px
// (at least 10 px apart), plane, lens.
func (s Scale) Validate() error {
	var f Faults
	s.faults(&f)
	return f.err()
}

func (s Scale) faults(f *Faults) {
	oneOf(f, "scale", s.Kind, KnownLength, Plane, BodyHeight)
	if len(s.Plane) > 0 && !json.Valid(s.Plane) {
		f.add("plane", "is not JSON")
		return
	}
	for _, v := range []float64{s.LengthM, s.PointsPx[0][0], s.PointsPx[0][1], s.PointsPx[1][0], s.PointsPx[1][1]} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			f.add("scale", "holds %g; every number must be finite", v)
			return
		}
	}
	if _, _, err := s.Lens.Lens(); err != nil {
		f.add("lens", "cannot be used: %v", err)
		return
	}
	switch s.Kind {
	case KnownLength:
		if !(s.LengthM >= 0.05 && s.LengthM <= 100) {
			f.add("length_m", "is %g m; it must lie between 0.05 and 100 m", s.LengthM)
		}
		if s.Frame < 0 {
			f.add("scale", "was marked on picture %d; pictures count from 0", s.Frame)
		}
		a, b := s.PointsPx[0], s.PointsPx[1]
		if d := math.Hypot(a[0]-b[0], a[1]-b[1]); !(d >= 10) {
			f.add("points_px", "lie %.1f px apart; mark both ends of the length", d)
		}
		if _, err := camera.FromLength(1, s.PointsPx, s.Lens); err != nil && s.Lens != nil {
			f.add("points_px", "cannot be used: %v", err)
		}
	case Plane:
		entries, err := s.PlaneEntries()
		if err == nil && s.Lens != nil {
			_, err = entries[0].View() // the text alone was tried without this lens
		}
		if err != nil {
			f.add("plane", "%v", err)
		}
	}
}
