package filming

import "math"

// Kicks returns how many whole kicks, from highest toe to highest toe, are seen of a
// swimmer who is wholly in the picture for a way of that many kicks: at least and at
// most, depending on where the first begins. A way of x kicks holds floor(x) or
// ceil(x) highest places of the toe. Both are 0 for a way that is not positive or NaN.
func Kicks(way float64) (least, most int) {
	if !(way > 0) {
		return 0, 0
	}
	return max(int(math.Floor(way))-1, 0), max(int(math.Ceil(way))-1, 0)
}

// Way returns the way, m, on which the whole body is in the picture.
func (v View) Way(bodyLength float64) float64 { return max(v.Width-bodyLength, 0) }

// Blur returns how far a point smears, in foot lengths, that moves at speed (m/s)
// while the shutter is open for shutter s.
func Blur(speed, shutter, foot float64) float64 { return speed * shutter / foot }

// Timing returns the half width, s, of the time within which an event between two
// pictures lies: half the time between pictures at rate Hz; and its share of a kick of
// that tempo (Hz).
func Timing(rate, tempo float64) (s, share float64) { return 0.5 / rate, 0.5 / rate * tempo }

// Click returns how large, m, an error of px pixels is for a body of lengthM metres
// that is bodyPx long in the picture.
func Click(px, bodyPx, lengthM float64) float64 { return px * lengthM / bodyPx }
