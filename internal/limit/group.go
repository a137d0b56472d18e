package limit

import (
	"fmt"

	"underkick/internal/body"
)

// Level is how far a swimmer has come, in the words that are kept with the
// swimmer: "beginner", "club", "regional", "national", "international"; "" = not
// known.
type Level string

// The levels for which something is published.
const (
	National      Level = "national"
	International Level = "international"
)

// Person is what chooses the published rows for a swimmer.
type Person struct {
	BirthYear int // 0 = not known
	Sex       body.Sex
	Level     Level
}

// Group is a group of swimmers for which values are published.
type Group uint8

// The groups. Nothing is published for other ages and levels.
const (
	NoGroup  Group = iota
	Children       // 11-12 years; used for 10-12
	Youth          // 16-17 years, trained
	Adults         // national and collegiate level
	Elite          // international level
)

// String returns the group in words, such as "swimmers of 16-17 years".
func (g Group) String() string {
	switch g {
	case Children:
		return "swimmers of 11-12 years"
	case Youth:
		return "swimmers of 16-17 years"
	case Adults:
		return "adults of national level"
	case Elite:
		return "swimmers of international level"
	}
	return "no published group"
}

// GroupOf returns the published group of a swimmer in a year, and a sentence
// that says why there is none or what was assumed ("" when nothing). The age is
// the one reached in that year, as swimming groups by year of birth (common
// practice, no source). Below 18 the age decides, from 18 the level. Between 13
// and 15 nothing is published, and the neighbours are not carried over.
func GroupOf(p Person, year int) (Group, string) {
	if p.BirthYear == 0 || year == 0 {
		return groupWithoutAge(p.Level)
	}
	age := year - p.BirthYear
	switch {
	case age < 10:
		return NoGroup, fmt.Sprintf("Nothing is published for swimmers of %d years.", max(age, 0))
	case age <= 12:
		note := ""
		if age == 10 {
			note = "The published sample was 11-12 years old, this swimmer is 10."
		}
		return Children, note
	case age <= 15:
		return NoGroup, "Nothing is published for 13 to 15 years. The ranges of younger and older swimmers are not carried over."
	case age <= 17:
		return Youth, ""
	}
	switch p.Level {
	case National:
		return Adults, ""
	case International:
		return Elite, ""
	case "":
		return NoGroup, "State the swimmer's level. Published ranges of adults go by level."
	}
	return NoGroup, "Nothing is published for adults below national level."
}

func groupWithoutAge(l Level) (Group, string) {
	const assumed = "The birth year is not known. The range was chosen by level, as for an adult."
	switch l {
	case National:
		return Adults, assumed
	case International:
		return Elite, assumed
	}
	return NoGroup, "State the birth year. Published ranges go by age."
}
