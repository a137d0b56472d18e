package record

import (
	"time"

	"underkick/internal/body"
)

// Remark is one frame of a run that a person marked again without seeing the
// first marks. What it is compared with is the run's history as far as RunSeq.
type Remark struct {
	ID      string
	RunID   string
	Frame   int
	RunSeq  int64  // last step of the run's history that counts as first marks
	By      string // who marked again
	Created time.Time
	Steps   []Step // placing, removing, undo and redo, as on a run
	Acts    []RemarkAct
}

// RemarkAct is what a person decided about a whole Remark. Acts are only added.
type RemarkAct struct {
	Act RemarkWord
	At  time.Time
}

// RemarkWord is one decision about a Remark.
type RemarkWord string

// The decisions. A finished remark takes no more marks, because its first marks
// have been shown; a discarded one does not count until it is restored.
const (
	FinishRemark  RemarkWord = "finish"
	DiscardRemark RemarkWord = "discard"
	RestoreRemark RemarkWord = "restore"
)

// Finished reports whether the first marks have been shown.
func (r Remark) Finished() bool {
	for _, a := range r.Acts {
		if a.Act == FinishRemark {
			return true
		}
	}
	return false
}

// Discarded reports whether the last word on the remark is that it does not count.
func (r Remark) Discarded() bool {
	out := false
	for _, a := range r.Acts {
		switch a.Act {
		case DiscardRemark:
			out = true
		case RestoreRemark:
			out = false
		}
	}
	return out
}

// Counts reports whether the remark tells of its marker's error.
func (r Remark) Counts() bool { return r.Finished() && !r.Discarded() }

// Validate returns nil or Faults of run, by, frame.
func (r Remark) Validate() error {
	var f Faults
	f.required("run", r.RunID, "the run")
	f.name("by", r.By)
	if r.Frame < 0 {
		f.add("frame", "is %d; pictures count from 0", r.Frame)
	}
	return f.err()
}

// ValidateStep returns nil or Faults of a step on this remark: as Step.Validate,
// and on its own frame only.
func (r Remark) ValidateStep(s Step) error {
	if err := s.Validate(0); err != nil {
		return err
	}
	var f Faults
	for _, c := range s.Changes {
		if c.Mark.Frame != r.Frame {
			f.add("changes", "frame %d is not the one that is marked again, %d", c.Mark.Frame, r.Frame)
		}
	}
	return f.err()
}

// Pair is a joint re-marking of two runs of one swimmer: ankle, heel and toe,
// frame by frame, the two runs in turn. Its marks are marks of the runs; Steps
// names those steps of each run's history that belong to it.
type Pair struct {
	ID      string
	RunIDs  [2]string
	By      string
	Created time.Time
	Steps   [2][]int64 // seq within the history of each run, rising
}

// Validate returns nil or Faults of run_a, run_b, by.
func (a Pair) Validate() error {
	var f Faults
	f.required("run_a", a.RunIDs[0], "the first run")
	f.required("run_b", a.RunIDs[1], "the second run")
	if a.RunIDs[0] == a.RunIDs[1] {
		f.add("run_b", "is the same run; choose another")
	}
	f.name("by", a.By)
	return f.err()
}

// Placed tells where a standing mark comes from.
type Placed struct {
	Mark body.Mark
	Seq  int64 // of the step that placed it
	By   string
	At   time.Time
}

// Standing returns the marks that stand after steps, by frame, then landmark, with
// the step that placed each: Replay for those who ask who marked, and when.
func Standing(steps []Step) []Placed {
	h := Replay(steps)
	by := map[place]Step{}
	for _, i := range standing(steps) {
		for _, c := range steps[i].Changes {
			by[placeOf(c.Mark)] = steps[i]
		}
	}
	out := make([]Placed, len(h.Marks))
	for i, m := range h.Marks {
		s := by[placeOf(m)]
		out[i] = Placed{Mark: m, Seq: s.Seq, By: s.By, At: s.At}
	}
	return out
}

// Before returns the steps up to seq, included.
func Before(steps []Step, seq int64) []Step {
	n := 0
	for n < len(steps) && steps[n].Seq <= seq {
		n++
	}
	return steps[:n]
}

// Last returns the last step that stands, the one that an undo would take back.
func Last(steps []Step) (Step, bool) {
	done := standing(steps)
	if len(done) == 0 {
		return Step{}, false
	}
	return steps[done[len(done)-1]], true
}
