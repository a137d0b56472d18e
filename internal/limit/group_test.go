package limit

import (
	"strings"
	"testing"
)

func TestGroupOf(t *testing.T) {
	for _, c := range []struct {
		born, year int
		level      Level
		want       Group
		note       string
	}{
		{2017, 2026, "club", NoGroup, "under"},
		{2016, 2026, "club", Children, "11-12 years old, this swimmer is 10"},
		{2015, 2026, "", Children, ""},
		{2014, 2026, "regional", Children, ""},
		{2013, 2026, "regional", NoGroup, "Nothing is published for 13 to 15 years"},
		{2012, 2026, "national", NoGroup, "Nothing is published for 13 to 15 years"},
		{2011, 2026, "", NoGroup, "Nothing is published for 13 to 15 years"},
		{2010, 2026, "", Youth, ""},
		{2009, 2026, "club", Youth, ""},
		{2008, 2026, "national", Adults, ""},
		{1996, 2026, "international", Elite, ""},
		{1996, 2026, "regional", NoGroup, "below national level"},
		{1996, 2026, "beginner", NoGroup, "below national level"},
		{1996, 2026, "", NoGroup, "State the swimmer's level"},
		{0, 2026, "", NoGroup, "State the birth year"},
		{0, 2026, "club", NoGroup, "State the birth year"},
		{0, 2026, "national", Adults, "birth year is not known"},
		{1996, 0, "international", Elite, "birth year is not known"},
		{2030, 2026, "", NoGroup, "0 years"},
	} {
		got, note := GroupOf(Person{BirthYear: c.born, Level: c.level}, c.year)
		if c.note == "under" {
			c.note = "Nothing is published for swimmers of 9 years"
		}
		if got != c.want || !strings.Contains(note, c.note) || (c.note == "") != (note == "") {
			t.Errorf("born %d, %d, level %q: %v, %q; want %v, %q", c.born, c.year, c.level, got, note, c.want, c.note)
		}
	}
}
