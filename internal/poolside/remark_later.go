package poolside

import (
	"context"
	"slices"
	"time"

	"underkick/internal/record"
	"underkick/internal/store"
)

// StartLaterRemark begins to mark a frame again whose first marks the person at this
// computer made in an earlier sitting: of the run marked again least often, the newest
// of several. Only such frames show how the idea of a point moves from day to day.
func (a *App) StartLaterRemark(ctx context.Context) (id string, err error) {
	name, err := a.MarkerName(ctx)
	if err != nil {
		return "", err
	}
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return "", err
	}
	var best laterFrame
	for _, q := range squads {
		roster, err := a.store.Roster(ctx, q.ID)
		if err != nil {
			return "", err
		}
		for _, w := range roster {
			visits, err := a.store.Filmed(ctx, w.Swimmer.ID)
			if err != nil {
				return "", err
			}
			for _, r := range runsOf(visits) {
				found, err := a.laterFrame(ctx, r, name)
				if err != nil {
					return "", err
				}
				if found.before(best) {
					best = found
				}
			}
		}
	}
	if best.run == "" {
		return "", inputf("nothing was marked by %s more than six hours ago that was not marked again today; come back on another day", name)
	}
	return a.StartRemark(ctx, best.run, best.frame)
}

func runsOf(visits []store.FilmedVisit) (ids []string) {
	for _, v := range visits {
		for _, c := range v.Clips {
			for _, r := range c.Runs {
				if r.Marks > 0 {
					ids = append(ids, r.Run.ID)
				}
			}
		}
	}
	return ids
}

// laterFrame is a frame that can be marked again in a later sitting.
type laterFrame struct {
	run    string
	frame  int
	again  int // frames of the run marked again before
	marked time.Time
}

// before reports whether a frame is to be taken rather than another.
func (f laterFrame) before(other laterFrame) bool {
	switch {
	case f.run == "" || other.run == "":
		return f.run != ""
	case f.again != other.again:
		return f.again < other.again
	}
	return f.marked.After(other.marked)
}

// laterFrame returns the whole frame of a run that a person marked longest ago, in an
// earlier sitting, and has not marked again; a zero one when there is none, or when
// one of the run was marked again within the last hours: both would share their offset.
func (a *App) laterFrame(ctx context.Context, runID, name string) (laterFrame, error) {
	steps, err := a.store.Steps(ctx, runID)
	if err != nil {
		return laterFrame{}, err
	}
	remarks, err := a.store.Remarks(ctx, runID)
	if err != nil {
		return laterFrame{}, err
	}
	now := time.Now()
	out := laterFrame{run: runID}
	done := map[int]bool{}
	for _, r := range remarks {
		done[r.Frame] = true
		if r.By != name || r.Discarded() {
			continue
		}
		out.again++
		if now.Sub(r.Created) < laterAfter {
			return laterFrame{}, nil
		}
	}
	own := slices.DeleteFunc(ownMarks(steps, name), func(p record.Placed) bool { return now.Sub(p.At) < laterAfter })
	for _, p := range own {
		if p.At.After(out.marked) {
			out.marked = p.At
		}
	}
	for _, f := range wholeFrames(own) {
		if !done[f] {
			out.frame = f
			return out, nil
		}
	}
	return laterFrame{}, nil
}
