package web

import (
	"context"
	"io"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// UseCases is what the pages need of package poolside. Errors wrap
// record.Faults where a form's field must be shown, poolside.ErrNotFound where
// something is not there, and poolside.ErrInput where what a person gave cannot
// be used.
type UseCases interface {
	remarkCases
	steadyCases
	lensCases

	Squad(ctx context.Context) (poolside.SquadView, error)
	AddSquad(ctx context.Context, q record.Squad) (id string, err error)
	Swimmer(ctx context.Context, id string) (poolside.SwimmerView, error)
	AddSwimmer(ctx context.Context, w record.Swimmer) (id string, alike []string, err error)
	UpdateSwimmer(ctx context.Context, w record.Swimmer) (alike []string, err error)

	BringIn(ctx context.Context, in poolside.BringIn) (poolside.BroughtIn, error)
	Job(ctx context.Context, id string) (poolside.JobView, error)
	CancelJob(ctx context.Context, id string) error
	ReadAgain(ctx context.Context, clipID string) (jobID string, err error)
	FilmNote() string
	Picture(ctx context.Context, clipID string, n int) ([]byte, error)
	SetTrueFPS(ctx context.Context, clipID string, fps float64) error

	Run(ctx context.Context, id string) (record.Run, error)
	UpdateRun(ctx context.Context, r record.Run) error
	ScaleGrid(ctx context.Context, runID string, frame int, scale record.Scale) (poolside.GridView, error)
	Marking(ctx context.Context, runID string) (poolside.MarkingView, error)
	Mark(ctx context.Context, runID, by string, act poolside.MarkAction) (poolside.MarksView, error)
	Guess(ctx context.Context, runID string) (poolside.GuessView, error)
	StartGuess(ctx context.Context, runID string, start poolside.GuessStart) (poolside.GuessView, error)
	GuessOn(ctx context.Context, runID string) (poolside.GuessView, error)
	CancelGuess(ctx context.Context, runID string) error
	SetGuessing(ctx context.Context, on bool) error
	ImportMarks(ctx context.Context, runID, by string, file, mapping io.Reader) (notes []string, err error)
	WriteMarks(ctx context.Context, runID string, w io.Writer) error
	Kick(ctx context.Context, runID string, chosen int) (poolside.KickView, error)
	WhatIf(ctx context.Context, req poolside.WhatIfRequest) (poolside.WhatIfView, error)
	SetReference(ctx context.Context, runID, againstID string) error
	EstimateAgain(ctx context.Context, runID string) error
	Model(ctx context.Context, runID string) (poolside.ModelView, error)

	wallCases
	seasonCases
	goalCases
	rightCases
	clipCases
	privacyCases
	practiceCases
	keepCases
	lessonCases
	compareCases
	clipOutCases
	drawingCases
	stillsCases
}
