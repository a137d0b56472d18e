package record

import "time"

// OwnPrefix begins the id of every drill of the coach's own.
const OwnPrefix = "own-"

// OwnDrill is a drill of the coach's own, one version of it. Versions are only
// ever added.
type OwnDrill struct {
	Drill          // its ID is OwnPrefix and the id of the record
	CopyOf  string // id of the drill it was made from; "" = none
	Created time.Time
	Retired bool // off the lists; what was given stays

	Seq int64 // 1, 2, 3 ...
	By  string
	At  time.Time
}

// Validate returns nil or Faults of the drill, copy_of, by.
func (o OwnDrill) Validate() error {
	var f Faults
	if err, ok := o.Drill.Validate().(Faults); ok {
		f = append(f, err...)
	}
	f.text("copy_of", o.CopyOf, maxName)
	f.text("by", o.By, maxName)
	return f.err()
}
