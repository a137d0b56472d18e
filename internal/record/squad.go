package record

import "time"

// Squad is a group of swimmers that one coach keeps together.
type Squad struct {
	ID      string
	Name    string
	Notes   string
	Created time.Time
}

// Validate returns nil or Faults of name, notes.
func (s Squad) Validate() error {
	var f Faults
	f.name("name", s.Name)
	f.text("notes", s.Notes, maxNotes)
	return f.err()
}
