package camera

import (
	"math"
	"testing"
)

// A pinhole camera 8 m from the plane, turned about the point it looks at, must be
// found turned by as much.
func TestTiltOfAPinholeCamera(t *testing.T) {
	const focal, away = 1600.0, 8.0
	for _, c := range []struct{ yawDeg, pitchDeg float64 }{{0, 0}, {12, 0}, {25, 0}, {0, 15}, {-20, 0}} {
		sy, cy := math.Sincos(c.yawDeg * math.Pi / 180)
		sp, cp := math.Sincos(c.pitchDeg * math.Pi / 180)
		var px, m [][2]float64
		for _, q := range [][2]float64{{-2, 1}, {2, 1}, {2, -1}, {-2, -1}} {
			// The plane's point in axes of the camera: x right, y up, z into the picture.
			x, y := cy*q[0], cp*q[1]
			z := away + sy*q[0] + sp*q[1]
			px, m = append(px, [2]float64{640 + focal*x/z, 360 - focal*y/z}), append(m, q)
		}
		v, err := FromPoints(px, m)
		if err != nil {
			t.Fatal(err)
		}
		yaw, pitch := v.Tilt(0, 640, 360)
		for name, pair := range map[string][2]float64{"yaw": {yaw, c.yawDeg}, "pitch": {pitch, c.pitchDeg}} {
			if got := pair[0] * 180 / math.Pi; math.Abs(got-math.Abs(pair[1])) > 0.1 {
				t.Errorf("camera turned by %v: %s is %.2f degrees", c, name, got)
			}
		}
	}
	if yaw, pitch := FromScale(0.01).Tilt(0, 10, 10); !math.IsNaN(yaw) || !math.IsNaN(pitch) {
		t.Error("a plain scale claims to know the tilt")
	}
}
