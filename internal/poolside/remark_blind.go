package poolside

import (
	"fmt"
	"slices"

	"underkick/internal/body"
	"underkick/internal/record"
)

// BlindView is what a page of marking without the earlier marks starts from.
type BlindView struct {
	Places    []BlindPlace    `json:"places"`
	Landmarks []BlindLandmark `json:"landmarks"`
	State     BlindState      `json:"state"`
}

// BlindPlace is one frame to be marked.
type BlindPlace struct {
	Picture   string   `json:"picture"` // address
	Frame     int      `json:"frame"`
	Width     int      `json:"width"` // px
	Height    int      `json:"height"`
	Words     string   `json:"words"`
	Landmarks []string `json:"landmarks"` // to be placed here
	Side      int      `json:"side"`      // which of two runs
}

// BlindLandmark is a landmark with its key and where a hand puts it.
type BlindLandmark struct {
	ID       string `json:"id"`
	Key      string `json:"key"`
	Sentence string `json:"sentence"`
}

// BlindState is what stands on such a page; every action answers with it.
type BlindState struct {
	Marks   []BlindMark `json:"marks"`
	CanUndo bool        `json:"can_undo"`
	CanRedo bool        `json:"can_redo"`
	Done    bool        `json:"done"` // takes no more marks
	Left    int         `json:"left"` // places not wholly marked
}

// BlindMark is a mark made there.
type BlindMark struct {
	Place    int     `json:"place"`
	Landmark string  `json:"landmark"`
	XPx      float64 `json:"x_px"`
	YPx      float64 `json:"y_px"`
}

// BlindAction is one step of a person there.
type BlindAction struct {
	Do       string  `json:"do"` // "place" (also moves), "delete", "undo", "redo"
	Place    int     `json:"place"`
	Landmark string  `json:"landmark"`
	XPx      float64 `json:"x_px"`
	YPx      float64 `json:"y_px"`
}

func (p *BlindPlace) of(c record.Clip) {
	p.Picture = fmt.Sprintf("/clip/%s/frame/%d.jpg", c.ID, p.Frame)
	p.Width, p.Height = c.Facts.WidthPx, c.Facts.HeightPx
}

// blindLandmarks explains the landmarks named, in marking order.
func blindLandmarks(ids []string) []BlindLandmark {
	var out []BlindLandmark
	for _, g := range landmarkGuide {
		if slices.Contains(ids, g.l.String()) {
			out = append(out, BlindLandmark{g.l.String(), g.key, g.sentence})
		}
	}
	return out
}

// step turns an action into a step of a history.
func (act BlindAction) step(by string, frame int, facts record.Facts) (record.Step, error) {
	switch act.Do {
	case "undo":
		return record.Step{Act: record.Undo, By: by}, nil
	case "redo":
		return record.Step{Act: record.Redo, By: by}, nil
	case "place", "delete":
	default:
		return record.Step{}, fmt.Errorf("%w: %q", ErrAction, act.Do)
	}
	l, err := body.ParseLandmark(act.Landmark)
	if err != nil {
		return record.Step{}, inputError{err}
	}
	if act.Do == "delete" {
		return record.Take(by, frame, l), nil
	}
	m := body.Mark{Frame: frame, Landmark: l, X: act.XPx, Y: act.YPx}
	if facts.Outside(m) {
		return record.Step{}, inputf("the %v was put outside the picture; nothing was kept", l)
	}
	return record.Set(record.PlaceMark, by, m), nil
}
