package cli

import (
	"fmt"
	"io"

	"underkick/internal/poolside"
)

// runsFound is what probe --runs adds; docs/formats.md describes it.
type runsFound struct {
	List        []runFound `json:"list"`
	CameraMoved bool       `json:"camera_moved"`
	WholeClip   bool       `json:"whole_clip"` // false: only its beginning was looked at
}

type runFound struct {
	First     int      `json:"first_frame"`
	Last      int      `json:"last_frame"`
	Direction string   `json:"direction"` // "left" or "right" of the picture
	Kicks     int      `json:"kicks"`     // whole ones
	Frequency *float64 `json:"kick_frequency_hz"`
	BodyPx    float64  `json:"body_px"`
	Position  *string  `json:"position"` // always null: it cannot be told
}

func (f *facts) takeRuns(look *poolside.LookView) {
	f.Runs = &runsFound{List: []runFound{}, CameraMoved: look.Moved, WholeClip: look.Whole}
	for _, r := range look.Runs {
		found := runFound{First: r.First, Last: r.Last, Direction: "left", Kicks: r.Kicks, BodyPx: r.BodyPx}
		if r.Right {
			found.Direction = "right"
		}
		if r.Frequency > 0 {
			found.Frequency = &r.Frequency
		}
		f.Runs.List = append(f.Runs.List, found)
	}
}

func (r *runsFound) print(w io.Writer) {
	if r == nil {
		return
	}
	if len(r.List) == 0 {
		fmt.Fprintln(w, "no swimmer is seen to cross the picture; choose the run by hand")
	}
	for i, x := range r.List {
		fmt.Fprintf(w, "run %d: frames %d to %d, to the %s, ", i+1, x.First, x.Last, x.Direction)
		if x.Frequency == nil {
			fmt.Fprint(w, "no steady kicking is seen")
		} else {
			fmt.Fprintf(w, "about %d whole kicks, %.2f per second", x.Kicks, *x.Frequency)
		}
		fmt.Fprintf(w, "; the body is about %.0f px long\n", x.BodyPx)
	}
	if len(r.List) > 0 {
		fmt.Fprintln(w, "front or back: not told from the picture; use --supine for a swimmer on the back")
	}
	if r.CameraMoved {
		fmt.Fprintln(w, "note: the camera moves; measure --steady follows it")
	}
	if !r.WholeClip {
		fmt.Fprintln(w, "note: only the beginning of the clip was looked at; cut it to the stretch with the kicks")
	}
}

// takeChecks fills the clip's check card as far as film alone tells it, as bringing in
// does; look is nil without --runs.
func (f *facts) takeChecks(trueFPS, heightM float64, look *poolside.LookView) {
	fps := f.FPS
	switch {
	case trueFPS > 0:
		fps = trueFPS
	case f.CaptureFPS != nil:
		fps = *f.CaptureFPS
	}
	f.Checks = look.Checks(fps, heightM, "")
}

// printChecks prints what the filming costs, one line each.
func printChecks(w io.Writer, checks []poolside.ClipCheck) {
	for _, c := range checks {
		fmt.Fprint(w, "check: "+c.Finding)
		if c.Cost != "" {
			fmt.Fprint(w, ". "+c.Cost)
		}
		fmt.Fprintln(w)
	}
}
