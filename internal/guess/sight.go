package guess

import (
	"math"

	"underkick/internal/guess/network"
)

// place is a point of the body that the network sees on both sides.
type place int

// The places, from the hands to the feet.
const (
	knuckle place = iota // of the index finger
	wrist
	elbow
	shoulder
	ear
	hip
	knee
	ankle
	heel
	toe

	places = iota
)

// networkPoint is the number of the network's point for each place: left, right.
var networkPoint = [places][2]int{
	knuckle: {19, 20}, wrist: {15, 16}, elbow: {13, 14}, shoulder: {11, 12}, ear: {7, 8},
	hip: {23, 24}, knee: {25, 26}, ankle: {27, 28}, heel: {29, 30}, toe: {31, 32},
}

// view is one place on one side: where it is in the picture (px) and how far
// the network believes it can be seen, 0 to 1.
type view struct{ X, Y, Visible float64 }

// sight is one frame as the network saw it through a crop.
type sight struct {
	Frame  int             `json:"frame"`
	Mirror bool            `json:"mirror,omitempty"`
	Points [places][2]view `json:"points"`
}

func newSight(frame int, c crop, pts [network.Points]network.Point) sight {
	s := sight{Frame: frame, Mirror: c.mirror}
	for p, sides := range networkPoint {
		for k, i := range sides {
			at := c.toPicture(pts[i].X, pts[i].Y)
			s.Points[p][k] = view{round(at.x, 100), round(at.y, 100), round(pts[i].Visible, 1000)}
		}
	}
	return s
}

// round keeps what is written to the cache and what is used the same.
func round(x, per float64) float64 { return math.Round(x*per) / per }

// merged returns a place with both sides made one. Limbs that lie side by side
// share their place and the mean is steadier than either; of the arms the far
// one is often guessed wildly, so there the side that is seen better counts.
func (s *sight) merged(p place) xy {
	a, b := s.Points[p][0], s.Points[p][1]
	wa, wb := 1.0, 1.0
	if p <= elbow {
		wa, wb = a.Visible*a.Visible*a.Visible+1e-6, b.Visible*b.Visible*b.Visible+1e-6
	}
	w := wa + wb
	return xy{(wa*a.X + wb*b.X) / w, (wa*a.Y + wb*b.Y) / w}
}

// length is the distance from the toes to the knuckles, px.
func (s *sight) length() float64 {
	a, b := s.merged(knuckle), s.merged(toe)
	return math.Hypot(a.x-b.x, a.y-b.y)
}

// split is the mean distance between the two sides of knee, ankle, heel and
// toe as a part of the body's length. Both legs kick together, so it is small
// where the network sees the swimmer as he is.
func (s *sight) split() float64 {
	sum := 0.0
	for _, p := range [...]place{knee, ankle, heel, toe} {
		sum += math.Hypot(s.Points[p][0].X-s.Points[p][1].X, s.Points[p][0].Y-s.Points[p][1].Y)
	}
	return sum / 4 / s.length()
}
