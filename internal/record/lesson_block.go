package record

import (
	"fmt"
	"slices"
	"strings"
)

// LessonBlock is one piece of a lesson, in the order of the sheet.
type LessonBlock struct {
	ID      string      `json:"id"` // "b1", unique within the lesson
	Kind    BlockKind   `json:"kind"`
	Text    string      `json:"text,omitempty"` // heading, text, caution; own words beside a practice card
	Runs    []LessonRun `json:"runs,omitempty"` // rows of stills, lines of a curve, bars of a measure; one for a clip or a practice card
	Part    KickPart    `json:"part,omitempty"` // of the kick, for stills
	Curve   string      `json:"curve,omitempty"`
	Measure string      `json:"measure,omitempty"` // id
	Drill   string      `json:"drill,omitempty"`   // id
}

// LessonRun is a run on the sheet.
type LessonRun struct {
	RunID    string            `json:"run"`
	Kick     int               `json:"kick,omitempty"`     // number of the kick shown; 0 = the best-marked
	Words    string            `json:"words,omitempty"`    // beside the row; "" = swimmer and date
	Captions map[string]string `json:"captions,omitempty"` // by moment; one that is missing is filled from the measures
}

// BlockKind is what a block holds.
type BlockKind string

// The kinds of block.
const (
	HeadingBlock  BlockKind = "heading"
	TextBlock     BlockKind = "text"
	StillsBlock   BlockKind = "stills"
	CurveBlock    BlockKind = "curve"
	MeasureBlock  BlockKind = "measure"
	PracticeBlock BlockKind = "practice"
	ClipBlock     BlockKind = "clip"
	CautionBlock  BlockKind = "caution"
)

// BlockKinds lists the kinds in the order of the page.
func BlockKinds() []BlockKind {
	return []BlockKind{HeadingBlock, TextBlock, StillsBlock, CurveBlock, MeasureBlock, PracticeBlock, ClipBlock, CautionBlock}
}

// KickPart is a part of the kick.
type KickPart string

// The parts of a kick.
const (
	DownkickPart KickPart = "downkick"
	UpkickPart   KickPart = "upkick"
	WholePart    KickPart = "whole"
)

// The curves a lesson can show over the phase of a kick, by their ids in package compare.
const (
	FootSpeedCurve  = "foot_speed"
	FootFacingCurve = "facing"
	KneeCurve       = "knee"
	AnkleCurve      = "ankle"
	SpeedCurve      = "speed"
)

// LessonCurves lists the curves in the order of the page.
func LessonCurves() []string {
	return []string{FootSpeedCurve, FootFacingCurve, KneeCurve, AnkleCurve, SpeedCurve}
}

func (b LessonBlock) faults(f *Faults) {
	among(f, "kind", b.Kind, BlockKinds()...)
	oneOf(f, "part", b.Part, DownkickPart, UpkickPart, WholePart)
	oneOf(f, "curve", b.Curve, LessonCurves()...)
	f.text("text", b.Text, maxNotes)
	f.text("measure", b.Measure, maxName)
	f.text("drill", b.Drill, maxName)
	if len(b.Runs) > MaxLessonRuns {
		f.add("runs", "are more than %d in one block; make a second block", MaxLessonRuns)
	}
	for _, r := range b.Runs {
		if r.RunID == "" {
			f.add("runs", "name no run; choose one")
		}
		if r.Kick < 0 {
			f.add("kick", "is %d; kicks are counted from 1", r.Kick)
		}
		f.text("words", r.Words, maxCaption)
		for _, c := range r.Captions {
			f.text("caption", c, maxCaption)
		}
	}
}

// at returns the place of a block, -1 when it is not there.
func (b LessonBody) at(id string) int {
	return slices.IndexFunc(b.Blocks, func(x LessonBlock) bool { return x.ID == id })
}

// Block returns a block by its id.
func (b LessonBody) Block(id string) (LessonBlock, bool) {
	if i := b.at(id); i >= 0 {
		return b.Blocks[i], true
	}
	return LessonBlock{}, false
}

