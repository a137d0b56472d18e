// Package worth estimates what each quality of a kick is worth to one swimmer, in metres
// per second. Estimate is the one entry.
//
// # How
//
// A measured kick becomes joint-angle curves (swim.FitKick), and the swim model's
// personal factor is solved so that the model swims at the measured speed. Against a
// reference run of the same swimmer both kicks are split into parts (facing, sweep,
// build, tempo, rest), every mix of own and reference parts swims in the model, and the
// parts' Shapley values share out the difference exactly. Without a reference run only
// fixed steps are tried. Changes are what-ifs that a coach asks for.
//
// # Errors
//
// Seeded draws repeat everything with whole kicks reweighted, with errors of marking and
// scale, and with other coefficients of the water's loads; the personal factor is solved
// anew in each, which is what makes comparisons of one swimmer's kicks firmer than any
// absolute number. A limiter is named only by the rule of Result.Limiter.
//
// # What it never says
//
// Every number here is a model's estimate, for comparing kicks of one swimmer; none is a
// measurement. Forces and powers stay inside, but for the change of power as a fraction.
// Poor input is refused with the reasons, and then there is no number at all.
package worth
