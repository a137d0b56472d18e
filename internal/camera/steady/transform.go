package steady

// Transform is a projective map of the picture, row by row.
type Transform [9]float64

var identity = Transform{1, 0, 0, 0, 1, 0, 0, 0, 1}

// At maps a point.
func (m *Transform) At(x, y float64) (u, v float64) {
	w := m[6]*x + m[7]*y + m[8]
	return (m[0]*x + m[1]*y + m[2]) / w, (m[3]*x + m[4]*y + m[5]) / w
}

// After returns the map that does first o, then m.
func (m Transform) After(o Transform) Transform {
	var p Transform
	for r := range 3 {
		for c := range 3 {
			p[3*r+c] = m[3*r]*o[c] + m[3*r+1]*o[3+c] + m[3*r+2]*o[6+c]
		}
	}
	return p.scaled()
}

// scaled has 1 in the last place.
func (m Transform) scaled() Transform {
	k := 1 / m[8]
	for i := range m {
		m[i] *= k
	}
	return m
}

// Inverse returns the map back, by cofactors. The maps of this package can always
// be inverted: they are near a shift.
func (m Transform) Inverse() Transform {
	return Transform{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}.scaled()
}

// Resized returns the same map for pictures of factor times the size.
func (m Transform) Resized(factor float64) Transform {
	m[2] *= factor
	m[5] *= factor
	m[6] /= factor
	m[7] /= factor
	return m
}
