package table

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"underkick/internal/body"
)

// Limits that keep a damaged or hostile table from eating the machine. An hour
// at 240 pictures per second has 864 000 frames.
const (
	maxBytes  = 128 << 20 // of a file
	maxMarks  = 2_000_000
	maxFrame  = 10_000_000
	maxPx     = 1e6 // either coordinate, both signs
	maxTime   = 1e6 // s, both signs
	minFrameS = 1e-4
)

// row is one mark as it was read, before the table is known as a whole.
type row struct {
	mark     body.Mark
	line     int
	hasFrame bool
	hasTime  bool
}

// check looks at the numbers of one row; NaN and infinities are problems.
func (r row) check(probs *Problems) bool {
	n := probs.count()
	m := r.mark
	for _, v := range []struct {
		name  string
		value float64
		most  float64
	}{{"x_px", m.X, maxPx}, {"y_px", m.Y, maxPx}, {"time_s", m.Time, maxTime}} {
		switch {
		case math.IsNaN(v.value) || math.IsInf(v.value, 0):
			probs.add(r.line, "%s is not a finite number; leave out points that are not known", v.name)
		case math.Abs(v.value) > v.most:
			probs.add(r.line, "%s is %g, beyond anything a film can hold (%g); check the column and its unit", v.name, v.value, v.most)
		}
	}
	if !(m.SD >= 0 && m.SD <= maxPx) {
		probs.add(r.line, "sd_px is %g; it is a standard error in px: 0 or more, or left out", m.SD)
	}
	switch {
	case !r.hasFrame && !r.hasTime:
		probs.add(r.line, "neither frame nor time_s is given; give one of them")
	case r.hasFrame && m.Frame < 0:
		probs.add(r.line, "frame is %d; frames are counted from 0", m.Frame)
	case r.hasFrame && m.Frame > maxFrame:
		probs.add(r.line, "frame is %d, more than a film holds (%d)", m.Frame, maxFrame)
	}
	return probs.count() == n
}

// finish turns rows into a table's marks. It decides whether frames and times
// are known throughout, and reports what does not fit together.
func (t *Table) finish(rows []row, probs *Problems) error {
	if err := probs.err(); err != nil {
		return err
	}
	if len(rows) == 0 {
		probs.add(0, "it holds no marks; add at least one row with a landmark and its place")
		return probs
	}
	frames, times := 0, 0
	for _, r := range rows {
		if r.hasFrame {
			frames++
		}
		if r.hasTime {
			times++
		}
	}
	t.HasFrame, t.HasTime = frames == len(rows), times == len(rows)
	switch {
	case !t.HasFrame && !t.HasTime:
		probs.add(0, "some marks give only frame and others only time_s; give the same one for every mark")
		return probs
	case !t.HasTime && times > 0:
		t.Warnings = append(t.Warnings, fmt.Sprintf("time_s is missing from %d of %d marks, so it is not used", len(rows)-times, len(rows)))
	case !t.HasFrame && frames > 0:
		t.Warnings = append(t.Warnings, fmt.Sprintf("frame is missing from %d of %d marks, so it is not used", len(rows)-frames, len(rows)))
	}
	t.order(rows)
	if t.HasTime {
		t.checkTimes(rows, probs)
	}
	checkTwice(rows, t.HasFrame, probs)
	if err := probs.err(); err != nil {
		return err
	}
	t.Marks = make([]body.Mark, len(rows))
	for i, r := range rows {
		t.Marks[i] = r.mark
	}
	return nil
}

// order sorts the rows by frame, or by time where frames are not known, and
// then numbers the distinct times.
func (t *Table) order(rows []row) {
	if !t.HasTime {
		for i := range rows {
			rows[i].mark.Time = 0
		}
	}
	slices.SortStableFunc(rows, func(a, b row) int {
		first := cmp.Compare(a.mark.Frame, b.mark.Frame)
		if !t.HasFrame {
			first = cmp.Compare(a.mark.Time, b.mark.Time)
		}
		return cmp.Or(first, cmp.Compare(a.mark.Landmark, b.mark.Landmark))
	})
	if t.HasFrame {
		return
	}
	rank := 0
	for i := range rows {
		if i > 0 && rows[i].mark.Time != rows[i-1].mark.Time {
			rank++
		}
		rows[i].mark.Frame = rank
	}
}

// checkTimes looks whether each frame has one time and times rise with frames.
func (t *Table) checkTimes(rows []row, probs *Problems) {
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1].mark, rows[i].mark
		switch {
		case a.Frame == b.Frame && a.Time != b.Time:
			probs.add(rows[i].line, "frame %d has the times %g s and %g s (line %d); a frame has one time", b.Frame, a.Time, b.Time, rows[i-1].line)
		case a.Frame != b.Frame && !t.HasFrame && b.Time-a.Time < minFrameS:
			probs.add(rows[i].line, "time_s %g lies %g s after the one of line %d; marks of one frame must carry the same time_s to the last digit", b.Time, b.Time-a.Time, rows[i-1].line)
		case a.Frame != b.Frame && b.Time <= a.Time:
			probs.add(rows[i].line, "time_s %g on frame %d is not later than %g on frame %d (line %d); times must rise with frames", b.Time, b.Frame, a.Time, a.Frame, rows[i-1].line)
		}
	}
}

func checkTwice(rows []row, byFrame bool, probs *Problems) {
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1], rows[i]
		if a.mark.Frame != b.mark.Frame || a.mark.Landmark != b.mark.Landmark {
			continue
		}
		where := fmt.Sprintf("at %g s", b.mark.Time)
		if byFrame {
			where = fmt.Sprintf("on frame %d", b.mark.Frame)
		}
		first := ""
		if a.line > 0 && a.line != b.line {
			first = fmt.Sprintf(" (first on line %d)", a.line)
		}
		probs.add(b.line, "%s stands twice %s%s; keep one", b.mark.Landmark, where, first)
	}
}
