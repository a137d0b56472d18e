package poolsidetest

import (
	"context"
	"errors"

	"underkick/internal/poolside"
)

// LoadDemo puts the demo into a new data folder and waits for the estimates, which every
// app that opens a copy of it would otherwise begin anew.
func LoadDemo(ctx context.Context, dir string) error {
	app, err := poolside.Open(ctx, poolside.Options{DataDir: dir})
	if err != nil {
		return err
	}
	err = app.LoadDemo(ctx, func(string) {})
	if err == nil {
		err = app.FinishWork(ctx)
	}
	return errors.Join(err, app.Close())
}
