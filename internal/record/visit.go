package record

import "time"

// Visit is one filming occasion of a squad at a pool.
type Visit struct {
	ID      string
	SquadID string
	On      Date
	Pool    string
	Notes   string
	Created time.Time
}

// Validate returns nil or Faults of squad, on, pool (may be empty), notes.
func (v Visit) Validate() error {
	var f Faults
	f.required("squad", v.SquadID, "the squad")
	f.date("on", v.On, true)
	if v.Pool != "" {
		f.name("pool", v.Pool)
	}
	f.text("notes", v.Notes, maxNotes)
	return f.err()
}
