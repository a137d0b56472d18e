package kick

// slot numbers the measures; it is the index into every row of values and into
// the definitions.
type slot int

// The measures in the order in which they are reported.
const (
	speed slot = iota
	kickFrequency
	kickLength
	toeAmplitude
	toeAmplitudeHeight
	toeAmplitudeLength
	frequencyAmplitude
	strouhal
	downkickDuration
	upkickDuration
	downkickShare
	durationRatio
	toeBack
	toeFront
	climb
	speedVariation
	speedSwing

	facingDown
	facingFoot
	facingShank
	rearwardArea
	toeAboveHip
	toeBelowHip
	sweep
	sweepArc
	endLead
	footPath
	pushPart
	build
	buildLate
	buildPeak
	facingUpkick
	facingFootUpkick
	facingShankUpkick
	sweepUpkick
	footPathUpkick
	pushPartUpkick
	buildUpkick
	buildLateUpkick
	buildPeakUpkick

	handAmplitude
	shoulderAmplitude
	hipAmplitude
	kneeAmplitude
	ankleAmplitude

	toePeakSpeedDown
	toePeakSpeedUp
	toeSpeedRatio
	anklePeakSpeedDown
	anklePeakSpeedUp
	footPeakSpeedDown
	footPeakSpeedUp

	hipFlexionMin
	hipFlexionMax
	hipRange
	hipFlexionSpeed
	hipFlexionSpeedAt
	hipExtensionSpeed
	hipExtensionSpeedAt
	kneeFlexionMin
	kneeFlexionMax
	kneeRange
	kneeFlexionSpeed
	kneeFlexionSpeedAt
	kneeExtensionSpeed
	kneeExtensionSpeedAt
	ankleMin
	ankleMax
	ankleRange
	ankleBendingSpeed
	ankleBendingSpeedAt
	anklePointingSpeed
	anklePointingSpeedAt
	pitchMin
	pitchMax
	pitchRange
	pitchUpSpeed
	pitchUpSpeedAt
	pitchDownSpeed
	pitchDownSpeedAt

	waveSpeed
	wavelength
	slip
	slenderBodyEfficiency

	numSlots int = iota
)

// row holds one kick's (or the run's) values by slot.
type row [numSlots]float64

// circular are the slots whose values are phases of the kick: 0.98 and 0.02 lie
// close together.
var circular = [...]slot{
	hipFlexionSpeedAt, hipExtensionSpeedAt, kneeFlexionSpeedAt, kneeExtensionSpeedAt,
	ankleBendingSpeedAt, anklePointingSpeedAt, pitchUpSpeedAt, pitchDownSpeedAt,
}
