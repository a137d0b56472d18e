package record

import "time"

// Effort is how hard the swimmer went; empty = not known.
type Effort string

// The efforts.
const (
	Easy Effort = "easy"
	Race Effort = "race"
	Max  Effort = "max"
)

// Start is how the run began; empty = not known.
type Start string

// The starts.
const (
	PushOff Start = "push-off"
	Still   Start = "still"
	Dive    Start = "dive"
)

// Position is which side of the swimmer is down; empty = not known.
type Position string

// The positions.
const (
	Prone  Position = "prone"
	Supine Position = "supine"
	Side   Position = "side"
)

// Contact is what the swimmer touched during the kicks; empty = not known.
type Contact string

// The contacts.
const (
	NoContact Contact = "none"
	Surface   Contact = "surface" // body or feet broke the surface
	Wall      Contact = "wall"    // wall or bottom
)

// Run is one underwater pass within a clip, with the conditions under which it
// was swum and the scale of its picture.
type Run struct {
	ID        string
	ClipID    string
	SwimmerID string
	FromFrame int // first picture
	ToFrame   int // last picture, included
	Effort    Effort
	Start     Start
	Position  Position
	DepthM    float64 // of the hip below the surface, m
	Contact   Contact
	Equipment string // fins, snorkel, weights ... in words; empty = none
	Repeat    int    // number within the set, from 1; 0 = not numbered
	MarkedBy  string
	Scale     Scale
	TrueFPS   float64 // as in Clip, for this run alone; 0 = the clip's
	Notes     string
	Aside     string // why it is set aside: left out of lists, trends and verdicts; "" = it counts
	Created   time.Time
}

// ValidateAside returns nil or Faults of aside.
func (r Run) ValidateAside() error {
	var f Faults
	f.text("aside", r.Aside, maxName)
	return f.err()
}

// Frames returns how many pictures the run has.
func (r Run) Frames() int { return r.ToFrame - r.FromFrame + 1 }

// Validate returns nil or Faults of clip, swimmer, from_frame, to_frame (at
// least two pictures; frames is the clip's number of pictures, 0 = not known),
// effort, start, position, depth_m (0 to 20), contact, equipment, repeat (0 to 999),
// marked_by, scale, true_fps, notes.
func (r Run) Validate(frames int) error {
	var f Faults
	f.required("clip", r.ClipID, "the clip")
	f.required("swimmer", r.SwimmerID, "the swimmer")
	if r.FromFrame < 0 {
		f.add("from_frame", "is %d; pictures count from 0", r.FromFrame)
	}
	switch {
	case r.ToFrame <= r.FromFrame:
		f.add("to_frame", "is %d; it must come after the first picture, %d", r.ToFrame, r.FromFrame)
	case frames > 0 && r.ToFrame >= frames:
		f.add("to_frame", "is %d; the clip's last picture is %d", r.ToFrame, frames-1)
	}
	oneOf(&f, "effort", r.Effort, Easy, Race, Max)
	oneOf(&f, "start", r.Start, PushOff, Still, Dive)
	oneOf(&f, "position", r.Position, Prone, Supine, Side)
	f.number("depth_m", r.DepthM, 0, 20, "m")
	oneOf(&f, "contact", r.Contact, NoContact, Surface, Wall)
	f.text("equipment", r.Equipment, maxName)
	if r.Repeat < 0 || r.Repeat > 999 {
		f.add("repeat", "is %d; write its number within the set, or leave it empty", r.Repeat)
	}
	f.text("marked_by", r.MarkedBy, maxName)
	r.Scale.faults(&f)
	f.number("true_fps", r.TrueFPS, 1, 2000, "pictures per second")
	f.text("notes", r.Notes, maxNotes)
	return f.err()
}
