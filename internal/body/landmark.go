package body

import "fmt"

// Landmark is one of the body points that are marked or traced in a side view
// with both legs together. The zero value is Fingertip.
type Landmark uint8

// The landmarks, from the finger tips to the toes. Needed for the measures:
// Fingertip or Wrist, Shoulder, Hip, Knee, Ankle, Toe; the others refine them.
const (
	Fingertip Landmark = iota // end of the longest finger of the upper hand
	Wrist                     // middle of the wrist seen from the side
	Elbow                     // middle of the elbow seen from the side
	Shoulder                  // centre of the shoulder joint seen from the side
	Head                      // crown of the head
	Rib                       // side of the lowest rib
	Hip                       // greater trochanter
	Knee                      // outer condyle of the knee
	Ankle                     // outer malleolus
	Heel                      // back of the heel
	Toe                       // tip of the big toe, of the nearer foot when feet part

	// NumLandmarks is the number of landmark ids.
	NumLandmarks = iota
)

var landmarkNames = [NumLandmarks]string{
	"fingertip", "wrist", "elbow", "shoulder", "head", "rib",
	"hip", "knee", "ankle", "heel", "toe",
}

// String returns the landmark's id as it stands in files and pages, such as "hip".
func (l Landmark) String() string {
	if int(l) >= NumLandmarks {
		return fmt.Sprintf("landmark(%d)", uint8(l))
	}
	return landmarkNames[l]
}

// ParseLandmark returns the landmark whose id is name (lower case, exact).
func ParseLandmark(name string) (Landmark, error) {
	for i, n := range landmarkNames {
		if n == name {
			return Landmark(i), nil
		}
	}
	return 0, fmt.Errorf("unknown landmark %q; the landmarks are %v", name, landmarkNames)
}

// Mark is a landmark placed on one frame by a person (or read from a table).
// X and Y are in pixels of the upright, square-pixel picture, counted from its
// top-left corner, x right and y down; inside trace they may instead be in the
// pool plane.
type Mark struct {
	Frame    int      // index of the picture within the clip
	Time     float64  // presentation time of the frame, s
	Landmark Landmark // which point
	X, Y     float64  // position
	SD       float64  // standard error per axis in the unit of X and Y; 0 = not known
}
