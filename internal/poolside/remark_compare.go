package poolside

import (
	"math"
	"slices"
	"time"

	"underkick/internal/body"
	"underkick/internal/marker"
	"underkick/internal/record"
)

// remarked is what one sitting of marking again gave.
type remarked struct {
	By          string
	RunID       string
	RemarkID    string // "" for runs marked together
	Frames      int
	Counts      bool
	At          time.Time
	BodyPx      float64
	Points      []RemarkPoint
	differences []marker.Difference
}

// remarkedFrame compares a frame marked again with its first marks.
func remarkedFrame(r record.Remark, history []record.Step) remarked {
	first := record.Standing(record.Before(history, r.RunSeq))
	s := remarked{By: r.By, RunID: r.RunID, RemarkID: r.ID, Counts: r.Counts(), At: r.Created}
	var second []record.Placed
	for _, m := range record.Replay(r.Steps).Marks {
		second = append(second, record.Placed{Mark: m, At: r.Created})
	}
	s.compare(first, second, r.RunID+r.Created.Format(time.DateOnly))
	return s
}

// remarkedRun compares one run of a pair marked together with the marks that stood
// there before. A mark that replaced none tells nothing.
func remarkedRun(p record.Pair, side int, history []record.Step) remarked {
	s := remarked{By: p.By, RunID: p.RunIDs[side], Counts: true, At: p.Created}
	if len(p.Steps[side]) == 0 {
		return s
	}
	first := record.Standing(record.Before(history, p.Steps[side][0]-1))
	var second []record.Placed
	for _, m := range record.Standing(history) {
		if _, made := slices.BinarySearch(p.Steps[side], m.Seq); made {
			second = append(second, m)
		}
	}
	s.compare(first, second, p.ID+p.RunIDs[side])
	return s
}

// compare fills in points and differences. Only first marks of the same person, or
// without a name, tell of this person's error.
func (s *remarked) compare(first, second []record.Placed, sitting string) {
	type place struct {
		frame int
		l     body.Landmark
	}
	was := map[place]record.Placed{}
	marks := make([]body.Mark, len(first))
	for i, m := range first {
		marks[i] = m.Mark
		was[place{m.Mark.Frame, m.Mark.Landmark}] = m
	}
	s.BodyPx = marker.BodyLength(marks)
	frames := map[int]bool{}
	for _, m := range second {
		f, ok := was[place{m.Mark.Frame, m.Mark.Landmark}]
		if !ok {
			continue
		}
		point := RemarkPoint{
			Frame: m.Mark.Frame, Landmark: m.Mark.Landmark.String(), FirstBy: f.By, Later: m.At.Sub(f.At) >= laterAfter,
			First: [2]float64{f.Mark.X, f.Mark.Y}, Second: [2]float64{m.Mark.X, m.Mark.Y}, SizePart: math.NaN(),
		}
		own := f.By == "" || f.By == s.By
		if s.BodyPx > 0 {
			d := marker.Differences(marks, []body.Mark{m.Mark}, s.BodyPx)[0]
			d.Sitting, d.Later = sitting, point.Later
			point.SizePart = d.Size()
			if own {
				s.differences = append(s.differences, d)
				frames[m.Mark.Frame] = true
			}
		}
		s.Points = append(s.Points, point)
	}
	s.Frames = len(frames)
}
