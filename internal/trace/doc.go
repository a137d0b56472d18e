// Package trace fills in the frames between marks: from landmarks placed on a
// few frames it makes a path for every landmark over all frames, with a
// standard error for every point.
//
// Each coordinate of each landmark is modelled as
//
//	z(t) = travel + Fourier series of the kick phase      (pooled over kicks)
//	     + a slowly changing amplitude and phase of it     (kicks differ)
//	     + a smooth residual                               (all else)
//
// and the marks as z plus click noise. The phase is common to all landmarks and
// is found from the marks themselves, so marks at different phases in different
// kicks (staggered) add up to one well-covered kick. The slow change and the
// residual are Gaussian processes of Matern type, written as a linear system
// with seven states and solved by a Kalman filter and smoother, which gives the
// posterior mean, its analytic velocity and its standard error in a time that is
// proportional to the number of frames. docs/methods/traces.md has the equations.
//
// Where something has guessed the landmarks on many frames (NewGuess), the guess is
// the path about which the marks are fitted: z is then the difference from it, in axes
// of a segment of the body, with the guess's habits as what is known beforehand.
//
// The unit is that of the marks: pixels or metres; a fit in pixels is turned
// into metres by the caller. Times are the film's own, in seconds. Nothing here
// draws random numbers except Draw, whose generator the caller seeds.
package trace
