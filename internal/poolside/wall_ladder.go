package poolside

import (
	"fmt"

	"underkick/internal/record"
	"underkick/internal/wall"
)

// LadderInput is a tempo ladder as typed or taken from runs: the body of a kept ladder,
// and the file of `underkick tempo-ladder --in`.
type LadderInput struct {
	On    record.Date `json:"on,omitempty"`
	Steps []wall.Step `json:"steps"`
}

// LadderAnswer is a ladder with its cautions.
type LadderAnswer struct {
	*wall.Ladder
	Cautions []string `json:"cautions"`
}

// ClimbLadder reads a tempo ladder. Runs that do not make one are record.Faults of steps.
func ClimbLadder(in LadderInput) (*LadderAnswer, error) {
	l, err := wall.Climb(in.Steps)
	if err != nil {
		return nil, record.Faults{{Field: "steps", Text: fmt.Sprintf("cannot be used: %v", err)}}
	}
	return &LadderAnswer{l, BreathCautions()}, nil
}
