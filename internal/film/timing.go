package film

import (
	"math"
	"slices"
)

// finish numbers the frames, gives them their times and derives what Info
// says about rate and duration. It may be called again after Frames changed.
func (x *Index) finish() {
	info := &x.Info
	n := len(x.Frames)
	info.Frames = n
	if n == 0 {
		return
	}
	first := x.Frames[0].PTS
	for k := range x.Frames {
		x.Frames[k].N = k
		x.Frames[k].Time = info.timeBase.seconds(x.Frames[k].PTS - first)
	}
	if n < 2 {
		return
	}
	x.rates()
	x.snap()
	span := x.Frames[n-1].Time
	info.FPS = float64(n-1) / span
	info.Duration = span + x.spacing()
	if _, slow := info.SlowMotion(); slow {
		info.add(warn(WarnSlowMotion, "The file plays at %.4g frames a second but says it was filmed at %.4g. Confirm the true rate before speeds are shown.", info.FPS, info.CaptureFPS))
	}
	if n > MaxFrames || n > freeFrames && info.Duration > MaxSeconds {
		info.add(warn(WarnLong, "The clip lasts %.0f s (%d frames). Choose a stretch of at most %.0f s to work on.", info.Duration, n, MaxSeconds))
	}
}

// spacing returns the median time between frames, s.
func (x *Index) spacing() float64 {
	d := make([]float64, len(x.Frames)-1)
	for k := range d {
		d[k] = x.Frames[k+1].Time - x.Frames[k].Time
	}
	slices.Sort(d)
	return d[len(d)/2]
}

// rates sets NominalFPS and Variable, and warns of gaps. A spacing counts as
// one frame when it is within 1.5 units of the clock or 2 % of the median, as
// a gap when it is a whole number of frames, and as uneven otherwise.
func (x *Index) rates() {
	info := &x.Info
	median := x.spacing()
	if median <= 0 {
		info.Variable = true
		return
	}
	if info.NominalFPS <= 0 || info.NominalFPS > 1.5/median {
		info.NominalFPS = 1 / median
	}
	tolerance := max(1.5*info.timeBase.Float(), 0.02*median)
	uneven, gaps, lost, where := 0, 0, 0, 0.0
	for k := 1; k < len(x.Frames); k++ {
		d := x.Frames[k].Time - x.Frames[k-1].Time
		frames := max(1, math.Round(d/median))
		switch {
		case math.Abs(d-frames*median) > tolerance*frames:
			uneven++
		case frames > 1:
			if gaps == 0 {
				where = x.Frames[k-1].Time
			}
			gaps++
			lost += int(frames) - 1
		}
	}
	n := len(x.Frames) - 1
	info.Variable = uneven > 0 || gaps*50 > n
	switch {
	case info.Variable:
		info.add(warn(WarnVariable, "The frames are not evenly spaced. Each frame's own time is used, so the results hold."))
	case gaps > 0:
		info.add(warn(WarnGaps, "%d frame(s) are missing in %d place(s), the first after %.2f s. Times stay right; look at the marks there.", lost, gaps, where))
	}
}

// snap takes back the rounding of containers that store whole milliseconds:
// when all stored times are within 1 ms of evenly spaced ones at the nominal
// rate, the frames get the even times. PTS keep what was stored.
func (x *Index) snap() {
	info := &x.Info
	if info.timeBase.Num*1000 != info.timeBase.Den || info.Variable || info.Has(WarnGaps) {
		return
	}
	n := len(x.Frames)
	for _, rate := range []float64{info.NominalFPS, info.average, float64(n-1) / x.Frames[n-1].Time} {
		if !x.even(rate) {
			continue
		}
		for k := range x.Frames {
			x.Frames[k].Time = float64(k) / rate
		}
		info.add(warn(WarnRoundedClock, "The file stores times in whole milliseconds. They fit an even %.5g frames a second, which is used.", rate))
		return
	}
}

// even reports whether all times are those of the rate to 1 ms.
func (x *Index) even(rate float64) bool {
	if rate <= 0 {
		return false
	}
	for k, f := range x.Frames {
		if math.Abs(f.Time-float64(k)/rate) > 1.0001e-3 {
			return false
		}
	}
	return true
}
