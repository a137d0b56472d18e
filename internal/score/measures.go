package score

import (
	"math"
	"strings"

	"underkick/internal/kick"
)

// Measure is how good one measure came out.
type Measure struct {
	ID       string
	Unit     string  // of the measure
	Relative bool    // errors are shares of the truth, else in Unit
	N        int     // times it was compared
	Withheld int     // times it had no value where the truth has one
	Bias     float64 // mean error; NaN for N = 0
	RMS      float64 // root mean square error; NaN for N = 0
	Held     float64 // share of the 95 % bands that hold the truth; NaN for N = 0
	Width    float64 // median half-width of the bands, as the errors
}

// Measures gathers the errors of measures over runs and clips. The zero value is
// empty.
type Measures struct {
	order []string
	by    map[string]*measured
}

type measured struct {
	unit     string
	relative bool
	withheld int
	held     int
	errors   []float64
	widths   []float64
}

// moment ends the ids of measures that are a part of the kick's time, 0 to 1.
const moment = "_at"

// Add compares a measure with its true value in the same unit. Lengths, speeds,
// times and frequencies are judged as shares of the truth, angles and plain ratios
// in their own unit. Measures that are words and truths that are NaN are left out.
func (s *Measures) Add(truth float64, got kick.Measure) {
	if got.Text != "" || got.Unit == "" || math.IsNaN(truth) {
		return
	}
	m := s.of(got)
	if !got.Known() {
		m.withheld++
		return
	}
	per := 1.0
	if m.relative {
		per = math.Abs(truth)
	}
	if strings.HasSuffix(got.ID, moment) { // the end of one kick is the start of the next
		truth = got.Value + math.Remainder(truth-got.Value, 1)
	}
	m.errors = append(m.errors, (got.Value-truth)/per)
	m.widths = append(m.widths, got.Half()/per)
	if truth >= got.Low && truth <= got.High {
		m.held++
	}
}

func (s *Measures) of(got kick.Measure) *measured {
	if m, ok := s.by[got.ID]; ok {
		return m
	}
	if s.by == nil {
		s.by = map[string]*measured{}
	}
	m := &measured{unit: got.Unit, relative: got.Unit != "1" && got.Unit != "deg"}
	s.by[got.ID] = m
	s.order = append(s.order, got.ID)
	return m
}

// List returns what was gathered, in the order in which it came.
func (s *Measures) List() []Measure {
	out := make([]Measure, len(s.order))
	for i, id := range s.order {
		m := s.by[id]
		n := float64(len(m.errors))
		sum := 0.0
		for _, e := range m.errors {
			sum += e
		}
		out[i] = Measure{
			ID: id, Unit: m.unit, Relative: m.relative, N: len(m.errors), Withheld: m.withheld,
			Bias: sum / n, RMS: rms(m.errors), Held: float64(m.held) / n, Width: percentile(m.widths, 0.5),
		}
	}
	return out
}

// Bands returns over all measures how many 95 % bands hold the truth, and of how
// many.
func (s *Measures) Bands() (held, of int) {
	for _, m := range s.by {
		held, of = held+m.held, of+len(m.errors)
	}
	return held, of
}
