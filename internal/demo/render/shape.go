package render

import "underkick/internal/body"

// part is a piece of the body with its own outline and paint.
type part uint8

const (
	trunkPart part = iota
	headPart
	nearLeg
	farLeg
	nearArm
	farArm
)

// offset is a point of an outline relative to a joint, m: along the chain towards the hands, and
// across it towards the back side, in the joint's rest position.
type offset struct{ along, back float64 }

// ring is one elliptical section: it spans from the point on the back side to the point
// on the front side, and width to both sides across the view.
type ring struct {
	joint       body.Landmark // its points are given relative to this joint
	turn        float64       // share of the segment towards the feet in its motion, 0 to 1
	back, front offset
	width       float64 // half of it, m
	side        float64 // distance of the middle from the swimmer's mid-plane, m
	along       float64 // place along the stretched body from the hip, m, for the paint
}

// outline is a row of rings.
type outline struct {
	part  part
	rings []ring
}

// row is a ring as the tables below give it: turn, place along the chain, back, front,
// half width, side. Sizes are our own, drawn by eye for a swimmer of 1.80 m and 75 kg.
type row [6]float64

// Where the joints of a stretched swimmer of 1.80 m lie, from the hip, m.
var jointAt = map[body.Landmark]float64{
	body.Shoulder: 0.5184, body.Hip: 0, body.Knee: -0.4365, body.Ankle: -0.8852,
}

func rings(joint body.Landmark, rows ...row) []ring {
	out := make([]ring, len(rows))
	for i, r := range rows {
		out[i] = ring{
			joint: joint, turn: r[0], back: offset{r[1], r[2]}, front: offset{r[1], -r[3]},
			width: r[4], side: r[5], along: jointAt[joint] + r[1],
		}
	}
	return out
}

func trunkRings(female bool) []ring {
	if female {
		return rings(body.Hip,
			row{0, 0.590, 0.040, 0.045, 0.070, 0}, row{0, 0.555, 0.068, 0.070, 0.125, 0},
			row{0, 0.505, 0.092, 0.088, 0.155, 0}, row{0, 0.440, 0.098, 0.104, 0.152, 0},
			row{0, 0.365, 0.096, 0.122, 0.145, 0}, row{0, 0.290, 0.086, 0.110, 0.135, 0},
			row{0, 0.215, 0.076, 0.094, 0.122, 0}, row{0, 0.145, 0.078, 0.090, 0.125, 0},
			row{0.05, 0.080, 0.098, 0.094, 0.145, 0}, row{0.2, 0.030, 0.122, 0.098, 0.162, 0},
			row{0.45, -0.015, 0.132, 0.094, 0.168, 0}, row{0.65, -0.055, 0.122, 0.086, 0.165, 0},
			row{0.9, -0.095, 0.098, 0.078, 0.150, 0}, row{1, -0.130, 0.060, 0.060, 0.110, 0})
	}
	return rings(body.Hip,
		row{0, 0.600, 0.045, 0.050, 0.075, 0}, row{0, 0.560, 0.074, 0.076, 0.140, 0},
		row{0, 0.505, 0.100, 0.098, 0.175, 0}, row{0, 0.430, 0.112, 0.116, 0.172, 0},
		row{0, 0.350, 0.110, 0.124, 0.164, 0}, row{0, 0.270, 0.098, 0.116, 0.152, 0},
		row{0, 0.195, 0.084, 0.100, 0.140, 0}, row{0, 0.130, 0.082, 0.094, 0.138, 0},
		row{0.05, 0.075, 0.098, 0.094, 0.148, 0}, row{0.2, 0.030, 0.118, 0.096, 0.158, 0},
		row{0.45, -0.012, 0.127, 0.094, 0.162, 0}, row{0.65, -0.050, 0.120, 0.088, 0.160, 0},
		row{0.9, -0.090, 0.098, 0.080, 0.150, 0}, row{1, -0.130, 0.060, 0.060, 0.110, 0})
}

// legRings are thigh, shank and foot; side is where the leg's middle lies.
func legRings(side float64) []ring {
	out := rings(body.Hip,
		row{0.4, 0.010, 0.070, 0.072, 0.060, side}, row{0.6, -0.030, 0.098, 0.090, 0.080, side},
		row{0.85, -0.080, 0.098, 0.092, 0.088, side}, row{1, -0.140, 0.090, 0.092, 0.087, side},
		row{1, -0.210, 0.080, 0.087, 0.080, side}, row{1, -0.280, 0.069, 0.078, 0.071, side})
	out = append(out, rings(body.Knee,
		row{0.05, 0.085, 0.058, 0.066, 0.062, side}, row{0.25, 0.040, 0.053, 0.061, 0.057, side},
		row{0.5, 0.000, 0.050, 0.062, 0.055, side}, row{0.75, -0.040, 0.054, 0.055, 0.053, side},
		row{1, -0.090, 0.066, 0.047, 0.055, side}, row{1, -0.145, 0.073, 0.045, 0.057, side},
		row{1, -0.205, 0.068, 0.045, 0.053, side}, row{1, -0.270, 0.052, 0.042, 0.043, side},
		row{1, -0.330, 0.040, 0.038, 0.036, side})...)
	out = append(out, rings(body.Ankle,
		row{0, 0.065, 0.036, 0.034, 0.032, side}, row{0.2, 0.035, 0.040, 0.035, 0.034, side})...)
	return append(out, footRings(side)...)
}

