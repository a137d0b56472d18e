package poolside

import "context"

// StartErasing begins to erase a swimmer and returns at once; Erasing tells how it stands.
// typed must be the swimmer's name, else it is refused with ErrInput. While one is under
// way another is refused with ErrBusy.
func (a *App) StartErasing(ctx context.Context, req EraseRequest, typed string) error {
	view, err := a.WhatGoes(ctx, req.SwimmerID)
	if err != nil {
		return err
	}
	if !view.TypedName(typed) {
		return inputf("that is not the name; nothing was erased")
	}
	return a.erasing.start(ctx, func(ctx context.Context, tell func(float64, string)) (Erased, error) {
		req.Progress = tell
		return a.EraseSwimmer(ctx, req)
	})
}

// Erasing returns how the last erasure that a page began stands. It names nobody.
func (a *App) Erasing() BesideView[Erased] { return a.erasing.look() }
