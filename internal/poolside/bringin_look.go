package poolside

import (
	"context"
	"encoding/json"
	"fmt"
	"math"

	"underkick/internal/film"
	"underkick/internal/jobs"
	"underkick/internal/record"
)

// jobFindRuns is the kind of job that looks through a clip for runs once more.
const jobFindRuns = "find-runs"

// LookView is what looking through a clip showed. It is kept as the outcome of the job
// that looked, so that a page need not look again.
type LookView struct {
	Ribbon []RibbonBit `json:"ribbon"` // over the clip, at most ribbonBits
	Runs   []SeenRun   `json:"runs"`
	Moved  bool        `json:"camera_moved"`
	Whole  bool        `json:"whole_clip"` // false: only its beginning was looked at
	Smear  *SmearView  `json:"smear,omitempty"`

	raw *SeenRuns // as seen, for what is measured on from there; nil once kept
}

// RibbonBit is how much of the picture moves at one place of the clip.
type RibbonBit struct {
	Frame int     `json:"frame"`
	Share float64 `json:"share"` // of the picture
}

// SeenRun is a run as film alone shows it.
type SeenRun struct {
	First     int     `json:"first_frame"`
	Last      int     `json:"last_frame"`
	Right     bool    `json:"to_the_right"`
	Kicks     int     `json:"kicks"`             // whole ones
	Frequency float64 `json:"kick_frequency_hz"` // 0 = no steady rhythm is seen
	BodyPx    float64 `json:"body_px"`
}

// ribbonBits is the most places of a kept ribbon.
const ribbonBits = 500

// lookView keeps of a look what pages need, its runs with the margin of a proposal.
func lookView(seen *SeenRuns, index *film.Index) *LookView {
	v := &LookView{Ribbon: []RibbonBit{}, Runs: []SeenRun{}, Moved: seen.Moved, Whole: seen.Whole, raw: seen}
	step := (len(seen.Frames) + ribbonBits - 1) / ribbonBits
	for i := 0; i < len(seen.Ribbon); i += max(step, 1) {
		most := 0.0
		for _, share := range seen.Ribbon[i:min(i+max(step, 1), len(seen.Ribbon))] {
			most = max(most, share)
		}
		v.Ribbon = append(v.Ribbon, RibbonBit{seen.Frames[i], math.Round(most*1e5) / 1e5})
	}
	for _, r := range seen.Runs {
		s := SeenRun{First: r.First, Last: r.Last, Right: r.Right, Kicks: r.Kicks, Frequency: r.Frequency, BodyPx: math.Round(r.LengthPx)}
		if math.IsNaN(s.Frequency) {
			s.Frequency = 0
		}
		v.Runs = append(v.Runs, s.widened(seen.margin, len(index.Frames)))
	}
	return v
}

// widened puts the margin of a proposal to both ends, at most what one run may have.
func (s SeenRun) widened(margin, frames int) SeenRun {
	s.First, s.Last = max(s.First-margin, 0), min(s.Last+margin, frames-1)
	s.Last = min(s.Last, s.First+film.MaxFrames-1)
	return s
}

// best is the run with the most kicks, of equals the first; ok is false without any.
func (v *LookView) best() (best SeenRun, ok bool) {
	if v == nil {
		return best, false
	}
	for i, r := range v.Runs {
		if i == 0 || r.Kicks > best.Kicks {
			best, ok = r, true
		}
	}
	return best, ok
}

// look looks through a clip for runs.
func (a *App) look(ctx context.Context, e *film.Engine, clip record.Clip, progress func(done, total int)) (*LookView, error) {
	path := a.store.ClipPath(clip)
	seen, err := FindRuns(ctx, e, path, clip.TrueFPS, progress)
	if err != nil {
		return nil, err
	}
	index, err := e.Index(ctx, path, nil)
	if err != nil {
		return nil, err
	}
	return lookView(seen, index), nil
}

// lookOf returns what was last seen of a clip, nil when nobody looked.
func (a *App) lookOf(ctx context.Context, clipID string) (*LookView, error) {
	list, err := a.store.JobsOn(ctx, clipID)
	if err != nil {
		return nil, err
	}
	for _, j := range list {
		if len(j.Outcome) == 0 || (j.Kind != jobReadFilm && j.Kind != jobFindRuns) {
			continue
		}
		var v LookView
		if err := json.Unmarshal(j.Outcome, &v); err != nil {
			return nil, fmt.Errorf("read what was seen of clip %s: %w", clipID, err)
		}
		return &v, nil
	}
	return nil, nil //nolint:nilnil // nobody looked; that is no error
}

// LookForRuns looks through a clip for runs in the background.
func (a *App) LookForRuns(ctx context.Context, clipID string) (jobID string, err error) {
	if _, err := a.store.Clip(ctx, clipID); err != nil {
		return "", err
	}
	job, err := a.jobs.Enqueue(ctx, jobFindRuns, clipID, readFilmArgs{ClipID: clipID})
	if err != nil {
		return "", fmt.Errorf("queue the search for runs in clip %s: %w", clipID, err)
	}
	return job.ID, nil
}

// findRuns is the job.
func (a *App) findRuns(ctx context.Context, t *jobs.Task) error {
	clip, engine, err := a.clipOfJob(ctx, t)
	if err != nil {
		return err
	}
	t.Report(ctx, 0, "looking for the swimmer")
	look, err := a.look(ctx, engine, clip, func(done, total int) {
		t.Report(ctx, part(done, total), "looking for the swimmer")
	})
	if err != nil {
		return err
	}
	a.seeSmear(ctx, engine, clip, look)
	return t.Leave(look)
}
