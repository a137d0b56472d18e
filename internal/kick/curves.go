package kick

import (
	"slices"

	"underkick/internal/body"
	"underkick/internal/series"
)

// signals are the curves for pages.
func (b *builder) signals(kicks []Kick) Signals {
	s := b.travel
	out := Signals{
		T: s.t, Phase: nans(len(s.t)), Speed: s.com.vx, FootSpeed: s.v,
		FacingFoot: s.quality[footPart].c, FacingShank: s.quality[shankPart].c,
		Hip: s.angle[body.HipJoint], Knee: s.angle[body.KneeJoint], Ankle: s.angle[body.AnkleJoint],
		Pitch: s.th[body.Trunk],
	}
	for l, k := range s.lm {
		if k.ok() {
			out.Points[l] = s.relative(k)
		}
	}
	origin := s.origin()
	out.Origin = &Points{X: slices.Clone(origin.x), Y: slices.Clone(origin.y)}
	for _, k := range kicks {
		if k.Number > 0 {
			s.phase(out.Phase, k)
			out.Curves = append(out.Curves, s.curve(&out, k))
		}
	}
	return out
}

// origin is the hip, or the point of the travel line beside the centre of mass where
// there is no hip.
func (s *scene) origin() track {
	if hip := s.lm[body.Hip]; hip.ok() {
		return hip
	}
	return track{x: s.com.x, y: make([]float64, len(s.t))}
}

// relative is a track relative to the origin.
func (s *scene) relative(k track) *Points {
	p := &Points{X: slices.Clone(k.x), Y: slices.Clone(k.y)}
	o := s.origin()
	for i := range p.X {
		p.X[i], p.Y[i] = p.X[i]-o.x[i], p.Y[i]-o.y[i]
	}
	return p
}

// phase writes a kick's phase: 0 at the top, 0.5 at the bottom, 1 at the next
// top, plus the kicks before it.
func (s *scene) phase(out []float64, k Kick) {
	lo, hi := s.span(k.Start, k.End)
	for i := lo; i <= hi; i++ {
		out[i] = float64(k.Number-1) + k.Phase(s.t[i])
	}
}

// curve resamples one kick on the common phase grid.
func (s *scene) curve(all *Signals, k Kick) Curve {
	at := make([]float64, CurveSamples)
	for i := range at {
		at[i] = k.At(float64(i) / (CurveSamples - 1))
	}
	read := func(x []float64) []float64 {
		if x == nil {
			return nil
		}
		return series.Resample(s.t, x, at)
	}
	c := Curve{
		Kick: k.Number, Counted: k.Counted, FootSpeed: read(s.v), FacingFoot: read(all.FacingFoot),
		FacingShank: read(all.FacingShank), Knee: read(all.Knee), Ankle: read(all.Ankle),
	}
	if toe := all.Points[body.Toe]; toe != nil {
		c.ToeX, c.ToeY = read(toe.X), read(toe.Y)
	}
	return c
}
