package spread

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// TypicalError returns the scatter of one swimmer's repeated runs, pooled over
// swimmers, and its degrees of freedom:
//
//	TE = sqrt( sum_s (n_s - 1) SD_s^2 / sum_s (n_s - 1) ),  df = sum_s (n_s - 1)
//
// groups holds one slice of results per swimmer (same measure, same conditions).
// For two runs each it equals SD(differences)/sqrt(2) without the mean change
// taken out (Hopkins, Sports Med 30, 2000). Values that are not finite are left
// out, and swimmers with fewer than two add nothing. No repeats give NaN and 0.
func TypicalError(groups [][]float64) (te float64, df int) {
	sum := 0.0
	for _, g := range groups {
		known := finiteOf(g)
		if len(known) < 2 {
			continue
		}
		df += len(known) - 1
		sum += float64(len(known)-1) * stat.Variance(known, nil)
	}
	if df == 0 {
		return math.NaN(), 0
	}
	return math.Sqrt(sum / float64(df)), df
}

// SmallestRealChange returns the difference between two visits that chance and
// measuring error exceed only once in twenty times:
//
//	t(df) sqrt( 2 (TE^2 / runs + clipSE^2) )
//
// te is the typical error of one run with df degrees of freedom, runs the number
// of runs averaged at each visit (at least 1), clipSE the clip-constant standard
// error of a visit, which averaging does not lower. All in the same unit. For
// many degrees of freedom, one run and clipSE 0 it is 2.77 TE. NaN when df is
// below 1 or te is NaN. It panics when runs is below 1 or an error is negative.
func SmallestRealChange(te float64, df, runs int, clipSE float64) float64 {
	if runs < 1 {
		panic("spread: runs must be at least 1")
	}
	if te < 0 || clipSE < 0 {
		panic("spread: an error must not be negative")
	}
	return T95(df) * math.Sqrt(2*(te*te/float64(runs)+clipSE*clipSE))
}
