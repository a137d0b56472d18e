package guess

import "underkick/internal/body"

// source says where a landmark is guessed from: the place, and the segment in
// whose axes the difference between landmark and place is steady. Lengths are
// parts of the body's length from the toes to the knuckles.
type source struct {
	place    place
	from, to place   // the segment, from its end nearer the hands
	along    float64 // usual difference along the segment, towards the feet
	spread   spread
}

// spread is the standard error per axis of a landmark's difference beyond the
// usual one: what is steady over a clip, what comes back in every kick at the
// same moment, and what does not.
type spread struct{ steady, kick, drift float64 }

// The usual differences and their spreads follow from rendered swimmers of two
// kinds, eight clips, whose true landmarks are known (docs/methods/guess.md); they
// were rounded up, because swimmers in real water differ more. Where the
// fingertip is beyond the knuckle and the crown beyond the ear, bones say so too.
// The foot is short and its own direction unsteady, so heel and toe are taken in
// the axes of the shank.
var (
	armSpread   = spread{0.012, 0.010, 0.004}
	trunkSpread = spread{0.012, 0.009, 0.004}
	kneeSpread  = spread{0.012, 0.015, 0.004}
	ankleSpread = spread{0.012, 0.010, 0.004}
	footSpread  = spread{0.015, 0.016, 0.004}

	sources = map[body.Landmark]source{
		body.Fingertip: {knuckle, knuckle, shoulder, -0.057, armSpread},
		body.Wrist:     {wrist, knuckle, shoulder, 0, armSpread},
		body.Elbow:     {elbow, knuckle, shoulder, 0, armSpread},
		body.Shoulder:  {shoulder, shoulder, hip, 0, trunkSpread},
		body.Head:      {ear, shoulder, hip, -0.037, trunkSpread},
		body.Hip:       {hip, shoulder, hip, 0, trunkSpread},
		body.Knee:      {knee, hip, knee, 0, kneeSpread},
		body.Ankle:     {ankle, knee, ankle, 0, ankleSpread},
		body.Heel:      {heel, knee, ankle, -0.014, footSpread},
		body.Toe:       {toe, knee, ankle, 0.006, footSpread},
	}
)

const (
	startSD = 0.006 // of the start's two points, which are pointed at without a loupe
	seenSD  = 0.006 // of what the network sees from frame to frame
)
