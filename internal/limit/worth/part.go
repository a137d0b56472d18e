package worth

import "math/bits"

// Part is one of the pieces that a kick is split into.
type Part uint8

// The parts. Rest is everything that the other four do not hold: the shape of hip and
// knee between their end postures, the upkick's time law, the shoulder.
const (
	Facing Part = iota // ankle angle against progress, down and up
	Sweep              // hip and knee at toe top and toe bottom
	Build              // progress against time in the downkick
	Tempo              // kicks per second, and the downkick's share of the time
	Rest

	numParts = iota
	numMixes = 1 << numParts
)

// String returns the part's word, such as "facing".
func (p Part) String() string {
	return [...]string{"facing", "sweep", "build", "tempo", "rest"}[p]
}

// mix says which parts come from the reference kick: bit p is set for part p.
type mix uint8

func (m mix) has(p Part) bool { return m>>p&1 == 1 }
func (m mix) with(p Part) mix { return m | 1<<p }
func only(p Part) mix         { return 1 << p }
func (m mix) size() int       { return bits.OnesCount8(uint8(m)) }

// part returns the only part of a mix of one.
func (m mix) part() Part { return Part(bits.TrailingZeros8(uint8(m))) }

// shapley returns the Shapley value of every part in the game v over all mixes,
//
//	phi_p = sum over S without p of |S|! (n-1-|S|)!/n! (v(S and p) - v(S))
//
// the mean over all orders of swapping the parts one after the other. The values add up
// to v(all) - v(none).
func shapley(v *[numMixes]float64) (phi [numParts]float64) {
	var factorial [numParts + 1]float64
	factorial[0] = 1
	for i := 1; i <= numParts; i++ {
		factorial[i] = float64(i) * factorial[i-1]
	}
	for p := range Part(numParts) {
		for s := range mix(numMixes) {
			if !s.has(p) {
				n := s.size()
				phi[p] += factorial[n] * factorial[numParts-1-n] / factorial[numParts] * (v[s.with(p)] - v[s])
			}
		}
	}
	return phi
}
