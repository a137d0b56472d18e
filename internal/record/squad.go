package record

import "time"

// Squad is a group of swimmers that one coach keeps together.
type Squad struct {
	ID    string
	Name  string
	Notes string
	// FilmMonths is how many months after a visit its films are due for erasing; 0 =
	// the squad has no such rule.
	FilmMonths int
	Created    time.Time
}

// Validate returns nil or Faults of name, notes, film_months (0 to 240).
func (s Squad) Validate() error {
	var f Faults
	f.name("name", s.Name)
	f.text("notes", s.Notes, maxNotes)
	if s.FilmMonths < 0 || s.FilmMonths > 240 {
		f.add("film_months", "is %d; write 1 to 240 months, or leave it empty for no rule", s.FilmMonths)
	}
	return f.err()
}
