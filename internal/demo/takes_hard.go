package demo

// How a hard clip differs from the demo's own: less contrast, more blur of optics and
// motion, more noise, four times the bubbles. The numbers were set once, before anything
// was measured on such clips, and no clip of this kind is shipped or tuned on.
const (
	hardScatter = 4.0 // contrast lost per metre of water
	hardSoft    = 2.0 // blur of the optics
	hardNoise   = 2.0
	hardShutter = 3.0
	hardBubbles = 4.0
	mostOpen    = 0.9 // of the time between two pictures that a shutter can be open
)

// harden makes the recipe that of the same swim, filmed badly.
func (k *take) harden() {
	k.hard = true
	k.exposure = min(hardShutter*k.exposure, mostOpen/k.fps())
}