// Add puts a block after the one of that id, or at the end for an unknown one, and returns the
// body with it and its new id. The body itself stays as it is.
func (b LessonBody) Add(block LessonBlock, after string) (LessonBody, string) {
	block.ID = b.freeID()
	to := len(b.Blocks)
	if i := b.at(after); i >= 0 {
		to = i + 1
	}
	b.Blocks = slices.Insert(slices.Clone(b.Blocks), to, block)
	return b, block.ID
}

func (b LessonBody) freeID() string {
	for n := 1; ; n++ {
		if id := fmt.Sprintf("b%d", n); b.at(id) < 0 {
			return id
		}
	}
}

// Set returns the body with a block in the place of the one with its id.
func (b LessonBody) Set(block LessonBlock) LessonBody {
	if i := b.at(block.ID); i >= 0 {
		b.Blocks = slices.Clone(b.Blocks)
		b.Blocks[i] = block
	}
	return b
}

// Move returns the body with a block moved by so many places, as far as there are any.
func (b LessonBody) Move(id string, by int) LessonBody {
	i := b.at(id)
	if i < 0 {
		return b
	}
	to := min(max(i+by, 0), len(b.Blocks)-1)
	blocks := slices.Clone(b.Blocks)
	block := blocks[i]
	blocks = slices.Insert(slices.Delete(blocks, i, i+1), to, block)
	b.Blocks = blocks
	return b
}

// Drop returns the body without a block.
func (b LessonBody) Drop(id string) LessonBody {
	if i := b.at(id); i >= 0 {
		b.Blocks = slices.Delete(slices.Clone(b.Blocks), i, i+1)
	}
	return b
}

// Without returns the body without anything of a swimmer: without rows of the runs, and
// with every text that holds the name, or a word of it, emptied.
func (b LessonBody) Without(runIDs []string, name string) LessonBody {
	clear := func(text string) string {
		if mentions(text, name) {
			return ""
		}
		return text
	}
	if b.Title = clear(b.Title); b.Title == "" {
		b.Title = "Lesson"
	}
	blocks := slices.Clone(b.Blocks)
	for i := range blocks {
		blocks[i].Text = clear(blocks[i].Text)
		var kept []LessonRun
		for _, r := range blocks[i].Runs {
			if slices.Contains(runIDs, r.RunID) {
				continue
			}
			r.Words = clear(r.Words)
			captions := map[string]string{}
			for moment, c := range r.Captions {
				captions[moment] = clear(c)
			}
			r.Captions = captions
			kept = append(kept, r)
		}
		blocks[i].Runs = kept
	}
	b.Blocks = blocks
	return b
}

// Mentions reports whether a text of the body holds a name or a word of it.
func (b LessonBody) Mentions(name string) bool {
	if mentions(b.Title, name) {
		return true
	}
	for _, block := range b.Blocks {
		if mentions(block.Text, name) {
			return true
		}
		for _, r := range block.Runs {
			if mentions(r.Words, name) {
				return true
			}
			for _, c := range r.Captions {
				if mentions(c, name) {
					return true
				}
			}
		}
	}
	return false
}

// mentions reports whether a text holds, as a whole word, a word of the name with three
// letters or more.
func mentions(text, name string) bool {
	words := map[string]bool{}
	for _, w := range wordsOf(text) {
		words[w] = true
	}
	for _, w := range wordsOf(name) {
		if len([]rune(w)) >= 3 && words[w] {
			return true
		}
	}
	return false
}

// wordsOf cuts a text into its words, folded as names are compared; the s of a genitive is cut off.
func wordsOf(text string) []string {
	var words []string
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \t\r\n.,;:!?()[]\"/&+–—", r) }) {
		w = strings.Trim(w, "'’-")
		w = strings.TrimSuffix(strings.TrimSuffix(w, "'s"), "’s")
		if w = plain(w); w != "" {
			words = append(words, w)
		}
	}
	return words
}
