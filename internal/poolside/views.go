package poolside

import (
	"underkick/internal/drawing"
	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/record"
)

// SquadView is the first page: every squad with its swimmers.
type SquadView struct {
	Squads []SquadSection
	Names  []SquadName // of all squads, where a query may have left some out
}

// SquadName names a squad.
type SquadName struct{ ID, Name string }

// SquadSection is one squad and its swimmers, by name.
type SquadSection struct {
	ID   string
	Name string
	Rows []SwimmerRow
	Of   int // swimmers of the squad where a query left some out; 0 = all are shown
}

// SwimmerView is one swimmer with everything filmed.
type SwimmerView struct {
	Swimmer  record.Swimmer
	Squad    record.Squad
	Sentence string // last finding's sentence, "" when there is none
	LastRun  string // public id of the run that sentence stands on
	Visits   []VisitView
	Now      []record.Given // practised now, newest first
	RetestOn string         // day of the next retest, "" = none is set
	Due      bool           // that day has come
	Consent  string         // what consents allow today, in words
	Lacking  bool           // filming is not among it
	Renewing Renewing
}

// VisitView is one filming occasion with its clips, newest visit first.
type VisitView struct {
	Visit record.Visit
	Clips []ClipRow
}

// ClipRow is a clip in a visit with its runs.
type ClipRow struct {
	Clip record.Clip
	Job  *JobView // while the clip is being read, nil after
	Runs []RunRow
}

// RunRow is a run in a list.
type RunRow struct {
	Run      record.Run
	Marks    int           // marks that stand now
	Sentence string        // of its finding, "" until it was measured
	Speed    *kick.Measure // nil until it was measured
	Problem  string        // why it cannot be measured yet, "" when it can
	Renewing string        // that what is shown is older than a change, "" where it is not
}

// JobView is background work as a page shows it.
type JobView struct {
	ID       string
	Doing    string  // what is being done, in words
	Fraction float64 // 0..1
	State    string  // "waiting", "running", "done", "failed", "cancelled"
	Problem  string  // what went wrong and what to do, "" unless failed
	ClipID   string  // the clip it works on
	RunID    string  // the run to go on with when done, "" until known
}

// FrameView addresses one picture of a clip.
type FrameView struct {
	N    int     // index of the picture within the clip
	Time float64 // presentation time, s, after the true-speed factor
}

// LandmarkView is a landmark as the marking page explains it.
type LandmarkView struct {
	ID       string // "hip"
	Key      string // keyboard key that chooses it
	Sentence string // where a hand puts it
	Needed   bool   // the measures need it
}

// ScaleView says how pixels become metres in a run.
type ScaleView struct {
	Known   bool    // a length or a rectangle was given
	Words   string  // "known length 5.00 m", "from body height (doubtful)" ...
	PxPerM  float64 // at the middle of the picture, 0 when not known
	Problem string  // "" when in order
}

// MarkingView is the marking page of one run.
type MarkingView struct {
	Swimmer   record.Swimmer
	Visit     record.Visit
	Clip      record.Clip
	Run       record.Run
	Frames    []FrameView // the run's pictures, in order
	WidthPx   int         // of the upright picture that marks refer to
	HeightPx  int
	Landmarks []LandmarkView // in marking order
	Scale     ScaleView
	Lens      LensView
	Steady    SteadyView
	Marks     MarksView
	Guess     GuessView
	Earlier   []EarlierView // ankle and toe marks of the swimmer's other runs

	SlowMotion SlowMotionView
	FilmNote   string // why film is slow here, "" when it is not
}

// SlowMotionView is the question how fast a clip was really filmed.
type SlowMotionView struct {
	Ask       bool    // the file says one thing and plays another, and nobody has said which is true
	PlaysFPS  float64 // pictures per second as it plays
	TaggedFPS float64 // as the file says it was filmed, 0 = it does not say
	TrueFPS   float64 // as a person said, 0 = as it plays
}

// MarksView is what stands on the film now. It is what every marking action
// answers.
type MarksView struct {
	Seq     int64                `json:"seq"` // grows with every action
	Marks   []MarkView           `json:"marks"`
	CanUndo bool                 `json:"can_undo"`
	CanRedo bool                 `json:"can_redo"`
	Traces  map[string]TraceView `json:"traces"` // by landmark id; empty while marks are too few
	Note    string               `json:"note"`   // why there is neither a trace nor a next frame, "" when there is one
	Next    *NextView            `json:"next"`   // the one frame to mark next, null when there is none
	Meter   MeterView            `json:"meter"`
	Warn    []string             `json:"warnings,omitempty"` // outliers, marks outside the picture
}

// MarkView is one mark as JSON.
type MarkView struct {
	Frame    int     `json:"frame"`
	Landmark string  `json:"landmark"`
	XPx      float64 `json:"x_px"`
	YPx      float64 `json:"y_px"`
}

// TraceView is a fitted trace over the run's frames, from frame From on. A nil
// entry stands where nothing is known.
type TraceView struct {
	From int        `json:"from"`
	XPx  []*float64 `json:"x_px"`
	YPx  []*float64 `json:"y_px"`
	SDPx []*float64 `json:"sd_px"`
}

// MarkAction is one step of a person on the marking page.
type MarkAction struct {
	Do       string  `json:"do"` // "place" (also moves a mark), "accept" (a filled-in point as it stands), "delete", "undo", "redo"
	Frame    int     `json:"frame"`
	Landmark string  `json:"landmark"`
	XPx      float64 `json:"x_px"`
	YPx      float64 `json:"y_px"`
	Seq      int64   `json:"seq"` // of the marks the person saw; only undo and redo look at it
}

// KickView is the kick page of one run.
type KickView struct {
	Swimmer  record.Swimmer
	Visit    record.Visit
	Clip     record.Clip
	Run      record.Run
	Scale    ScaleView
	Steady   SteadyView
	Marking  string           // the marking error in the bands and where it came from, in words
	Problem  string           // why nothing could be measured, "" when Result stands
	Result   *kick.Result     // nil with a Problem
	Finding  *limit.Finding   // nil with a Problem
	Chosen   int              // number of the kick whose stills are shown
	Layers   drawing.Switches // drawn on its stills
	Stills   []StillView      // of the chosen kick, in order of time
	Own      []limit.Run      // this swimmer's measured runs, oldest first
	Worth    WorthView        // what the qualities are worth to this swimmer
	Warnings []string
}
