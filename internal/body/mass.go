package body

import "math"

// CentreOfMass returns the path of the swimmer's centre of mass, both legs and
// both arms counted, and the landmarks that would have refined it. It is a fixed
// weighted mean of the landmarks (see Weights), so velocities carry over exactly
// where every path used has them, and SD follows from the paths' SDs taken as
// independent (nil if one of them has none).
//
// Needed: Fingertip or Wrist, Shoulder, Hip, Knee, Ankle, Toe. Without one of
// them ok is false, the path is empty and missing names those that are needed:
// callers then follow the hip. Optional: Wrist, Elbow, Head, Rib, Heel. NaN stands
// where one of the landmarks used is NaN; an optional landmark with a gap that the
// needed ones do not have is left aside.
func CentreOfMass(m Motion, s Subject) (path Path, missing []Landmark, ok bool) {
	w, missing, ok := Weights(m, s)
	if !ok {
		return Path{}, missing, false
	}
	return Combine(m, w), missing, true
}

// Weights returns for each landmark its share in the centre of mass; they sum to
// 1. Masses and centres: de Leva 1996, one line per segment between its landmarks
// (shank to the outer malleolus; foot from the heel where it is there, else the
// same fraction from the malleolus). Head: beyond the shoulder on the trunk's line,
// or between crown and shoulder if Head is there. Trunk: mid-shoulder to mid-hip, or
// cut at the rib if Rib is there, half of the middle trunk to each side. Missing and
// ok as for CentreOfMass.
func Weights(m Motion, s Subject) (w [NumLandmarks]float64, missing []Landmark, ok bool) {
	if missing = needed(m); len(missing) > 0 {
		return w, missing, false
	}
	has := usable(m)
	for _, l := range [...]Landmark{Fingertip, Wrist, Elbow, Head, Rib, Heel} {
		if !has[l] {
			missing = append(missing, l)
		}
	}
	k := s.column()
	addArms(&w, has, k)
	addHeadAndTrunk(&w, has, k)
	add := func(l Landmark, v float64) { w[l] += v }
	share(add, Hip, Knee, 2*deLevaThigh.mass[k], deLevaThigh.centre[k])
	share(add, Knee, Ankle, 2*deLevaShankOuter.mass[k], deLevaShankOuter.centre[k])
	foot := Ankle
	if has[Heel] {
		foot = Heel
	}
	share(add, foot, Toe, 2*deLevaFoot.mass[k], deLevaFoot.centre[k])
	normalise(&w)
	return w, missing, true
}

// needed lists the landmarks without which there is no centre of mass.
func needed(m Motion) []Landmark {
	var out []Landmark
	if !m.Has(Fingertip) && !m.Has(Wrist) {
		out = append(out, Fingertip)
	}
	for _, l := range [...]Landmark{Shoulder, Hip, Knee, Ankle, Toe} {
		if !m.Has(l) {
			out = append(out, l)
		}
	}
	return out
}

// usable tells which landmarks are known on every frame on which all needed ones are.
func usable(m Motion) (has [NumLandmarks]bool) {
	hand := Fingertip
	if !m.Has(Fingertip) {
		hand = Wrist
	}
	base := [...]Landmark{hand, Shoulder, Hip, Knee, Ankle, Toe}
	for l := range has {
		has[l] = m.Has(Landmark(l))
	}
	for i := range m.T {
		whole := true
		for _, l := range base {
			whole = whole && !math.IsNaN(m.Paths[l].X[i]+m.Paths[l].Y[i])
		}
		for l, p := range m.Paths {
			if whole && p != nil && math.IsNaN(p.X[i]+p.Y[i]) {
				has[l] = false
			}
		}
	}
	return has
}

// share gives the mass of the segment a-b, with its centre at fraction c from a, to
// its two ends.
func share(add func(Landmark, float64), a, b Landmark, mass, c float64) {
	add(a, mass*(1-c))
	add(b, mass*c)
}

