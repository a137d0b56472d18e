package trace

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"underkick/internal/body"
)

// ErrTooFewMarks is wrapped by the error of Fit when no landmark can be traced.
var ErrTooFewMarks = errors.New("too few marks")

// Fewest is the least number of marked frames from which a landmark is traced:
// a moving place, a first harmonic and one mark to hold them against.
const Fewest = 5

// spot is a landmark on one frame; usually of one mark, the mean of several
// where a table holds the same landmark on the same frame more than once.
type spot struct {
	t, x, y float64
	sd      float64 // stated standard error per axis
	loose   float64 // factor on its variance; above 1 for a mark that does not fit
	from    []int   // indexes of the marks
}

// track is all spots of one landmark in order of time.
type track struct {
	landmark body.Landmark
	spots    []spot
	amp      [2]float64 // size of its periodic movement in x and y, unit of the marks
	click    float64    // standard error of a mark that states none
	part     *own       // its own part in the tuning; nil = none
	base     *base      // of a guessed landmark: the spots are then differences from it; nil = places
}

// at returns the spot's coordinate along an axis, 0 for x and 1 for y.
func (s *spot) at(axis int) float64 {
	if axis == 0 {
		return s.x
	}
	return s.y
}

// reach returns the size of the track's movement, both coordinates together.
func (tr *track) reach() float64 { return math.Hypot(tr.amp[0], tr.amp[1]) }

// span returns the times of the first and last spot.
func (tr *track) span() (first, last float64) {
	if tr.base != nil { // what is known of its differences does not end with the marks
		return tr.base.times[0], tr.base.times[len(tr.base.times)-1]
	}
	return tr.spots[0].t, tr.spots[len(tr.spots)-1].t
}

// checkTimes refuses times that are not finite or do not rise.
func checkTimes(times []float64) error {
	if len(times) == 0 {
		return errors.New("there are no frames to trace the landmarks on")
	}
	for i, t := range times {
		if math.IsNaN(t) || math.IsInf(t, 0) {
			return fmt.Errorf("the time of frame %d is not a number, so nothing can be traced", i)
		}
		if i > 0 && !(t > times[i-1]) {
			return fmt.Errorf("the time of frame %d does not come after the one before it (%.6f s, %.6f s)", i, times[i-1], t)
		}
	}
	return nil
}

// checkMarks refuses marks that no reader should have let through.
func checkMarks(marks []body.Mark) error {
	for i, m := range marks {
		for _, v := range []float64{m.Time, m.X, m.Y, m.SD} {
			if math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > 1e9 {
				return fmt.Errorf("mark %d (%v, frame %d) holds a number that cannot be used (time %v s, place %v, %v); remove or correct it", i, m.Landmark, m.Frame, m.Time, m.X, m.Y)
			}
		}
		if m.SD < 0 {
			return fmt.Errorf("mark %d (%v, frame %d) has a negative standard error", i, m.Landmark, m.Frame)
		}
		if int(m.Landmark) >= body.NumLandmarks {
			return fmt.Errorf("mark %d is of %v, which is no landmark", i, m.Landmark)
		}
	}
	return nil
}

// sortTracks groups marks by landmark and merges those of one instant. Marks
// without a standard error get markSD.
func sortTracks(marks []body.Mark, markSD float64) []*track {
	order := make([]int, len(marks))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(marks[a].Landmark, marks[b].Landmark), cmp.Compare(marks[a].Time, marks[b].Time))
	})
	var tracks []*track
	for _, i := range order {
		m := marks[i]
		if len(tracks) == 0 || tracks[len(tracks)-1].landmark != m.Landmark {
			tracks = append(tracks, &track{landmark: m.Landmark, click: markSD})
		}
		tr := tracks[len(tracks)-1]
		sd := m.SD
		if sd == 0 {
			sd = markSD
		}
		if k := len(tr.spots) - 1; k >= 0 && m.Time-tr.spots[k].t < 1e-6 {
			tr.spots[k].merge(i, m.X, m.Y)
			continue
		}
		tr.spots = append(tr.spots, spot{t: m.Time, x: m.X, y: m.Y, sd: sd, loose: 1, from: []int{i}})
	}
	return tracks
}

// merge takes mark i into the spot's mean.
func (s *spot) merge(i int, x, y float64) {
	n := float64(len(s.from))
	s.x = (s.x*n + x) / (n + 1)
	s.y = (s.y*n + y) / (n + 1)
	s.from = append(s.from, i)
}

// bodySize returns the distance of the two landmarks that lie farthest apart, each
// pair judged by its median over the frames on which both are marked; about the
// body's length when finger tips and toes are marked together somewhere. Frames on
// which only the foot is marked do not shrink it. Without two landmarks on one
// frame it is the extent of all marks.
func bodySize(marks []body.Mark) float64 {
	size := 0.0
	frames := together(marks)
	for a := range body.Landmark(body.NumLandmarks) {
		for b := range a {
			size = max(size, frames.apart(a, b))
		}
	}
	if size == 0 {
		return extent(marks)
	}
	return size
}

// poses are the places marked on single frames; NaN where a landmark is not marked.
type poses [][body.NumLandmarks][2]float64

// mostPoses bounds the frames looked at for lengths, which are much the same on all.
const mostPoses = 200

// together gathers marks by frame, thinned evenly where there are many.
func together(marks []body.Mark) poses {
	at := map[float64]int{}
	for _, m := range marks {
		at[m.Time] = 0
	}
	times := slices.Sorted(maps.Keys(at))
	stride := (len(times)-1)/mostPoses + 1
	var out poses
	for i, t := range times {
		at[t] = -1
		if i%stride == 0 {
			at[t] = len(out)
			out = append(out, [body.NumLandmarks][2]float64{})
			for l := range out[at[t]] {
				out[at[t]][l] = [2]float64{math.NaN(), math.NaN()}
			}
		}
	}
	for _, m := range marks {
		if i := at[m.Time]; i >= 0 {
			out[i][m.Landmark] = [2]float64{m.X, m.Y}
		}
	}
	return out
}

// apart returns the median distance of two landmarks over the frames on which both
// are marked, 0 where none is.
func (p poses) apart(a, b body.Landmark) float64 {
	var all []float64
	for i := range p {
		if d := math.Hypot(p[i][a][0]-p[i][b][0], p[i][a][1]-p[i][b][1]); !math.IsNaN(d) {
			all = append(all, d)
		}
	}
	if len(all) == 0 {
		return 0
	}
	return median(all)
}

func extent(marks []body.Mark) float64 {
	if len(marks) == 0 {
		return 0
	}
	lowX, highX, lowY, highY := marks[0].X, marks[0].X, marks[0].Y, marks[0].Y
	for _, m := range marks {
		lowX, highX = min(lowX, m.X), max(highX, m.X)
		lowY, highY = min(lowY, m.Y), max(highY, m.Y)
	}
	return math.Hypot(highX-lowX, highY-lowY)
}
