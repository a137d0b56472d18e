package hydro

import "math"

// Density is the density of pool water at 26 C, kg/m3 (995.6-998.6 over 20-30 C
// for fresh water; tables of physical constants, from memory).
const Density = 998.0

// Coefficients are the numbers of the force model. The reactive part is Lighthill
// MJ. 1971. Large-amplitude elongated-body theory of fish locomotion. Proc R Soc B
// 179:125-138 (from memory; restated by Eloy C, Michelin S. 2024), the normal drag
// the quasi-steady strip law used for eels and lampreys since Taylor G. 1952.
// Analysis of the swimming of long and narrow animals. Proc R Soc A 214:158-183
// (from memory).
type Coefficients struct {
	AddedFeet    float64 // added mass of the feet over that of a long ellipse of the same breadth; 0.5-1.0: a square plate has about 0.5, a long one 1 (from memory)
	AddedRest    float64 // the same of all other segments; 0.7-1.0
	NormalFeet   float64 // normal drag coefficient of the feet; 1.2-2.6: flat plate, higher in swinging flow (Graham JMR 1980, from memory)
	NormalLegs   float64 // of thighs and shanks; 0.8-1.5: cylinder or ellipse
	NormalTrunk  float64 // of trunk and arms; 0.8-1.5
	PassiveArea  float64 // drag area along the body of a streamlined swimmer of 75 kg, m2; see PassiveAreaRange
	ActiveFactor float64 // drag area while kicking over the passive one; fitted once to a mean Strouhal number of 0.80 of adults (review of Connaboy et al. 2009, 0.59-0.88, read as quoted elsewhere)
	Surge        float64 // water carried along the body over the body's mass; 0.04-0.25: a slender ellipsoid has 0.05
	Forefoot     float64 // largest turn of the foot line by its load, rad; 0-15 deg, chosen so that restricted ankles cost what Kuhn J, Legerlotz K. 2022 measured
	Shed         float64 // share of the flux at the toes that is shed; 1, or 0 for a model of drag alone
	FootBreadth  float64 // factor on the feet's breadth; 0.9-1.1
}

// Default returns the coefficients of the reference model.
func Default() Coefficients {
	return Coefficients{
		AddedFeet: 0.70, AddedRest: 1.0,
		NormalFeet: 1.8, NormalLegs: 1.1, NormalTrunk: 1.1,
		PassiveArea: 0.045, ActiveFactor: 1.5, Surge: 0.06,
		Forefoot: 10 * math.Pi / 180, Shed: 1, FootBreadth: 1,
	}
}

// PassiveAreaRange is the published span of the drag area of streamlined adults,
// m2: 20 N at 1 m/s and 100 N at 2 m/s give 0.040 and 0.050 (Haskins A et al.
// 2024. Eur J Comput Mech), 23.5 v2 gives 0.047 (Narita K, Nakashima M, Takagi H.
// 2017. J Biomech 54:123-128); the lower end is for slippery swimmers (from memory).
var PassiveAreaRange = [2]float64{0.030, 0.050}

// GlideAdded is the water that a streamlined body carries along in a glide over its
// mass: about one quarter (Caspersen C et al. 2010. J Biomech 43:2369-2373, as quoted
// in a proceedings paper); 0.1-0.3. Not the Surge of the kicking model.
const GlideAdded = 0.25
