package wall

// Published values that stand in where nothing is known of the swimmer. Every use is
// flagged as assumed.
const (
	// carried is the water that goes along with a streamlined body over its mass, and its
	// standard deviation; 0.1-0.3 (Caspersen C et al. 2010. Added mass in human swimmers. J
	// Biomech 43:2369-2373, as quoted in a proceedings paper).
	carried, carriedSD     = 0.25, 0.05
	carriedMin, carriedMax = 0.06, 0.30
	// glideArea is the drag area of a streamlined swimmer of 75 kg, m2: see
	// hydro.PassiveAreaRange for its sources.
	glideArea, glideAreaSD = 0.045, 0.005
	// kickArea is the drag area that describes the mean net force on a kicking swimmer of
	// 75 kg, 1/2 rho CdA (Vk2 - v2), m2: towed solves of internal/swim, 27 kicks.
	kickArea, kickAreaSD = 0.087, 0.006
	// referenceMass is the mass to which the areas belong, kg; they grow with mass^(2/3).
	referenceMass = 75.0
	// tempo is the kick frequency of adults, Hz: 1.81-2.35 in the published samples
	// (Wadrzyk et al. about 2019; Alves et al. 2006, quoted elsewhere).
	tempo, tempoSD = 2.1, 0.2
)

// Push-off and start speeds, m/s.
const (
	// Push-off glide speed of 74 national-championship swimmers, men 2.36 and women 2.08
	// with standard errors of 0.03 (Trinidad-Morales A et al. 2024. PLoS ONE, abstract). The
	// spread between swimmers is our choice; 1.5-2.5 from club to elite (Lyttle and
	// Blanksby, as quoted elsewhere).
	pushOffMen, pushOffWomen, pushOffSD = 2.36, 2.08, 0.25
	// Speed 5.5 m after a grab start of ten national swimmers, 2.18 with a standard
	// deviation of 0.21 (Houel N et al. 2013. J Appl Biomech 29:49-54, abstract).
	diveAt, diveSpeed, diveSpeedSD = 5.5, 2.18, 0.21
)

// upAfterTurn is where the head is up at the nearest, m: one standard deviation short of the
// mean breakout of women in finals of the 100 m freestyle, 5.82 with 1.21 (Gao et al. 2025,
// PMC12134280, quoting). upAfterDive is our choice; those women come up at 11.09 with 0.88.
const upAfterTurn, upAfterDive = 4.6, 7.5

// Choices of this package, without a source.
const (
	// tie is how much slower two plans may be and still count as equally fast, s: the
	// optimum is flat, and hands on a watch do not see less.
	tie = 0.02
	// reserve is how far before the limit the last kick ends, so that the head has room to
	// come up, m.
	reserve = 0.5
	// markSD is the standard error of a head marked on a picture or read off a lane rope
	// where none is given, m.
	markSD = 0.03
	// watchSD is the standard error of a time taken by hand, s.
	watchSD = 0.1
)
