package table

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"sort"

	"underkick/internal/body"
)

// Table is a set of marks with what is known of the clip they belong to.
type Table struct {
	// Marks are sorted by frame, then by landmark; a landmark stands at most
	// once on a frame. Where HasFrame is false, Frame is the rank of the mark's
	// time among the table's times; where HasTime is false, Time is 0.
	Marks []body.Mark

	HasFrame bool // every mark names its frame
	HasTime  bool // every mark carries its time in s

	FPS         float64         // frames per second stated by the table; 0 = not stated
	Who         string          // who marked; "" = not stated
	Clip        Clip            // the film the marks belong to; zero = not stated
	Run         *Run            // the part of the clip that was marked; nil = not stated
	MetresPerPx float64         // plain scale; 0 = not stated
	Plane       json.RawMessage // plane in the form of the plane file, not looked into; nil = not stated

	// Warnings say in plain words what was left out or assumed while reading.
	Warnings []string
}

// Clip names the film that marks belong to.
type Clip struct {
	Name   string // file name without folders
	SHA256 string // of the file's bytes, 64 lower-case hex digits
}

// Run is a range of frames, both ends included.
type Run struct{ FirstFrame, LastFrame int }

// Frames returns the distinct frame numbers, rising.
func (t *Table) Frames() []int {
	var frames []int
	for _, m := range t.Marks {
		if len(frames) == 0 || frames[len(frames)-1] != m.Frame {
			frames = append(frames, m.Frame)
		}
	}
	return frames
}

// Times returns the time of each of Frames, in s.
func (t *Table) Times() []float64 {
	var times []float64
	last := -1
	for _, m := range t.Marks {
		if m.Frame != last {
			times, last = append(times, m.Time), m.Frame
		}
	}
	return times
}

// AtRate returns a copy whose marks have the time Frame/fps, for a table
// without film. A table that has times keeps them: they win over a rate. With
// fps = 0 the table's own FPS is used. An error says that no time can be had.
func (t *Table) AtRate(fps float64) (*Table, error) {
	if t.HasTime {
		return t, nil
	}
	if fps == 0 {
		fps = t.FPS
	}
	if !(fps > 0) || math.IsInf(fps, 0) {
		return nil, fmt.Errorf("the table has no time_s column and no frame rate is given, so speeds cannot be computed; state the frames per second")
	}
	c := *t
	c.Marks = slices.Clone(t.Marks)
	c.HasTime = true
	for i := range c.Marks {
		c.Marks[i].Time = float64(c.Marks[i].Frame) / fps
	}
	return &c, nil
}

// OnFilm returns a copy of the table placed on a film whose frames have the
// given presentation times (s, rising). Frame numbers address the pictures and
// a time_s that is more than half a frame off is reported as a warning and not
// used. A table with times only is placed on the nearest frames. Marks beyond
// the film are a *Problems.
func (t *Table) OnFilm(times []float64) (*Table, error) {
	c := *t
	c.Marks = slices.Clone(t.Marks)
	c.Warnings = slices.Clone(t.Warnings)
	probs := &Problems{What: "the marks do not fit the film"}
	if t.HasFrame {
		c.placeByFrame(times, probs)
	} else {
		c.placeByTime(times, probs)
	}
	if err := probs.err(); err != nil {
		return nil, err
	}
	c.HasFrame, c.HasTime = true, true
	return &c, nil
}

func (t *Table) placeByFrame(times []float64, probs *Problems) {
	var off int
	worst, worstFrame := 0.0, 0
	lastBad := -1
	for i := range t.Marks {
		m := &t.Marks[i]
		if m.Frame >= len(times) {
			if m.Frame != lastBad {
				probs.add(0, "frame %d is marked, but the film has frames 0 to %d; check that the marks belong to this film and that frames are counted from 0", m.Frame, len(times)-1)
			}
			lastBad = m.Frame
			continue
		}
		at := times[m.Frame]
		if d := math.Abs(m.Time - at); t.HasTime && d > halfFrame(times, m.Frame) {
			off++
			if d > worst {
				worst, worstFrame = d, m.Frame
			}
		}
		m.Time = at
	}
	if off > 0 {
		t.Warnings = append(t.Warnings, fmt.Sprintf("time_s disagrees with the film on %d marks (by up to %.3f s, on frame %d); the film's own times are used", off, worst, worstFrame))
	}
}

