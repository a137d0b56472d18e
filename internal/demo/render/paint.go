package render

import (
	"math"

	"underkick/internal/body"
)

// Suit is what a swimmer wears.
type Suit uint8

// The suits.
const (
	Jammer   Suit = iota // waist to above the knee
	OnePiece             // shoulders to the groin
	KneeSuit             // shoulders to above the knee
)

// Look is a swimmer's outside.
type Look struct {
	Skin, Suit, Trim, Cap RGB
	Wears                 Suit
	Lens                  RGB // of the goggles
}

// coat returns the colour of the body at a place along it (m, of the body of 1.80 m)
// and around the section, and how much it shines.
func (l *Look) coat(p part, s, phi float64) (vec, float64) {
	back := math.Sin(phi) // 1 on the back, -1 on the front
	switch p {
	case headPart:
		return l.headCoat(s, phi, back)
	case nearArm, farArm:
		return l.skin(s, phi, p), 0.10
	case nearLeg, farLeg:
		return l.legCoat(s, phi, p)
	}
	return l.trunkCoat(s, phi, back)
}

// skin varies a little over the body, redder at knees, elbows, heels and hands.
func (l *Look) skin(s, phi float64, p part) vec {
	v := 1 + 0.05*math.Sin(37*s+3*phi) + 0.035*math.Sin(91*s-7*phi)
	base := l.Skin.vec().scale(v)
	if p == nearLeg || p == farLeg {
		red := 0.25*math.Exp(-sq((s+0.44)/0.04)) + 0.30*smooth(-0.86, -0.93, s)
		base = base.times(vec{1 + 0.15*red, 1 - 0.30*red, 1 - 0.30*red})
		// the nails and the pale sole
		base = base.scale(1 + 0.22*smooth(-0.87, -0.92, s)*smooth(0.2, 0.9, math.Sin(phi)))
		return base
	}
	hand := 0.35 * smooth(1.05, 1.12, s)
	return base.times(vec{1 + 0.1*hand, 1 - 0.2*hand, 1 - 0.2*hand})
}

func sq(x float64) float64 { return x * x }

func (l *Look) legCoat(s, phi float64, p part) (vec, float64) {
	hem := -0.27 + 0.01*math.Cos(phi)
	if l.Wears == OnePiece {
		hem = 0.035 - 0.11*math.Cos(phi)*smooth(-1.2, 1.4, phi)
	}
	if s > hem {
		return l.cloth(s, phi), 0.22
	}
	skin := l.skin(s, phi, p)
	if s > hem-0.006 { // the hem presses in
		skin = skin.scale(0.86)
	}
	return skin, 0.10
}

// cloth is the suit with a stripe of trim along the side.
func (l *Look) cloth(s, phi float64) vec {
	stripe := smooth(0.16, 0.12, math.Abs(phi-0.18))
	sheen := 1 + 0.12*math.Sin(23*s+5*phi)
	return l.Suit.vec().scale(sheen).mix(l.Trim.vec(), 0.8*stripe)
}

func (l *Look) trunkCoat(s, phi, back float64) (vec, float64) {
	top := 0.105 + 0.012*back // waist of a jammer
	if l.Wears != Jammer {
		top = 0.47 - 0.20*smooth(0.1, 0.95, back) // low at the back
	}
	if s < top {
		return l.Suit.vec(), 0.22
	}
	skin := l.skin(s, phi, trunkPart)
	if l.Wears == Jammer { // ribs, shoulder blade and the side of the chest
		skin = skin.scale(1 + 0.05*math.Sin(95*s)*smooth(0.20, 0.26, s)*smooth(0.42, 0.36, s)*smooth(0.5, -0.2, math.Abs(back+0.2)))
	}
	return skin, 0.10
}

func (l *Look) headCoat(s, phi, back float64) (vec, float64) {
	along := s - jointAt[body.Shoulder] // from the shoulder towards the crown
	rim := 0.108 - 0.055*back           // the cap's edge from the brow to the nape
	strap := math.Abs(along-0.125-0.012*back) < 0.0065
	if sq((along-0.124)/0.017)+sq((phi+0.95)/0.30) < 1 {
		return l.Lens.vec(), 0.8
	}
	switch {
	case strap && back > -0.85:
		return vec{0.03, 0.03, 0.035}, 0.2
	case along > rim:
		col := l.Cap.vec()
		if math.Abs(along-0.165) < 0.012 {
			col = col.mix(l.Trim.vec(), 0.7)
		}
		return col, 0.35
	}
	col := l.skin(s, phi, headPart)
	if sq((along-0.043)/0.006)+sq((phi+1.3)/0.35) < 1 { // mouth
		col = col.times(vec{0.75, 0.5, 0.5})
	}
	return col, 0.10
}
