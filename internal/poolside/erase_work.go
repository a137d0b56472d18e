package poolside

import (
	"context"
	"fmt"
	"sync"
)

// ErasingView is how the last erasure that a page began stands.
type ErasingView struct {
	State    string // "" none yet, "working", "done", "failed"
	Fraction float64
	Doing    string
	Problem  string
	Erased   Erased // when done
}

// erasure runs one erasure beside the pages. Its state names nobody.
type erasure struct {
	mu   sync.Mutex
	view ErasingView
	work sync.WaitGroup
}

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
	e := &a.erasing
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.view.State == "working" {
		return fmt.Errorf("another swimmer is being erased: %w", ErrBusy)
	}
	e.view = ErasingView{State: "working", Doing: "beginning"}
	req.Progress = e.tell
	ctx = context.WithoutCancel(ctx)
	e.work.Go(func() { e.end(a.EraseSwimmer(ctx, req)) })
	return nil
}

func (e *erasure) tell(fraction float64, doing string) {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.view.Fraction, e.view.Doing = fraction, doing
}

func (e *erasure) end(out Erased, err error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.view.State, e.view.Erased = "done", out
	if err != nil {
		e.view.State, e.view.Problem = "failed", err.Error()
	}
}

// Erasing returns how the last erasure that a page began stands.
func (a *App) Erasing() ErasingView {
	a.erasing.mu.Lock()
	defer a.erasing.mu.Unlock()
	return a.erasing.view
}
