package limit

import (
	"fmt"
	"math"

	"underkick/internal/kick"
)

// Flag says that a number is outside what swimmers do, and what to check.
type Flag struct {
	Measure string
	Text    string
}

// bound is the span of a measure outside which something is probably wrong with
// the clip, the scale or the marks rather than with the swimmer.
type bound struct {
	measure   string
	low, high float64
	check     string // what to check
}

// bounds are the sanity ranges of the model's description (hydrodynamics.md,
// section 12): common practice and published spans together, no single source.
// The span of the ankle's range is quoted from a review (Veiga and others 2022).
var bounds = []bound{
	{"kick_frequency", 1.5, 3.0, "the film's true frame rate"},
	{"toe_amplitude", 0.30, 0.70, "the scale and the toe marks"},
	{"speed", 0.7, 2.2, "the scale and the film's true frame rate"},
	{"knee_flexion_max", 45, 110, "the marks of hip, knee and ankle"},
	{"ankle_range", 34, 64, "the marks of knee, ankle and toe"},
}

// touches reports whether the measure or any of its band lies within the span: a
// value just outside it may be an honest one just inside.
func (b bound) touches(m kick.Measure) bool {
	low, high := m.Value, m.Value
	if !math.IsNaN(m.Low) && !math.IsNaN(m.High) {
		low, high = m.Low, m.High
	}
	return high >= b.low && low <= b.high
}

// Strouhal numbers outside this span are checked (hydrodynamics.md, section 12).
// A low one means that the swimmer is faster than the kick explains, as in a
// published sample with 1.9 Hz, 0.45 m and 1.8 m/s, which gives 0.475
// (Matsuura and others 2020; reference-notes a8).
const (
	strouhalLow  = 0.55
	strouhalHigh = 1.15
)

// kickLengthHigh is the largest published mean distance per kick, 0.76 m (Arellano
// et al. 2002, quoted), plus two of the only standard deviation printed for
// adults, 0.10 m (Kuhn and Legerlotz 2022).
const kickLengthHigh = 0.96

// Shares of the kick that the downkick takes.
const (
	downkickShareLow  = 0.40
	downkickShareHigh = 0.55
)

// Implausible returns what is outside the usual span in a run, worst for the
// reading of the others first. A measure without value is passed over.
func Implausible(r *kick.Result) []Flag {
	var flags []Flag
	value := func(id string) (kick.Measure, bool) {
		m, ok := r.Measure(id)
		return m, ok && !math.IsNaN(m.Value)
	}
	length, okLength := value("kick_length")
	if st, ok := value("strouhal"); ok {
		flags = append(flags, strouhalFlag(st.Value, length.Value)...)
	}
	if okLength && length.Value > kickLengthHigh {
		flags = append(flags, Flag{length.ID, fmt.Sprintf("%s per kick is more than is published (0.76 m, spread 0.10 m). Check for push-off speed and the scale.",
			Show(length.Value, length.Unit))})
	}
	for _, b := range bounds {
		m, ok := value(b.measure)
		if !ok || b.touches(m) {
			continue
		}
		flags = append(flags, Flag{b.measure, fmt.Sprintf("%s is %s. %s to %s is usual; check %s.",
			Name(b.measure), Show(m.Value, m.Unit), bare(b.low, m.Unit), Show(b.high, m.Unit), b.check)})
	}
	if m, ok := value("downkick_share"); ok && (m.Value < downkickShareLow || m.Value > downkickShareHigh) {
		flags = append(flags, Flag{m.ID, fmt.Sprintf(
			"The downkick takes %.0f %% of the kick. 40 to 55 %% is usual; check the toe marks and which way up the swimmer is.", 100*m.Value)})
	}
	return flags
}

func strouhalFlag(st, kickLength float64) []Flag {
	switch {
	case st < strouhalLow:
		far := ""
		if kickLength > 0 {
			far = fmt.Sprintf(" and %s per kick", Show(kickLength, "m"))
		}
		return []Flag{{"strouhal", fmt.Sprintf("Strouhal number %.3f%s: faster than the kick explains. Check for push-off speed.", st, far)}}
	case st > strouhalHigh:
		return []Flag{{"strouhal", fmt.Sprintf("Strouhal number %.2f: slow for so large a kick. Check the scale and the toe marks.", st)}}
	}
	return nil
}
