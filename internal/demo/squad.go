package demo

import "underkick/internal/record"

// Squad is the invented squad: people, visits and what was filmed. Nothing in it has an
// ID; whoever keeps it gives them.
type Squad struct {
	Squad    record.Squad
	Swimmers []record.Swimmer
	Visits   []record.Visit
	Clips    []Clip
}

// Clip is one film of the squad with one run in it.
type Clip struct {
	Name    string     // without ending: "joren-august"
	Swimmer int        // index in Squad.Swimmers
	Visit   int        // index in Squad.Visits
	TrueFPS float64    // rate at which it was filmed where the file says another; 0 = as the file says
	Run     record.Run // frames, conditions, scale and who marked; no IDs
}

// File is the name of the film file.
func (c Clip) File() string { return c.Name + ".mp4" }

// The swimmers and the visits by their index.
const (
	mira = iota
	joren
	edda
	bram
	tessa
	nilo
)

const (
	august = iota
	october
	november
)

func swimmers() []record.Swimmer {
	list := []record.Swimmer{
		mira:  {Name: "Mira Tallow", Sex: record.Female, BirthYear: 2003, HeightM: 1.72, MassKg: 62, Level: record.National, Habit: record.Prone, Notes: "Butterfly. Kicks well all round."},
		joren: {Name: "Joren Pike", Sex: record.Male, BirthYear: 2001, HeightM: 1.85, MassKg: 79, Level: record.National, Habit: record.Prone, Notes: "Butterfly and medley. Works on his ankles since August."},
		edda:  {Name: "Edda Quill", Sex: record.Female, BirthYear: 2012, HeightM: 1.61, MassKg: 50, Level: record.Regional, Habit: record.Prone, Notes: "Junior."},
		bram:  {Name: "Bram Oxley", Sex: record.Male, BirthYear: 2010, HeightM: 1.70, MassKg: 58, Level: record.Regional, Habit: record.Prone, Notes: "Junior. Filmed with the slow-motion camera."},
		tessa: {Name: "Tessa Varn", Sex: record.Female, BirthYear: 2004, HeightM: 1.76, MassKg: 65, Level: record.National, Habit: record.Supine, Notes: "Backstroke. Long, unhurried kick."},
		nilo:  {Name: "Nilo Marsh", Sex: record.Male, BirthYear: 2009, HeightM: 1.78, MassKg: 68, Level: record.Regional, Habit: record.Prone, Notes: "Junior."},
	}
	for i := range list {
		list[i].HeightOn, list[i].MassOn = "2026-08-29", "2026-08-29"
	}
	return list
}

func visits() []record.Visit {
	return []record.Visit{
		august:   {On: "2026-08-29", Pool: "Linden Quay Baths", Notes: "First filming after the break."},
		october:  {On: "2026-10-24", Pool: "Linden Quay Baths"},
		november: {On: "2026-11-07", Pool: "Marsh End Lido", Notes: "Outdoor pool, sunny."},
	}
}

// Load returns the squad with the clips as they are embedded.
func Load() (*Squad, error) {
	s := &Squad{
		Squad:    record.Squad{Name: "Linden Quay Swimmers", Notes: "An invented squad. Its clips are rendered; the true numbers are known."},
		Swimmers: swimmers(), Visits: visits(),
	}
	for i := range takes {
		c, err := takes[i].clip()
		if err != nil {
			return nil, err
		}
		s.Clips = append(s.Clips, c)
	}
	return s, nil
}
