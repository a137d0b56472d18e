package body

// This file holds the numbers taken from the literature, each with its source.

// segmentRow is one row of a table of body-segment parameters. Index 0 is the
// female column, index 1 the male one.
type segmentRow struct {
	mass   [2]float64 // fraction of body mass; limbs: one side
	centre [2]float64 // centre of mass from the first end named, fraction of the length
	gyr    [2]float64 // radius of gyration about the centre of mass for motion in the side view, fraction of the length
}

// Body-segment parameters of de Leva P. 1996. Adjustments to Zatsiorsky-
// Seluyanov's segment inertia parameters. J Biomech 29(9):1223-1230, Table 4
// (100 men and 15 women of about 24 and 19 years, physically active; spread
// between people not given there). The radius is the sagittal column.
var (
	deLevaHead       = segmentRow{mass: [2]float64{0.0668, 0.0694}, centre: [2]float64{0.4841, 0.5002}, gyr: [2]float64{0.271, 0.303}}                  // vertex to C7
	deLevaTrunk      = segmentRow{mass: [2]float64{0.4257, 0.4346}, centre: [2]float64{0.3782, 0.4310}, gyr: [2]float64{0.379, 0.384}}                  // mid-shoulder to mid-hip
	deLevaUpperTrunk = segmentRow{mass: [2]float64{0.1545, 0.1596}, centre: [2]float64{0.2077, 0.2999}, gyr: [2]float64{0.746, 0.716}}                  // suprasternale to xiphion
	deLevaMidTrunk   = segmentRow{mass: [2]float64{0.1465, 0.1633}, centre: [2]float64{0.4512, 0.4502}, gyr: [2]float64{0.433, 0.482}}                  // xiphion to navel
	deLevaLowTrunk   = segmentRow{mass: [2]float64{0.1247, 0.1117}, centre: [2]float64{0.4920, 0.6115}, gyr: [2]float64{0.433, 0.615}}                  // navel to mid-hip
	deLevaUpperArm   = segmentRow{mass: [2]float64{0.0255, 0.0271}, centre: [2]float64{0.5754, 0.5772}, gyr: [2]float64{0.278, 0.285}}                  // shoulder to elbow
	deLevaForearm    = segmentRow{mass: [2]float64{0.0138, 0.0162}, centre: [2]float64{0.4559, 0.4574}, gyr: [2]float64{0.261, 0.276}}                  // elbow to wrist
	deLevaHand       = segmentRow{mass: [2]float64{0.0056, 0.0061}, centre: [2]float64{0.3427, 0.3624}, gyr: [2]float64{0.244, 0.288}}                  // wrist to third finger tip
	deLevaThigh      = segmentRow{mass: [2]float64{0.1478, 0.1416}, centre: [2]float64{0.3612, 0.4095}, gyr: [2]float64{0.369, 0.329}}                  // hip to knee
	deLevaShank      = segmentRow{mass: [2]float64{0.0481, 0.0433}, centre: [2]float64{0.4352, 0.4395}, gyr: [2]float64{0.267, 0.251}}                  // knee to ankle joint centre
	deLevaShankOuter = segmentRow{mass: [2]float64{0.0481, 0.0433}, centre: [2]float64{0.4416, 0.4459}, gyr: [2]float64{0.271, 0.255}}                  // knee to outer malleolus
	deLevaFoot       = segmentRow{mass: [2]float64{0.0129, 0.0137}, centre: [2]float64{0.4014, 0.4415}, gyr: [2]float64{0.299, 0.257}}                  // heel to longest toe
	deLevaLength     = struct{ upperArm, forearm, hand [2]float64 }{[2]float64{0.2751, 0.2817}, [2]float64{0.2643, 0.2689}, [2]float64{0.1701, 0.1879}} // m; from memory
)

// Segment lengths as fractions of standing height for a streamlined swimmer:
// our choice, from the segment lengths of de Leva 1996 (from memory) with the
// shoulders raised. Their sum, ArmsUp, agrees with the 2.09 m of arms-up length
// that follow from the toe travel of 0.46 m and its ratio 0.22 to arms-up length in
// Wadrzyk L et al. 2017 (children of 1.57 m: 2.09/1.57 = 1.33).
const (
	armFraction   = 0.425  // finger tip to shoulder
	trunkFraction = 0.288  // shoulder to hip
	thighFraction = 0.2425 // hip to knee
	shankFraction = 0.2493 // knee to outer malleolus
	footFraction  = 0.125  // outer malleolus to tip of the toes

	// ArmsUp is the streamlined length from finger tip to toe tip over standing height.
	ArmsUp = armFraction + trunkFraction + thighFraction + shankFraction + footFraction
)

// Where the parts of the trunk and the head lie when the arms are overhead: our
// choice. The head's centre lies beyond the raised shoulders; the crown 0.126 m
// (at 1.80 m) beyond it, which is de Leva's 0.5002 of the head-and-neck length of
// 0.2429 m in men of 1.741 m (length from memory).
const (
	headBeyondShoulder = 0.10 / 1.80  // shoulder to the head's centre, fraction of height
	crownBeyondHead    = 0.126 / 1.80 // head's centre to crown, fraction of height
	upperTrunkAt       = 0.18         // fraction of shoulder-hip, as the next two
	midTrunkAt         = 0.55
	lowTrunkAt         = 0.88
	ribAt              = 0.55        // lowest rib, where a marked rib cuts the trunk
	headRadius         = 0.09 / 1.80 // radius of gyration of the head, fraction of height
	trunkPartsRadius   = 0.12        // of each trunk part about its own centre, fraction of trunk length
	armCentre          = 0.60        // whole arm's centre from the finger tips, fraction of its length: 0.597 from the rows above
	armRadius          = 0.30        // its radius of gyration, fraction of its length
	footExtraRadius    = 0.03        // added to the foot's radius because the line used starts at the malleolus, not the heel
)

// Foot outline in fractions of height: height of the outer malleolus above the sole
// (Drillis R, Contini R 1966 as printed in Winter DA 2009, Figure 4.1; from memory)
// and heel-to-toe length (0.2581 m in men of 1.741 m, de Leva 1996; from memory).
const (
	malleolusHeight = 0.039
	footLength      = 0.1483
)

// Mass of a swimmer of unknown mass, kg: massPerHeight2 times height squared.
// Common practice, no source: the body-mass index of lean swimmers lies about here.
const massPerHeight2 = 23.0

// Breadths seen from the front, both limbs together, in a swimmer of 1.80 m and
// 75 kg: our choice, of anthropometric size, good to about 10 %. wide follows the
// girth at constant density, long follows height.
type breadthRow struct {
	at         float64 // fraction of the segment's length from its cranial end
	wide, long float64 // m
}

var breadthRows = [NumSegments][]breadthRow{
	Arms:   {{0, 0, 0.02}, {0.12, 0, 0.10}, {0.26, 0, 0.12}, {0.62, 0.25, 0}, {1, 0.36, 0}},
	Trunk:  {{0, 0.38, 0}, {0.35, 0.33, 0}, {0.65, 0.28, 0}, {1, 0.34, 0}},
	Thighs: {{0, 0.34, 0}, {0.5, 0.32, 0}, {1, 0.23, 0}},
	Shanks: {{0, 0.23, 0}, {0.3, 0.23, 0}, {1, 0, 0.15}},
	Feet:   {{0, 0, 0.15}, {0.5, 0, 0.19}, {1, 0, 0.19}},
}