// addArms hands the arms' mass to whatever arm landmarks there are. A missing
// joint is put where it lies on a straight limb of de Leva's proportions.
func addArms(w *[NumLandmarks]float64, has [NumLandmarks]bool, k int) {
	var add func(l Landmark, v float64)
	upper, fore := deLevaLength.upperArm[k], deLevaLength.forearm[k]
	hand := deLevaLength.hand[k]
	add = func(l Landmark, v float64) {
		switch {
		case has[l] || l == Shoulder:
			w[l] += v
		case l == Fingertip && has[Elbow]: // stretch elbow-wrist
			share(add, Elbow, Wrist, v, (fore+hand)/fore)
		case l == Fingertip: // stretch shoulder-wrist
			share(add, Shoulder, Wrist, v, (upper+fore+hand)/(upper+fore))
		case l == Wrist && has[Elbow]:
			share(add, Elbow, Fingertip, v, fore/(fore+hand))
		case l == Wrist:
			share(add, Shoulder, Fingertip, v, (upper+fore)/(upper+fore+hand))
		case l == Elbow && has[Wrist]:
			share(add, Shoulder, Wrist, v, upper/(upper+fore))
		default: // elbow between shoulder and finger tip
			share(add, Shoulder, Fingertip, v, upper/(upper+fore+hand))
		}
	}
	share(add, Shoulder, Elbow, 2*deLevaUpperArm.mass[k], deLevaUpperArm.centre[k])
	share(add, Elbow, Wrist, 2*deLevaForearm.mass[k], deLevaForearm.centre[k])
	share(add, Wrist, Fingertip, 2*deLevaHand.mass[k], deLevaHand.centre[k])
}

// handShare is the hand's share of a stretched arm.
func handShare(k int) float64 {
	l := deLevaLength
	return l.hand[k] / (l.upperArm[k] + l.forearm[k] + l.hand[k])
}

func addHeadAndTrunk(w *[NumLandmarks]float64, has [NumLandmarks]bool, k int) {
	add := func(l Landmark, v float64) { w[l] += v }
	if has[Head] {
		share(add, Head, Shoulder, deLevaHead.mass[k], crownBeyondHead/(crownBeyondHead+headBeyondShoulder))
	} else {
		next := Hip
		if has[Rib] {
			next = Rib
		}
		length := trunkFraction
		if has[Rib] {
			length *= ribAt
		}
		share(add, Shoulder, next, deLevaHead.mass[k], -headBeyondShoulder/length)
	}
	if !has[Rib] {
		share(add, Shoulder, Hip, deLevaTrunk.mass[k], deLevaTrunk.centre[k])
		return
	}
	// The two parts keep the centre of the whole trunk when the spine is straight.
	upper := deLevaUpperTrunk.mass[k] + deLevaMidTrunk.mass[k]/2
	lower := deLevaTrunk.mass[k] - upper
	shift := deLevaTrunk.centre[k] - (upper*ribAt/2+lower*(1+ribAt)/2)/deLevaTrunk.mass[k]
	share(add, Shoulder, Rib, upper, (ribAt/2+shift)/ribAt)
	share(add, Rib, Hip, lower, ((1-ribAt)/2+shift)/(1-ribAt))
}

// normalise takes out the table's rounding, so that a shift of all landmarks shifts
// the centre by as much.
func normalise(w *[NumLandmarks]float64) {
	sum := 0.0
	for _, v := range w {
		sum += v
	}
	for l := range w {
		w[l] /= sum
	}
}

// Combine returns the weighted sum of the landmarks' paths, with velocities and SD
// where every path of non-zero weight has them. Paths of non-zero weight must be
// there; it panics otherwise.
func Combine(m Motion, w [NumLandmarks]float64) Path {
	n := len(m.T)
	out := Path{X: make([]float64, n), Y: make([]float64, n), VX: make([]float64, n), VY: make([]float64, n), SD: make([]float64, n)}
	for l, v := range w {
		if v == 0 {
			continue
		}
		p := m.Paths[l]
		if p == nil {
			panic("body: Combine needs a path that the motion does not have")
		}
		addScaled(out.X, p.X, v)
		addScaled(out.Y, p.Y, v)
		out.VX, out.VY = addOrDrop(out.VX, p.VX, v), addOrDrop(out.VY, p.VY, v)
		if p.SD == nil || out.SD == nil {
			out.SD = nil
			continue
		}
		for i, sd := range p.SD {
			out.SD[i] = math.Hypot(out.SD[i], v*sd)
		}
	}
	return out
}

func addScaled(dst, x []float64, v float64) {
	for i := range dst {
		dst[i] += v * x[i]
	}
}

func addOrDrop(dst, x []float64, v float64) []float64 {
	if dst == nil || x == nil {
		return nil
	}
	addScaled(dst, x, v)
	return dst
}
