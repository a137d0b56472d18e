package record

import (
	"encoding/json"
	"slices"
	"strings"
	"time"
)

// Lesson is a teaching sheet for one idea. Its versions are only ever added, so that every
// change can be undone.
type Lesson struct {
	ID      string
	SquadID string
	Created time.Time
	LessonVersion
	Undos, Redos int // versions that can be taken back and brought back
}

// LessonVersion is what a lesson holds after one act.
type LessonVersion struct {
	Seq     int64 // 1, 2, 3 ... within the lesson
	Act     LessonAct
	Removed bool // taken off the list; can be undone like any act
	At      time.Time
	LessonBody
}

// LessonAct is what was done to a lesson.
type LessonAct string

// The acts. Undo, redo and remove hold no body.
const (
	KeepLesson   LessonAct = "keep"
	RemoveLesson LessonAct = "remove"
	UndoLesson   LessonAct = "undo"
	RedoLesson   LessonAct = "redo"
)

// LessonBody is what stands on the sheet and for whom.
type LessonBody struct {
	Title    string         `json:"title"`
	Template LessonTemplate `json:"template"`
	Audience Audience       `json:"audience"`
	Paper    Paper          `json:"paper"`
	Names    NamesShown     `json:"names"`
	Soften   bool           `json:"soften"` // faces
	Blocks   []LessonBlock  `json:"blocks"`
}

// LessonTemplate is what a lesson was begun from.
type LessonTemplate string

// The templates: one for each quality, two dates of one swimmer, one swimmer's sheet.
const (
	FacingLesson LessonTemplate = "facing"
	SweepLesson  LessonTemplate = "sweep"
	BuildLesson  LessonTemplate = "build"
	BeforeAfter  LessonTemplate = "before-and-after"
	OneSwimmer   LessonTemplate = "one-swimmer"
)

// LessonTemplates lists the templates in the order of the page.
func LessonTemplates() []LessonTemplate {
	return []LessonTemplate{FacingLesson, SweepLesson, BuildLesson, BeforeAfter, OneSwimmer}
}

// Audience is who sees a lesson or a clip that is made. It decides which consent a
// swimmer's pictures need.
type Audience string

// The audiences. The zero value, of clips alone, is the coach who makes it.
const (
	JustMe       Audience = ""
	InSquad      Audience = "squad"
	OutsideSquad Audience = "outside"
)

// Paper is the size of the printed pages.
type Paper string

// The sizes of paper.
const (
	A4     Paper = "A4"
	Letter Paper = "letter"
)

// NamesShown is how a lesson names its swimmers.
type NamesShown string

// How swimmers are named.
const (
	ShowNames      NamesShown = "names"
	ShowPseudonyms NamesShown = "pseudonyms"
	ShowNoNames    NamesShown = "none"
)

// Bounds of a lesson.
const (
	MaxLessonBlocks = 40
	MaxLessonRuns   = 6 // in one block
	maxLessonBody   = 64 << 10
	maxCaption      = 300
)

// Validate returns nil or Faults of squad and of the body.
func (l Lesson) Validate() error {
	var f Faults
	f.required("squad", l.SquadID, "the squad")
	l.faults(&f)
	return f.err()
}

// Validate returns nil or Faults of title, template, audience, paper, names, blocks.
func (b LessonBody) Validate() error {
	var f Faults
	b.faults(&f)
	return f.err()
}

func (b LessonBody) faults(f *Faults) {
	f.name("title", b.Title)
	among(f, "template", b.Template, LessonTemplates()...)
	among(f, "audience", b.Audience, InSquad, OutsideSquad)
	among(f, "paper", b.Paper, A4, Letter)
	among(f, "names", b.Names, ShowNames, ShowPseudonyms, ShowNoNames)
	if len(b.Blocks) > MaxLessonBlocks {
		f.add("blocks", "are more than %d; make a second lesson", MaxLessonBlocks)
	}
	seen := map[string]bool{}
	for _, block := range b.Blocks {
		if block.ID == "" || seen[block.ID] {
			f.add("blocks", "have no name of their own, or one twice; load the page again")
			break
		}
		seen[block.ID] = true
		block.faults(f)
	}
	if text, err := json.Marshal(b); err != nil || len(text) > maxLessonBody {
		f.add("blocks", "hold more than %d kB; make a second lesson", maxLessonBody>>10)
	}
}

// among is oneOf where a word is needed.
func among[T ~string](f *Faults, field string, value T, allowed ...T) {
	if value == "" {
		f.add(field, "is missing; choose one of %s", list(allowed))
		return
	}
	oneOf(f, field, value, allowed...)
}

func list[T ~string](words []T) string {
	texts := make([]string, len(words))
	for i, w := range words {
		texts[i] = string(w)
	}
	return strings.Join(texts, ", ")
}

// RunIDs returns every run that stands on the sheet, each once, in order.
func (b LessonBody) RunIDs() []string {
	var ids []string
	for _, block := range b.Blocks {
		for _, r := range block.Runs {
			if !slices.Contains(ids, r.RunID) {
				ids = append(ids, r.RunID)
			}
		}
	}
	return ids
}

// ReplayLesson returns the version that stands after a history, oldest first, with its own Seq
// (the newest of the history), Act and At, and how many versions can be taken back and brought
// back. An undo never takes back the first version; to remove a lesson is an act like any other.
func ReplayLesson(history []LessonVersion) (stands LessonVersion, undos, redos int) {
	acts := make([]LessonAct, len(history))
	for i, v := range history {
		acts[i] = v.Act
	}
	line, at := replayed(acts, UndoLesson, RedoLesson)
	if at < 0 {
		return LessonVersion{}, 0, 0
	}
	stands = history[line[at]]
	for i := at; i > 0 && history[line[i]].Act == RemoveLesson; i-- {
		stands.LessonBody = history[line[i-1]].LessonBody
	}
	stands.Removed, stands.Seq = stands.Act == RemoveLesson, history[len(history)-1].Seq
	return stands, at, len(line) - 1 - at
}
