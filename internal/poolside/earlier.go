package poolside

import (
	"context"

	"underkick/internal/body"
	"underkick/internal/store"
)

// EarlierView is a frame of this swimmer's other runs on which ankle and toe were
// marked, for comparison while they are marked again.
type EarlierView struct {
	Clip  string     `json:"clip"`
	Frame int        `json:"frame"`
	On    string     `json:"on"`  // day of the visit in words
	Toe   [2]float64 `json:"toe"` // px
	Ankle [2]float64 `json:"ankle"`
	Left  bool       `json:"left"` // swims to the left of the picture
}

// What is offered for comparison: the newest runs, and some frames of each, from
// which the page takes those with the foot held most alike.
const (
	earlierRuns   = 2
	earlierFrames = 8
)

// earlier returns ankle and toe marks of the swimmer's other runs, newest visit first.
func (a *App) earlier(ctx context.Context, rc store.Whole) ([]EarlierView, error) {
	visits, err := a.store.Filmed(ctx, rc.Swimmer.ID)
	if err != nil {
		return nil, err
	}
	var out []EarlierView
	runs := 0
	for _, v := range visits {
		for _, c := range v.Clips {
			for _, r := range c.Runs {
				if r.Run.ID == rc.Run.ID || r.Marks == 0 || runs == earlierRuns {
					continue
				}
				history, err := a.store.Marks(ctx, r.Run.ID)
				if err != nil {
					return nil, err
				}
				feet := feetOf(history.Marks)
				if len(feet) == 0 {
					continue
				}
				runs++
				for _, f := range feet {
					f.Clip, f.On = c.Clip.ID, longDate(v.Visit.On)
					out = append(out, f)
				}
			}
		}
	}
	return out, nil
}

// feetOf returns the frames on which ankle and toe are marked, thinned evenly.
func feetOf(marks []body.Mark) []EarlierView {
	toes := map[int]body.Mark{}
	for _, m := range marks {
		if m.Landmark == body.Toe {
			toes[m.Frame] = m
		}
	}
	var all []EarlierView
	ahead := 0 // frames on which the toe trails to the left
	for _, m := range marks {
		toe, ok := toes[m.Frame]
		if m.Landmark != body.Ankle || !ok {
			continue
		}
		all = append(all, EarlierView{Frame: m.Frame, Toe: [2]float64{toe.X, toe.Y}, Ankle: [2]float64{m.X, m.Y}})
		if toe.X < m.X {
			ahead++
		}
	}
	n := min(len(all), earlierFrames)
	out := make([]EarlierView, n)
	for i := range out {
		out[i] = all[(2*i+1)*len(all)/(2*n)]
		out[i].Left = 2*ahead < len(all)
	}
	return out
}
