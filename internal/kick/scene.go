package kick

import (
	"math"

	"underkick/internal/body"
)

// noLandmark stands for a landmark that is not there.
const noLandmark = body.Landmark(body.NumLandmarks)

// track is a point's path on the grid with its velocity; x is nil where the
// point is absent throughout.
type track struct{ x, y, vx, vy []float64 }

func (k track) ok() bool { return k.x != nil }

// scene is a swimmer on the grid and the curves derived from the landmarks. It
// is filled in place so that the error draws reuse its memory.
type scene struct {
	grid
	lm  [body.NumLandmarks]track
	com track // centre of mass, or the hip where it cannot be had

	th, om      [body.NumSegments][]float64 // inclination, rad, and its rate, rad/s
	angle, rate [body.NumJoints][]float64   // joint angles, rad, and rates, rad/s
	lead        []float64                   // hip-ankle direction against the trunk, ventral +, rad
	v, v2       []float64                   // its speed, m/s, and the square
	quality     [2]facing                   // foot, shank
	footW       []float64                   // normal velocity of the foot's middle, m/s
	footSin     []float64                   // sine of the foot's inclination
}

// facing holds one segment's curves for facing.
type facing struct {
	c   []float64 // backward-facing part, 0..1
	w2  []float64 // squared normal velocity at mid-segment, m2/s2
	cw2 []float64
}

// Indexes of scene.quality.
const (
	footPart = iota
	shankPart
)

// like makes room for a scene with the same grid and landmarks as s.
func (s *scene) like() *scene {
	o := &scene{grid: s.grid}
	for l, k := range s.lm {
		if k.ok() {
			o.lm[l] = newTrack(len(s.t))
		}
	}
	return o
}

func newTrack(n int) track {
	return track{make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)}
}

// copyFrom copies the landmarks of o, which has the same ones.
func (s *scene) copyFrom(o *scene) {
	for l, k := range o.lm {
		if k.ok() {
			copy(s.lm[l].x, k.x)
			copy(s.lm[l].y, k.y)
			copy(s.lm[l].vx, k.vx)
			copy(s.lm[l].vy, k.vy)
		}
	}
}

// centre fills com from the landmarks' shares in the centre of mass; where the
// shares are nil, with the best single point near it. ok is false if there is
// none.
func (s *scene) centre(shares *[body.NumLandmarks]float64) (ok bool) {
	if shares == nil {
		l := s.anchor()
		if l == noLandmark {
			return false
		}
		one := [body.NumLandmarks]float64{}
		one[l] = 1
		shares = &one
	}
	n := len(s.t)
	if !s.com.ok() {
		s.com = newTrack(n)
	}
	for i := 0; i < n; i++ {
		var x, y, vx, vy float64
		for l, w := range shares {
			if w != 0 {
				k := &s.lm[l]
				x, y, vx, vy = x+w*k.x[i], y+w*k.y[i], vx+w*k.vx[i], vy+w*k.vy[i]
			}
		}
		s.com.x[i], s.com.y[i], s.com.vx[i], s.com.vy[i] = x, y, vx, vy
	}
	return true
}

// anchor is the point nearest to the centre of mass that there is.
func (s *scene) anchor() body.Landmark {
	for _, l := range [...]body.Landmark{body.Hip, body.Rib, body.Shoulder, body.Knee, body.Head, body.Ankle, body.Toe} {
		if s.lm[l].ok() {
			return l
		}
	}
	return noLandmark
}

// turn moves every track into the frame of a line through (x0, y0) at angle a:
// x along it, y across it.
func (s *scene) turn(l line) {
	sin, cos := math.Sincos(l.angle)
	for i := range s.lm {
		s.lm[i].turn(l, sin, cos)
	}
	s.com.turn(l, sin, cos)
}

func (k *track) turn(l line, sin, cos float64) {
	for i := range k.x {
		x, y := k.x[i]-l.x, k.y[i]-l.y
		k.x[i], k.y[i] = cos*x+sin*y, cos*y-sin*x
		k.vx[i], k.vy[i] = cos*k.vx[i]+sin*k.vy[i], cos*k.vy[i]-sin*k.vx[i]
	}
}

// derive fills the segment angles, joint angles and rates, and the curves of the
// three qualities, as far as their landmarks are there.
func (s *scene) derive() {
	for g := range s.th {
		s.segment(body.Segment(g))
	}
	s.joint(body.ShoulderJoint, body.Arms, body.Trunk)
	s.joint(body.HipJoint, body.Thighs, body.Trunk)
	s.joint(body.KneeJoint, body.Thighs, body.Shanks)
	s.joint(body.AnkleJoint, body.Feet, body.Shanks)
	s.leading()
	s.footSpeed()
	s.face(footPart, body.Feet)
	s.face(shankPart, body.Shanks)
}

