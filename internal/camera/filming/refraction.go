package filming

import "math"

// RefractiveIndex is that of fresh water against air for visible light near
// 25 degrees C (handbook value 1.333; Snell's law does the rest).
const RefractiveIndex = 1.333

// WaterAngle returns the angle to the optical axis, rad, under which a ray runs
// in water that meets a camera behind a flat port at airAngle (rad, -pi/2..pi/2)
// in air: asin(sin(airAngle)/n), n = RefractiveIndex (Snell's law; glass
// parallel to the sensor only shifts the ray).
func WaterAngle(airAngle float64) float64 {
	return math.Asin(math.Sin(airAngle) / RefractiveIndex)
}

// AirAngle is the inverse of WaterAngle. It is NaN for a ray that is totally
// reflected, beyond asin(1/n) = 48.6 degrees.
func AirAngle(waterAngle float64) float64 {
	return math.Asin(RefractiveIndex * math.Sin(waterAngle))
}

// FieldInWater returns the full angle of view in water, rad, of a lens whose
// full angle of view in air is field (rad, 0..pi), behind a flat port. It never
// passes 2 asin(1/n) = 97.2 degrees.
func FieldInWater(field float64) float64 { return 2 * WaterAngle(field/2) }

// PortMagnification returns how much larger a flat port shows an object in
// water than the same direction in air, tan(airAngle)/tan(waterAngle), for a
// ray at airAngle (rad, |airAngle| < pi/2) in air. On the axis it is n; towards
// the edge it grows, which is the pincushion distortion of a flat port.
func PortMagnification(airAngle float64) float64 {
	if math.Abs(airAngle) < 1e-6 { // the ratio's limit; below this it is exact to rounding
		return RefractiveIndex
	}
	return math.Tan(airAngle) / math.Tan(WaterAngle(airAngle))
}
