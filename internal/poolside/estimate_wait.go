package poolside

import (
	"context"
	"fmt"
)

// Estimated is Kick once the estimate of worth stands, or was stopped: the finding that
// follows from it does not change by itself any more. It waits for the work that Kick only
// begins.
func (a *App) Estimated(ctx context.Context, runID string) (KickView, error) {
	view, err := a.Kick(ctx, runID, 0)
	if err != nil || view.Worth.State != WorthWorking {
		return view, err
	}
	if _, err := a.jobs.Wait(ctx, view.Worth.Job.ID); err != nil {
		return view, fmt.Errorf("wait for what the qualities of run %s are worth: %w", runID, err)
	}
	return a.Kick(ctx, runID, 0)
}