// footRings pair points of Achilles tendon, heel and sole with points of the instep, in
// the shank's frame with the foot turned by footRest.
func footRings(side float64) []ring {
	type pair struct{ turn, ba, bb, fa, fb, w float64 } // back along, back, front along, front
	foot := []pair{                                     // in the foot's own frame: along is towards the ankle
		{0.55, 0.052, 0.060, -0.010, -0.034, 0.034},
		{0.9, 0.036, 0.080, -0.030, -0.037, 0.034},
		{1, 0.008, 0.084, -0.055, -0.036, 0.034},
		{1, -0.040, 0.066, -0.085, -0.033, 0.036},
		{1, -0.095, 0.045, -0.120, -0.026, 0.042},
		{1, -0.145, 0.030, -0.155, -0.019, 0.047},
		{1, -0.185, 0.020, -0.188, -0.014, 0.046},
		{1, -0.210, 0.014, -0.210, -0.011, 0.040},
		{1, -0.221, 0.009, -0.221, -0.008, 0.030},
		{1, -0.2265, 0.003, -0.2265, -0.003, 0.012},
	}
	out := make([]ring, len(foot))
	for i, p := range foot {
		out[i] = ring{
			joint: body.Ankle, turn: p.turn, back: offset{p.ba, p.bb}.turned(footRest), front: offset{p.fa, p.fb}.turned(footRest),
			width: p.w, side: side, along: jointAt[body.Ankle] + (p.ba+p.fa)/2,
		}
	}
	return out
}

// armRings run from inside the shoulder to the finger tips; s is the side, +1 near.
func armRings(s float64) []ring {
	return rings(body.Shoulder,
		row{1, -0.110, 0.060, 0.075, 0.050, s * 0.135}, row{0.8, -0.060, 0.076, 0.080, 0.060, s * 0.150},
		row{0.5, -0.010, 0.076, 0.072, 0.062, s * 0.155}, row{0.2, 0.045, 0.067, 0.062, 0.058, s * 0.150},
		row{0, 0.105, 0.056, 0.054, 0.052, s * 0.140}, row{0, 0.175, 0.047, 0.049, 0.046, s * 0.125},
		row{0, 0.245, 0.041, 0.043, 0.041, s * 0.108}, row{0, 0.300, 0.038, 0.041, 0.040, s * 0.092},
		row{0, 0.355, 0.040, 0.041, 0.041, s * 0.076}, row{0, 0.425, 0.035, 0.036, 0.038, s * 0.058},
		row{0, 0.500, 0.027, 0.028, 0.032, s * 0.042}, row{0, 0.565, 0.020, 0.022, 0.029, s * 0.030},
		row{0, 0.610, 0.018, 0.021, 0.037, s * 0.022}, row{0, 0.660, 0.014, 0.017, 0.041, s * 0.018},
		row{0, 0.705, 0.012, 0.014, 0.036, s * 0.014}, row{0, 0.745, 0.010, 0.011, 0.026, s * 0.010},
		row{0, 0.760, 0.008, 0.008, 0.016, s * 0.008}, row{0, 0.767, 0.003, 0.003, 0.006, s * 0.008})
}

func headRings() []ring {
	return rings(body.Shoulder,
		row{1, -0.060, 0.060, 0.055, 0.058, 0}, row{1, -0.020, 0.060, 0.056, 0.058, 0},
		row{1, 0.012, 0.062, 0.070, 0.060, 0}, row{1, 0.034, 0.070, 0.096, 0.064, 0},
		row{1, 0.060, 0.080, 0.107, 0.070, 0}, row{1, 0.084, 0.087, 0.119, 0.075, 0},
		row{1, 0.104, 0.091, 0.112, 0.077, 0}, row{1, 0.132, 0.093, 0.103, 0.078, 0},
		row{1, 0.162, 0.087, 0.091, 0.074, 0}, row{1, 0.192, 0.070, 0.070, 0.061, 0},
		row{1, 0.214, 0.044, 0.042, 0.040, 0}, row{1, 0.226, 0.010, 0.010, 0.010, 0})
}

// HeadOutline returns points around the drawn head as it is seen from the side, from the
// chin up, in parts of the distance from shoulder to crown: along that line, and across it
// towards the back side. It is the truth for what hides a face.
func HeadOutline() [][2]float64 {
	const chin = 0.034 // m above the shoulder; below it is the neck
	all := headRings()
	crown := all[len(all)-1].back.along
	var out [][2]float64
	for _, r := range all {
		if r.back.along >= chin {
			out = append(out, [2]float64{r.back.along / crown, r.back.back / crown}, [2]float64{r.front.along / crown, r.front.back / crown})
		}
	}
	return out
}

// bodyOutlines are all parts of a swimmer, far ones first.
func bodyOutlines(female bool) []outline {
	return []outline{
		{farArm, armRings(-1)},
		{farLeg, legRings(-0.086)},
		{headPart, headRings()},
		{trunkPart, trunkRings(female)},
		{nearLeg, legRings(0.086)},
		{nearArm, armRings(1)},
	}
}
