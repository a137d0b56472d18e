// Package spread states how sure a number is: bands over kicks, resampling with
// a seed, typical error and smallest real change.
//
// All values are in the unit of the measure. NaN stands for "not known" and is
// left out of means. A standard error belongs to one number; an SD describes the
// scatter of several. The package decides nothing: verdicts are made of these
// numbers elsewhere.
package spread