// ends returns the tracks at a segment's ends; arms reach to the wrist where
// there is no finger tip.
func (s *scene) ends(g body.Segment) (a, b *track, ok bool) {
	la, lb := g.Ends()
	if la == body.Fingertip && !s.lm[la].ok() {
		la = body.Wrist
	}
	a, b = &s.lm[la], &s.lm[lb]
	return a, b, a.ok() && b.ok()
}

// segment fills a segment's inclination, continuous over the frames, and its
// rate (a x b) / |d|^2 from the velocities of its ends.
func (s *scene) segment(g body.Segment) {
	a, b, ok := s.ends(g)
	if !ok {
		return
	}
	s.th[g], s.om[g] = room(s.th[g], len(s.t)), room(s.om[g], len(s.t))
	inclination(a, b, s.th[g], s.om[g])
}

func inclination(a, b *track, th, om []float64) {
	last := math.NaN()
	for i := range th {
		dx, dy := a.x[i]-b.x[i], a.y[i]-b.y[i]
		v := math.Atan2(dy, dx)
		if !math.IsNaN(last) {
			v = last + body.Wrap(v-last)
		}
		th[i] = v
		om[i] = (dx*(a.vy[i]-b.vy[i]) - dy*(a.vx[i]-b.vx[i])) / (dx*dx + dy*dy)
		if !math.IsNaN(v) {
			last = v
		}
	}
}

// joint fills a joint angle, plus minus minus, continuous from a first value in
// (-pi, pi].
func (s *scene) joint(j body.Joint, plus, minus body.Segment) {
	a, b := s.th[plus], s.th[minus]
	if a == nil || b == nil {
		return
	}
	s.angle[j], s.rate[j] = room(s.angle[j], len(s.t)), room(s.rate[j], len(s.t))
	shift := math.NaN()
	for i := range a {
		d := a[i] - b[i]
		if math.IsNaN(shift) && !math.IsNaN(d) {
			shift = body.Wrap(d) - d
		}
		s.angle[j][i] = d + shift
		s.rate[j][i] = s.om[plus][i] - s.om[minus][i]
	}
}

// leading fills the direction from hip to ankle against the trunk line.
func (s *scene) leading() {
	hip, ankle := &s.lm[body.Hip], &s.lm[body.Ankle]
	if !hip.ok() || !ankle.ok() || s.th[body.Trunk] == nil {
		return
	}
	s.lead = room(s.lead, len(s.t))
	for i := range s.lead {
		s.lead[i] = body.Wrap(math.Atan2(hip.y[i]-ankle.y[i], hip.x[i]-ankle.x[i]) - s.th[body.Trunk][i])
	}
}

// footSpeed fills the speed of the foot centre relative to the hip.
func (s *scene) footSpeed() {
	hip, ankle, toe := &s.lm[body.Hip], &s.lm[body.Ankle], &s.lm[body.Toe]
	if !hip.ok() || !ankle.ok() || !toe.ok() {
		return
	}
	s.v, s.v2 = room(s.v, len(s.t)), room(s.v2, len(s.t))
	for i := range s.v {
		vx := (ankle.vx[i]+toe.vx[i])/2 - hip.vx[i]
		vy := (ankle.vy[i]+toe.vy[i])/2 - hip.vy[i]
		s.v2[i] = vx*vx + vy*vy
		s.v[i] = math.Sqrt(s.v2[i])
	}
}

// face fills one segment's curves for facing: c = max(0, sgn(w) sin th) with w
// the normal velocity of its middle, normal = (-sin th, cos th).
func (s *scene) face(part int, g body.Segment) {
	a, b, ok := s.ends(g)
	if !ok {
		return
	}
	f := &s.quality[part]
	n := len(s.t)
	f.c, f.w2, f.cw2 = room(f.c, n), room(f.w2, n), room(f.cw2, n)
	if g == body.Feet {
		s.footW, s.footSin = room(s.footW, n), room(s.footSin, n)
	}
	for i := range f.c {
		sin, cos := math.Sincos(s.th[g][i])
		w := cos*(a.vy[i]+b.vy[i])/2 - sin*(a.vx[i]+b.vx[i])/2
		c := math.Max(0, math.Copysign(1, w)*sin)
		f.c[i], f.w2[i], f.cw2[i] = c, w*w, c*w*w
		if g == body.Feet {
			s.footW[i], s.footSin[i] = w, sin
		}
	}
}

// room returns x if it has n values, else a new slice.
func room(x []float64, n int) []float64 {
	if len(x) == n {
		return x
	}
	return make([]float64, n)
}
