package swim

import (
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/series"
)

// Kick is a way of kicking: joint angles over one cycle (rad, signs of package body),
// tempo, and the trunk's mean pitch. Where the spine moves, pitch and the hip's angle are
// those of the trunk below the rib, the shoulder's angle is against the trunk above it, and
// only a model that bends swims the kick.
type Kick struct {
	Tempo  float64                        // kicks per second, Hz
	Pitch  float64                        // mean trunk pitch over the cycle, rad
	Joints [body.NumJoints]series.Fourier // by phase, rad; Trend must be 0
}

// NumTerms is the number of terms of a kick's series: the shoulder's mean and one
// harmonic, and the mean and two harmonics of hip, knee and ankle.
const NumTerms = 18

// FromTerms returns the kick whose joint curves are given as a mean followed by
// amplitude and peak phase of each harmonic, in degrees and cycles, for shoulder (one
// harmonic), hip, knee and ankle (two each); harmonic k is
//
//	amplitude cos(2 pi k (phase - peak))
func FromTerms(termsDeg [NumTerms]float64) Kick {
	k := Kick{Tempo: 1}
	next := 0
	for j := range body.SpineJoint { // the spine is stiff
		harmonics := 2
		if body.Joint(j) == body.ShoulderJoint {
			harmonics = 1
		}
		k.Joints[j] = curve(termsDeg[next : next+1+2*harmonics])
		next += 1 + 2*harmonics
	}
	return k
}

func curve(deg []float64) series.Fourier {
	const rad = math.Pi / 180
	f := series.Fourier{Mean: deg[0] * rad}
	for h := 1; 2*h < len(deg); h++ {
		s, c := math.Sincos(2 * math.Pi * float64(h) * deg[2*h])
		f.Cos = append(f.Cos, deg[2*h-1]*rad*c)
		f.Sin = append(f.Sin, deg[2*h-1]*rad*s)
	}
	return f
}

// Reference returns the reference kick at 2.2 Hz and level pitch: an invented kick
// whose landmark travels, phases and joint ranges lie among published ones. Its
// phase 0 is near the highest toe position.
func Reference() Kick {
	k := FromTerms([NumTerms]float64{
		1.0288, -7.5645, 0.1016,
		8.5505, 15.8304, 0.4008, -7.9527, 0.2948,
		30.0824, 31.2589, 1.0951, 10.2501, 0.0513,
		27.6692, 16.3804, 0.7838, 2.3759, 0.4012,
	})
	k.Tempo = 2.2
	return k
}

// check tells what makes a kick unusable.
func (k Kick) check() error {
	if !(k.Tempo > 0) || math.IsInf(k.Tempo, 0) {
		return fmt.Errorf("a kick needs a tempo above 0, not %g Hz", k.Tempo)
	}
	if math.IsNaN(k.Pitch) || math.IsInf(k.Pitch, 0) {
		return fmt.Errorf("the mean trunk pitch is not known")
	}
	for j, f := range k.Joints {
		sum := f.Mean + f.Trend
		if f.Trend != 0 {
			return fmt.Errorf("the %v curve drifts from kick to kick", body.Joint(j))
		}
		for h := range f.Cos {
			sum += f.Cos[h] + f.Sin[h]
		}
		if math.IsNaN(sum) || math.IsInf(sum, 0) {
			return fmt.Errorf("the %v curve has values that are not numbers", body.Joint(j))
		}
	}
	return nil
}

// bends reports whether the spine is bent or moves, beyond rounding.
func (k Kick) bends() bool {
	f := k.Joints[body.SpineJoint]
	size := math.Abs(f.Mean)
	for h := range f.Cos {
		size += math.Abs(f.Cos[h]) + math.Abs(f.Sin[h])
	}
	return size > 1e-9
}

// Angles returns the joint angles at a phase, rad.
func (k Kick) Angles(phase float64) (a [body.NumJoints]float64) {
	for j := range a {
		a[j] = k.Joints[j].At(phase)
	}
	return a
}
