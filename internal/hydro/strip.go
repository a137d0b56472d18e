package hydro

import "math"

// Strip is one rigid segment in water.
type Strip struct {
	Length        float64 // m
	Mu0, Mu1, Mu2 float64 // integrals over z of the added mass per length times 1, z, z2: kg, kg m, kg m2
	Cranial       float64 // added mass per length at z = 0, kg/m
	Caudal        float64 // added mass per length at z = Length, kg/m
	Surge         float64 // water carried along the segment, kg
	Along         float64 // 1/2 rho times the drag area along the segment, kg/m

	z, k           []float64 // Gauss points and 1/2 rho Cn b weight there, kg/m
	k0, k1, k2, k3 float64   // integrals of 1/2 rho Cn b times 1, z, z2, z3
}

// StripOptions are a strip's coefficients.
type StripOptions struct {
	Density float64 // kg/m3; 0 = Density
	Added   float64 // added mass over that of an ellipse moving across its breadth, rho pi b2/4
	Normal  float64 // normal drag coefficient
	Area    float64 // drag area along the segment, m2
	Surge   float64 // water carried along the segment, kg
}

// Gauss-Legendre points and weights of order four on (-1, 1).
var gauss4 = [4][2]float64{
	{-0.8611363115940526, 0.3478548451374538},
	{-0.3399810435848563, 0.6521451548625461},
	{0.3399810435848563, 0.6521451548625461},
	{0.8611363115940526, 0.3478548451374538},
}

// NewStrip returns the strip whose breadth is b (m) at the distances z (m, rising
// from 0 at the cranial end to the length), linear between. Integrals use four Gauss
// points on each piece: exact for the added mass, whose moments are polynomials of
// degree four, and for normal drag wherever w keeps its sign on the piece. It panics
// unless z and b have the same length of two or more and z rises from 0.
func NewStrip(z, b []float64, opt StripOptions) *Strip {
	if len(z) != len(b) || len(z) < 2 || z[0] != 0 {
		panic("hydro: a strip needs as many breadths as distances, from 0")
	}
	rho := opt.Density
	if rho == 0 {
		rho = Density
	}
	added := func(b float64) float64 { return opt.Added * rho * math.Pi * b * b / 4 }
	last := len(z) - 1
	s := &Strip{Length: z[last], Surge: opt.Surge, Along: rho * opt.Area / 2, Cranial: added(b[0]), Caudal: added(b[last])}
	for i := range last {
		half := (z[i+1] - z[i]) / 2
		if !(half > 0) {
			panic("hydro: a strip's distances must rise")
		}
		for _, g := range gauss4 {
			at := z[i] + half*(1+g[0])
			breadth := b[i] + (b[i+1]-b[i])*(1+g[0])/2
			m := added(breadth) * g[1] * half
			s.Mu0 += m
			s.Mu1 += m * at
			s.Mu2 += m * at * at
			s.z = append(s.z, at)
			k := rho * opt.Normal * breadth * g[1] * half / 2
			s.k = append(s.k, k)
			s.k0, s.k1, s.k2, s.k3 = s.k0+k, s.k1+k*at, s.k2+k*at*at, s.k3+k*at*at*at
		}
	}
	return s
}

// Carried returns the momentum of the water carried by the strip, along e and n
// (N s), and its moment about C (N m s), for u and w at C and the rate om:
//
//	along = Surge u, across = mu0 w - mu1 om, moment = -(mu1 w - mu2 om)
func (s *Strip) Carried(u, w, om float64) (along, across, moment float64) {
	return s.Surge * u, s.Mu0*w - s.Mu1*om, s.Mu2*om - s.Mu1*w
}

// NormalDrag returns the drag across the strip: the force along n (N), its moment
// about C (N m) and the power lost (W, not negative),
//
//	dF = -1/2 rho Cn b |w| w dz
//
// Where w keeps its sign over the whole strip the integrals are polynomials in w and om
// with fixed moments of the breadth; elsewhere they are sums over the Gauss points.
func (s *Strip) NormalDrag(w, om float64) (force, moment, loss float64) {
	if end := w - s.Length*om; w*end >= 0 {
		sign := math.Copysign(1, w+end)
		force = -sign * (w*(s.k0*w-2*s.k1*om) + s.k2*om*om)
		moment = sign * (w*(s.k1*w-2*s.k2*om) + s.k3*om*om)
		return force, moment, -force*w - moment*om
	}
	z, k := s.z, s.k[:len(s.z)]
	for i, at := range z {
		v := w - at*om
		f := k[i] * math.Abs(v) * v
		force -= f
		moment += at * f
	}
	return force, moment, -force*w - moment*om
}

// AlongDrag returns the drag along the strip, the force along e, N:
//
//	F = -1/2 rho CdA |u| u
//
// It acts on the strip's own line, so it has no moment about C.
func (s *Strip) AlongDrag(u float64) float64 { return -s.Along * math.Abs(u) * u }

// Flux returns the momentum that crosses a section towards the feet with the
// pressure there, N along e and n, for the added mass per length m at that section:
//
//	-m u w n + 1/2 m w2 e
func Flux(m, u, w float64) (along, across float64) { return m * w * w / 2, -m * u * w }

// Shedding returns how much of the flux leaves at the trailing edge: u over 0.2 m/s,
// between 0 and 1. No wake is shed while the foot slides backwards; the ramp is our
// choice.
func Shedding(u float64) float64 { return math.Max(0, math.Min(1, u/0.2)) }
