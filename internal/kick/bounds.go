package kick

import (
	"math"

	"underkick/internal/spread"
)

// bounded are what measures can be by their definition; one that is not here may be
// anything. Speed and what is made of it are left out because a drift backwards is
// possible, angles because they are signed.
var bounded = func() (all [numSlots]spread.Bounds) {
	for j := range all {
		all[j] = spread.Unbounded()
	}
	set := func(b spread.Bounds, slots ...slot) {
		for _, j := range slots {
			all[j] = b
		}
	}
	set(spread.Bounds{Least: 0, Most: 1},
		downkickShare, facingDown, facingFoot, facingShank, facingUpkick, facingFootUpkick, facingShankUpkick,
		pushPart, pushPartUpkick, buildLate, buildLateUpkick)
	set(spread.Bounds{Least: 0, Most: math.Inf(1)},
		kickFrequency, toeAmplitude, toeAmplitudeHeight, toeAmplitudeLength, frequencyAmplitude,
		downkickDuration, upkickDuration, durationRatio, speedVariation, speedSwing, rearwardArea, footPath, footPathUpkick,
		handAmplitude, shoulderAmplitude, hipAmplitude, kneeAmplitude, ankleAmplitude,
		toePeakSpeedDown, toePeakSpeedUp, toeSpeedRatio, anklePeakSpeedDown, anklePeakSpeedUp, footPeakSpeedDown, footPeakSpeedUp,
		hipRange, kneeRange, ankleRange, pitchRange)
	// T Int v^2 dt >= (Int v dt)^2 for every v (Cauchy and Schwarz).
	set(spread.Bounds{Least: 1, Most: math.Inf(1)}, build, buildUpkick)
	return all
}()

// BoundsOf returns what a measure can be by its definition, in its unit; an unknown id is
// unbounded.
func BoundsOf(id string) spread.Bounds {
	for j := range definitions {
		if definitions[j].ID == id {
			return bounded[j]
		}
	}
	return spread.Unbounded()
}

// Bounded returns the measure with its band cut to what the measure can be. Every band is
// made so; results kept by earlier versions, and means of measures, are made so on the way.
func (m Measure) Bounded() Measure {
	m.Low, m.High = BoundsOf(m.ID).Cut(m.Value, m.Low, m.High)
	return m
}

// Half returns half the width of the band before it was cut at a bound: the side that
// was not cut. NaN without a band.
func (m Measure) Half() float64 { return math.Max(m.Value-m.Low, m.High-m.Value) }
