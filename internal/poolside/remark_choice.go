package poolside

import (
	"context"

	"underkick/internal/record"
)

// AlikeChoice is a run that can be marked together with another one.
type AlikeChoice struct {
	Run    record.Run
	When   string
	Clip   string
	Frames int      // with ankle or toe marked
	With   []string // ids of runs it is marked alike with
}

// AlikeChoices is the page on which two runs of a swimmer are chosen.
type AlikeChoices struct {
	Swimmer record.Swimmer
	Runs    []AlikeChoice
}

// AlikeChoices returns a swimmer's marked runs, newest visit first.
func (a *App) AlikeChoices(ctx context.Context, swimmerID string) (AlikeChoices, error) {
	var out AlikeChoices
	var err error
	if out.Swimmer, err = a.store.Swimmer(ctx, swimmerID); err != nil {
		return out, err
	}
	visits, err := a.store.Filmed(ctx, swimmerID)
	if err != nil {
		return out, err
	}
	for _, v := range visits {
		for _, c := range v.Clips {
			for _, r := range c.Runs {
				steps, err := a.store.Steps(ctx, r.Run.ID)
				if err != nil {
					return out, err
				}
				s := pairSideOf(record.Pair{}, 0, r.Run, steps)
				if len(s.frames) > 0 {
					out.Runs = append(out.Runs, AlikeChoice{Run: r.Run, When: longDate(v.Visit.On), Clip: c.Clip.Name, Frames: len(s.frames)})
				}
			}
		}
	}
	for i := range out.Runs {
		for j := range out.Runs {
			alike, err := a.markedAlike(ctx, out.Runs[i].Run.ID, out.Runs[j].Run.ID)
			if err != nil {
				return out, err
			}
			if alike {
				out.Runs[i].With = append(out.Runs[i].With, out.Runs[j].Run.ID)
			}
		}
	}
	return out, nil
}
