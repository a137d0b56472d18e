package record

import (
	"cmp"
	"math"
	"slices"
	"time"

	"underkick/internal/body"
)

// Act is what a person did to the marks of a run.
type Act string

// The acts. Undo takes back the last step that stands, Redo brings back the
// last one taken back; both are steps of the history themselves and carry no
// changes.
const (
	PlaceMark  Act = "place"
	MoveMark   Act = "move"
	RemoveMark Act = "remove"
	AcceptMark Act = "accept" // a guessed point was found right as it stood
	ImportMark Act = "import" // many at once, from a table
	Undo       Act = "undo"
	Redo       Act = "redo"
)

// Step is one act on the marks of a run. Steps are only ever added.
type Step struct {
	Seq     int64 // 1, 2, 3 ... within the run, in the order of acting
	Act     Act
	By      string // who; may be empty
	At      time.Time
	Changes []Change
}

// Change sets or removes the mark of one landmark on one picture.
type Change struct {
	Mark   body.Mark
	Remove bool // no mark stands there afterwards; X, Y and SD are ignored
}

// Set returns a step that sets marks, all of them undone together.
func Set(act Act, by string, marks ...body.Mark) Step {
	s := Step{Act: act, By: by, Changes: make([]Change, len(marks))}
	for i, m := range marks {
		s.Changes[i] = Change{Mark: m}
	}
	return s
}

// Take returns a step that removes the mark of a landmark from a picture.
func Take(by string, frame int, l body.Landmark) Step {
	return Step{Act: RemoveMark, By: by, Changes: []Change{{Mark: body.Mark{Frame: frame, Landmark: l}, Remove: true}}}
}

// Validate returns nil or Faults of act, by, changes: finite numbers, known
// landmarks, frame numbers from 0 to frames-1 (frames 0 = not known), no
// landmark twice on one picture. A place outside the picture is no fault: see
// Outside.
func (s Step) Validate(frames int) error {
	var f Faults
	oneOf(&f, "act", s.Act, PlaceMark, MoveMark, RemoveMark, AcceptMark, ImportMark, Undo, Redo)
	f.text("by", s.By, maxName)
	turn := s.Act == Undo || s.Act == Redo
	switch {
	case s.Act == "":
		f.add("act", "is missing")
	case turn && len(s.Changes) > 0:
		f.add("changes", "must be empty for %s", s.Act)
	case !turn && len(s.Changes) == 0:
		f.add("changes", "is empty; nothing would change")
	}
	seen := make(map[place]bool, len(s.Changes))
	for i, c := range s.Changes {
		if text := c.fault(frames); text != "" {
			f.add("changes", "number %d: %s", i+1, text)
			break
		}
		if seen[placeOf(c.Mark)] {
			f.add("changes", "%s on picture %d stands there twice; keep one", c.Mark.Landmark, c.Mark.Frame)
			break
		}
		seen[placeOf(c.Mark)] = true
	}
	return f.err()
}

func (c Change) fault(frames int) string {
	m := c.Mark
	switch {
	case m.Frame < 0:
		return "its picture number is negative"
	case frames > 0 && m.Frame >= frames:
		return "its picture comes after the clip's last"
	case int(m.Landmark) >= body.NumLandmarks:
		return "its landmark is unknown"
	case c.Remove:
		return ""
	}
	for _, v := range []float64{m.X, m.Y, m.SD, m.Time} {
		if math.IsNaN(v) || math.Abs(v) > 1e6 {
			return "its numbers are not finite or far too large"
		}
	}
	if m.SD < 0 {
		return "its standard error is negative"
	}
	return ""
}

// Outside reports whether a mark lies outside a picture of the clip.
func (f Facts) Outside(m body.Mark) bool {
	return f.Known() && (m.X < 0 || m.Y < 0 || m.X > float64(f.WidthPx) || m.Y > float64(f.HeightPx))
}

// place is what a mark is the only one of.
type place struct {
	frame    int
	landmark body.Landmark
}

func placeOf(m body.Mark) place { return place{m.Frame, m.Landmark} }

// History is what the steps of a run come to.
type History struct {
	Seq   int64       // of the last step, 0 = none
	Marks []body.Mark // that stand, by frame, then landmark
	Undos int         // steps that can be undone
	Redos int         // steps that can be redone
}

// Replay returns what steps, in order of Seq, come to. An undo with nothing to
// undo and a redo with nothing to redo change nothing. A new change after an
// undo forgets what could have been redone (the steps stay in the history).
func Replay(steps []Step) History {
	var h History
	if n := len(steps); n > 0 {
		h.Seq = steps[n-1].Seq
	}
	done, undone := turns(steps)
	h.Undos, h.Redos = len(done), len(undone)
	h.Marks = apply(steps, done)
	return h
}

// standing returns the indices of the steps that are not taken back.
func standing(steps []Step) []int {
	done, _ := turns(steps)
	return done
}

// turns goes through undo and redo: the indices of the steps that stand, and of
// those that can be redone.
func turns(steps []Step) (done, undone []int) {
	for i, s := range steps {
		switch s.Act {
		case Undo:
			if n := len(done); n > 0 {
				done, undone = done[:n-1], append(undone, done[n-1])
			}
		case Redo:
			if n := len(undone); n > 0 {
				done, undone = append(done, undone[n-1]), undone[:n-1]
			}
		default:
			done, undone = append(done, i), undone[:0]
		}
	}
	return done, undone
}

func apply(steps []Step, done []int) []body.Mark {
	stand := map[place]body.Mark{}
	for _, i := range done {
		for _, c := range steps[i].Changes {
			if c.Remove {
				delete(stand, placeOf(c.Mark))
			} else {
				stand[placeOf(c.Mark)] = c.Mark
			}
		}
	}
	marks := make([]body.Mark, 0, len(stand))
	for _, m := range stand {
		marks = append(marks, m)
	}
	slices.SortFunc(marks, func(a, b body.Mark) int {
		return cmp.Or(cmp.Compare(a.Frame, b.Frame), cmp.Compare(a.Landmark, b.Landmark))
	})
	return marks
}
