package filming

// Light is how bright it is where the swimmer is.
type Light struct {
	ID, Words string
	Lux       float64 // on the swimmer
}

// Lights lists the choices, brightest first. The illuminances are judgement: pool
// halls are lit with some 200 to 500 lx at the surface (classes of EN 12193, from
// memory), and about half of it reaches the side of a swimmer.
func Lights() []Light {
	return []Light{
		{"sun", "outdoors by day", 10000},
		{"bright", "a bright hall", 250},
		{"hall", "an ordinary hall", 120},
		{"dim", "a dim hall, or evening", 50},
	}
}

// Numbers of an automatic exposure: a lens of a phone, and the gain beyond which its
// picture is more noise than swimmer. Common practice, no source.
const (
	lensFNumber = 2.0
	mostGain    = 1600 // ISO
	// incident is the calibration constant of an incident-light meter with a flat
	// receptor, lx s (ISO 2720:1974 gives 240 to 400; from memory).
	incident        = 250.0
	shortestShutter = 1.0 / 8000 // s
)

// ShutterIn returns the shutter time, s, that an automatic exposure needs for a well
// exposed picture at its highest gain, C N^2 / (E S), at most the time between two
// pictures at rate Hz.
func (l Light) ShutterIn(rate float64) float64 {
	t := incident * lensFNumber * lensFNumber / (l.Lux * mostGain)
	return min(max(t, shortestShutter), 1/rate)
}
