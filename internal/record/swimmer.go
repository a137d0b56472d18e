package record

import (
	"slices"
	"time"

	"underkick/internal/body"
	"underkick/internal/wall"
)

// Sex chooses the published tables that hold for a swimmer; empty = not known.
type Sex string

// The sexes of the published tables.
const (
	Female Sex = "female"
	Male   Sex = "male"
)

// Body returns the sex as package body names it.
func (s Sex) Body() body.Sex {
	switch s {
	case Female:
		return body.Female
	case Male:
		return body.Male
	}
	return body.SexUnknown
}

// Level is how far a swimmer has come; empty = not known.
type Level string

// The levels, lowest first.
const (
	Beginner      Level = "beginner"
	Club          Level = "club"
	Regional      Level = "regional"
	National      Level = "national"
	International Level = "international"
)

// Levels lists the levels, lowest first.
func Levels() []Level { return []Level{Beginner, Club, Regional, National, International} }

// Swimmer is one swimmer of a squad.
type Swimmer struct {
	ID        string
	SquadID   string
	Name      string
	Pseudonym string // shown in place of the name where others look on
	Sex       Sex
	BirthYear int     // 0 = not known
	HeightM   float64 // standing height, m
	HeightOn  Date    // when it was measured
	MassKg    float64
	MassOn    Date
	Level     Level
	Strokes   []wall.Stroke // main strokes, in the order of wall.Strokes; empty = not known
	Habit     Position      // prone or supine: how this swimmer usually kicks
	Notes     string
	Created   time.Time
}

// Subject returns what package body needs to know of the swimmer.
func (s Swimmer) Subject() body.Subject {
	return body.Subject{Height: s.HeightM, Mass: s.MassKg, Sex: s.Sex.Body()}
}

// Validate returns nil or Faults of squad, name, pseudonym (no word of the name), sex, birth_year
// (1900 to 2199), height_m (0.8 to 2.5), height_on, mass_kg (15 to 250),
// mass_on, level, strokes (none twice), habit, notes. Two swimmers of one name are no fault; see Alike.
func (s Swimmer) Validate() error {
	var f Faults
	f.required("squad", s.SquadID, "the squad")
	f.name("name", s.Name)
	if s.Pseudonym != "" {
		f.name("pseudonym", s.Pseudonym)
		if TellsName(s.Pseudonym, s.Name) {
			f.add("pseudonym", "holds a word of the name, which it should hide; choose another")
		}
	}
	oneOf(&f, "sex", s.Sex, Female, Male)
	if s.BirthYear != 0 && (s.BirthYear < 1900 || s.BirthYear >= 2200) {
		f.add("birth_year", "is %d; write the year with four digits, or leave it empty", s.BirthYear)
	}
	f.number("height_m", s.HeightM, 0.8, 2.5, "m")
	f.date("height_on", s.HeightOn, false)
	f.number("mass_kg", s.MassKg, 15, 250, "kg")
	f.date("mass_on", s.MassOn, false)
	oneOf(&f, "level", s.Level, Levels()...)
	for i, stroke := range s.Strokes {
		if !slices.Contains(wall.Strokes(), stroke) || slices.Contains(s.Strokes[:i], stroke) {
			f.add("strokes", "holds %q; name freestyle, backstroke, breaststroke, butterfly, medley once at most", string(stroke))
		}
	}
	oneOf(&f, "habit", s.Habit, Prone, Supine)
	f.text("notes", s.Notes, maxNotes)
	return f.err()
}
