// Package compare holds two to four measured runs against each other: their curves over
// the phase of the kick, each with its band (Curves), their measures side by side with
// differences and verdicts (NewTable), and where two runs differ most (Differences).
//
// Runs are laid over each other by phase, never by clock: 0 is a toe top, 0.5 the toe
// bottom, 1 the next top, linear in between (kick.Kick.Phase). So clips of unlike frame
// rates and kicks of unlike length compare as they are.
//
// # Differences
//
// A difference of two means a and b has the standard error
//
//	se^2 = SDa^2/na + SDb^2/nb + ca^2 + cb^2
//
// with SD the scatter over the n counted kicks and c the standard error that all kicks of
// a clip share (limit.ConstantError). Its degrees of freedom are those of Welch
// (Biometrika 34, 1947) and Satterthwaite (Biometrics Bulletin 2, 1946), where c, which
// is not estimated from the kicks, counts as known:
//
//	df = se^4 / ( (SDa^2/na)^2/(na-1) + (SDb^2/nb)^2/(nb-1) )
//
// Differences makes many such comparisons at once and therefore widens every band until
// all of them hold together at 95 %: every curve and every measure gets an equal share of
// the 5 % (Bonferroni), and within a curve the band is that of the largest value of a
// smooth random curve (Worsley et al., Human Brain Mapping 4, 1996, equation 3.1 for one
// dimension; used on movement curves by Pataky, J Biomech 43, 2010), taken as rough as
// four harmonics of equal size can be, which is what the low-pass leaves of a kick. It
// says nothing where no difference leaves its band.
//
// Such a difference is one of these two runs. Whether a swimmer changed is asked with the
// typical error from visit to visit, by limit; whether one swimmer is better than another
// is not asked at all.
package compare
