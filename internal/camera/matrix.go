package camera

import "math"

// matrix is a 3x3 projective map, row by row.
type matrix [9]float64

// apply maps a point; ok is false where its image is at infinity or not finite.
func (m matrix) apply(x, y float64) (u, v float64, ok bool) {
	w := m[6]*x + m[7]*y + m[8]
	u = (m[0]*x + m[1]*y + m[2]) / w
	v = (m[3]*x + m[4]*y + m[5]) / w
	ok = w != 0 && !math.IsNaN(u) && !math.IsNaN(v) && !math.IsInf(u, 0) && !math.IsInf(v, 0)
	return u, v, ok
}

// mul returns m after o.
func (m matrix) mul(o matrix) matrix {
	var p matrix
	for r := 0; r < 3; r++ {
		for c := 0; c < 3; c++ {
			p[3*r+c] = m[3*r]*o[c] + m[3*r+1]*o[3+c] + m[3*r+2]*o[6+c]
		}
	}
	return p
}

func (m matrix) det() float64 {
	return m[0]*(m[4]*m[8]-m[5]*m[7]) - m[1]*(m[3]*m[8]-m[5]*m[6]) + m[2]*(m[3]*m[7]-m[4]*m[6])
}

// inverse returns the inverse by cofactors; ok is false for a singular matrix.
func (m matrix) inverse() (matrix, bool) {
	d := m.det()
	inv := matrix{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}
	for i := range inv {
		inv[i] /= d
		if math.IsNaN(inv[i]) || math.IsInf(inv[i], 0) {
			return matrix{}, false
		}
	}
	return inv, d != 0
}

// jacobian returns the determinant of the map's derivative at a point: area
// after per area before, negative where the map turns left into right.
func (m matrix) jacobian(x, y float64) float64 {
	w := m[6]*x + m[7]*y + m[8]
	return m.det() / (w * w * w)
}

// derivative returns du/dx, du/dy, dv/dx, dv/dy at a point.
func (m matrix) derivative(x, y float64) [4]float64 {
	w := m[6]*x + m[7]*y + m[8]
	u := (m[0]*x + m[1]*y + m[2]) / w
	v := (m[3]*x + m[4]*y + m[5]) / w
	return [4]float64{
		(m[0] - u*m[6]) / w, (m[1] - u*m[7]) / w,
		(m[3] - v*m[6]) / w, (m[4] - v*m[7]) / w,
	}
}