func (t *Table) placeByTime(times []float64, probs *Problems) {
	last := -1
	for i := range t.Marks {
		m := &t.Marks[i]
		f := nearest(times, m.Time)
		if f < 0 || math.Abs(times[f]-m.Time) > halfFrame(times, f)+1e-9 {
			probs.add(0, "%s at %.4f s: the film has no frame within half a frame of that time; give frame numbers, or times as the film has them", m.Landmark, m.Time)
			continue
		}
		rank := m.Frame
		if m.Frame, m.Time = f, times[f]; i > 0 && rank != last && m.Frame == t.Marks[i-1].Frame {
			probs.add(0, "two times of the table fall on frame %d of the film (%.4f s); give frame numbers", f, times[f])
		}
		last = rank
	}
}

// halfFrame returns half the shortest gap between frame i and its neighbours.
func halfFrame(times []float64, i int) float64 {
	gap := math.Inf(1)
	if i > 0 {
		gap = times[i] - times[i-1]
	}
	if i+1 < len(times) {
		gap = min(gap, times[i+1]-times[i])
	}
	return gap / 2
}

// nearest returns the index of the time closest to x, -1 for no times.
func nearest(times []float64, x float64) int {
	if len(times) == 0 {
		return -1
	}
	i := sort.SearchFloat64s(times, x)
	if i == len(times) || (i > 0 && x-times[i-1] <= times[i]-x) {
		i--
	}
	return i
}

// Motion returns the marks as paths over the table's times, in picture px (y
// down), NaN where a landmark stands on no mark at that time. SD is nil for a
// landmark none of whose marks states one, NaN where single marks do not. The
// caller turns px into metres.
func (t *Table) Motion() body.Motion {
	m := body.Motion{T: t.Times()}
	at, last := -1, -1
	for _, mark := range t.Marks {
		if mark.Frame != last {
			at, last = at+1, mark.Frame
		}
		p := m.Paths[mark.Landmark]
		if p == nil {
			p = &body.Path{X: unknown(len(m.T)), Y: unknown(len(m.T))}
			m.Paths[mark.Landmark] = p
		}
		p.X[at], p.Y[at] = mark.X, mark.Y
		if mark.SD > 0 {
			if p.SD == nil {
				p.SD = unknown(len(m.T))
			}
			p.SD[at] = mark.SD
		}
	}
	return m
}

// FromMotion returns the known points of a motion in picture px as marks, the
// i-th time on frame frames[i]. It panics if the lengths differ.
func FromMotion(m body.Motion, frames []int) []body.Mark {
	if len(frames) != len(m.T) {
		panic("table: FromMotion needs one frame number per time")
	}
	var marks []body.Mark
	for i, at := range m.T {
		for l, p := range m.Paths {
			if p == nil || math.IsNaN(p.X[i]) || math.IsNaN(p.Y[i]) {
				continue
			}
			mark := body.Mark{Frame: frames[i], Time: at, Landmark: body.Landmark(l), X: p.X[i], Y: p.Y[i]}
			if p.SD != nil && p.SD[i] > 0 {
				mark.SD = p.SD[i]
			}
			marks = append(marks, mark)
		}
	}
	return marks
}

func unknown(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = math.NaN()
	}
	return x
}

// Outside returns the marks that lie outside a picture of w by h px, edges
// included in the picture.
func Outside(marks []body.Mark, w, h int) []body.Mark {
	var out []body.Mark
	for _, m := range marks {
		if !(m.X >= 0 && m.X <= float64(w) && m.Y >= 0 && m.Y <= float64(h)) {
			out = append(out, m)
		}
	}
	return out
}
