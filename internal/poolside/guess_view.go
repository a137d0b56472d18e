package poolside

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/trace"
)

// GuessState says how the guess of a run stands.
type GuessState string

// The states.
const (
	GuessNone    GuessState = "none"
	GuessWaiting GuessState = "waiting"
	GuessRunning GuessState = "running"
	GuessReady   GuessState = "ready"
	GuessStopped GuessState = "stopped"
	GuessFailed  GuessState = "failed"
	GuessOff     GuessState = "off"      // by the setting
	GuessOffHere GuessState = "off-here" // by the command line
	GuessCannot  GuessState = "cannot"   // on this machine
)

// GuessView is the guess of a run as the marking page shows it.
type GuessView struct {
	State    GuessState `json:"state"`
	Fraction float64    `json:"fraction"` // 0 to 1, of a running one
	Words    string     `json:"words"`    // how it stands and what to do
	GoOn     bool       `json:"go_on"`    // it can be taken up again where it was started last
}

// Busy reports whether it waits or runs.
func (v GuessView) Busy() bool { return v.State == GuessWaiting || v.State == GuessRunning }

// Barred reports whether none can be started as things are.
func (v GuessView) Barred() bool {
	return v.State == GuessOff || v.State == GuessOffHere || v.State == GuessCannot
}

// guessWords are the words of the states that need nothing else.
func guessWords(s GuessState) string {
	switch s {
	case GuessOff:
		return "The guess is switched off; points are filled in from the marks alone."
	case GuessOffHere:
		return "The guess was switched off when the program was started; points are filled in from the marks alone."
	case GuessCannot:
		return "This kind of machine cannot guess; points are filled in from the marks alone, which takes more marked frames."
	case GuessWaiting:
		return "The guess waits for its turn. Mark the first frame meanwhile."
	case GuessStopped:
		return "The guess was stopped; what was looked at is kept. Marking works without it."
	}
	return "Show the finger tip and the toe on one frame: the other points are then guessed while you mark."
}

// Guess returns how the guess of a run stands.
func (a *App) Guess(ctx context.Context, runID string) (GuessView, error) {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return GuessView{}, err
	}
	return a.guessView(ctx, rc)
}

func (a *App) guessView(ctx context.Context, rc store.Whole) (GuessView, error) {
	state, err := a.guessBarred(ctx)
	if err != nil || state != "" {
		return GuessView{State: state, Words: guessWords(state)}, err
	}
	list, err := a.guessJobs(ctx, rc.Run.ID)
	if err != nil || len(list) == 0 {
		return GuessView{State: GuessNone, Words: guessWords(GuessNone)}, err
	}
	j := list[0]
	v := GuessView{Fraction: j.Fraction, GoOn: j.State.Ended()}
	switch j.State {
	case record.Done:
		return a.readyView(rc, j), nil
	case record.Waiting:
		v.State, v.Words = GuessWaiting, guessWords(GuessWaiting)
	case record.Running:
		v.State, v.Words = GuessRunning, "Guessing: "+j.Doing+". Mark the first frame meanwhile."
		if j.Doing == "" {
			v.Words = "Guessing. Mark the first frame meanwhile."
		}
	case record.Cancelled:
		v.State, v.Words = GuessStopped, guessWords(GuessStopped)
	default:
		problem := strings.TrimSuffix(j.Problem, ".")
		v.State, v.Words = GuessFailed, "The guess failed: "+problem+". Marking works without it."
	}
	return v, nil
}

// readyView tells what a guess that ended well covers.
func (a *App) readyView(rc store.Whole, j record.Job) GuessView {
	g, err := a.guesses.seen(a, rc, j)
	if err != nil { // the cache was emptied; it may be at any time
		return GuessView{State: GuessStopped, GoOn: true, Words: "What was seen for the guess is no longer kept. Start it again, or go on with marks alone."}
	}
	v := GuessView{State: GuessReady, Fraction: 1}
	v.Words = fmt.Sprintf("Guessed on the frames %d to %d; your marks put it right.", g.FirstSeen, g.LastSeen)
	switch {
	case float64(g.LastSeen-g.FirstSeen+1) < trace.LeastSeen*float64(rc.Run.ToFrame-rc.Run.FromFrame+1):
		v.Words = fmt.Sprintf("The swimmer was followed on the frames %d to %d only, too few to help: points are filled in from the marks alone. Show both points on a clearer frame to try again.", g.FirstSeen, g.LastSeen)
	case g.LostBefore && g.LostAfter:
		v.Words += " The swimmer was lost before and after: mark there, or show both points again."
	case g.LostBefore:
		v.Words += " Before them the swimmer was lost: mark there, or show both points again."
	case g.LostAfter:
		v.Words += " After them the swimmer was lost: mark there, or show both points again."
	}
	if rc.Run.FromFrame < g.From || rc.Run.ToFrame > g.To {
		v.GoOn = true
		v.Words += " The run has got more frames since."
	}
	return v
}

// leftOf reads what a guess left behind.
func leftOf(j record.Job) (left guessLeft, s GuessStart, err error) {
	if err = json.Unmarshal(j.Outcome, &left); err == nil {
		err = json.Unmarshal(j.Args, &s)
	}
	if err != nil {
		err = fmt.Errorf("read the guess that job %s left: %w", j.ID, err)
	}
	return left, s, err
}
