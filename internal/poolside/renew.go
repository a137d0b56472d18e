package poolside

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"underkick/internal/jobs"
	"underkick/internal/kick"
	"underkick/internal/record"
	"underkick/internal/store"
)

// jobRenew is the kind of job that makes again what does not stand any more: results whose
// inputs changed or that another method made, then what lists say of the swimmers.
const jobRenew = "renew"

// Renewing says of how many results of a swimmer the inputs changed since they were made.
// Until they are measured again the earlier ones are shown.
type Renewing struct {
	Working int // being measured again, or waiting for it
	Stuck   int // they could not be measured again
}

// Words tells it in a sentence or two, "" for nothing.
func (r Renewing) Words() string {
	var said []string
	if r.Working > 0 {
		stands := "it stands"
		if r.Working > 1 {
			stands = "they stand"
		}
		said = append(said, resultsAre(r.Working)+" being renewed, because something changed on which "+stands+". Until then the earlier numbers are shown.")
	}
	if r.Stuck > 0 {
		said = append(said, resultsAre(r.Stuck)+" older than a change and cannot be measured again now; the page of the run says why.")
	}
	return strings.Join(said, " ")
}

// Short tells it in a table, "" for nothing.
func (r Renewing) Short() string {
	switch {
	case r.Working > 0:
		return resultsAre(r.Working) + " being renewed"
	case r.Stuck > 0:
		return resultsAre(r.Stuck) + " older than a change"
	}
	return ""
}

func resultsAre(n int) string {
	if n == 1 {
		return "1 result is"
	}
	return fmt.Sprintf("%d results are", n)
}

// renewals are the runs with a result to renew, by run; work on them is begun where none
// is under way.
func (a *App) renewals(ctx context.Context) (map[string]store.Renewal, error) {
	if err := a.noticeMarkers(ctx); err != nil {
		return nil, err
	}
	list, err := a.store.Renewals(ctx)
	if err != nil {
		return nil, err
	}
	by, waits := make(map[string]store.Renewal, len(list)), false
	for _, n := range list {
		by[n.RunID] = n
		waits = waits || !n.Tried
	}
	if waits {
		err = a.renewSoon(ctx)
	}
	return by, err
}

// renewalWords say how the result of a run stands, "" for one that is not among the
// renewals.
func renewalWords(n store.Renewal) string {
	switch {
	case n.RunID == "":
		return ""
	case n.Tried:
		return "older than a change, and cannot be measured again now"
	}
	return "being renewed"
}

// renewingBySwimmer counts renewals by swimmer.
func renewingBySwimmer(list map[string]store.Renewal) map[string]Renewing {
	by := map[string]Renewing{}
	for _, n := range list {
		r := by[n.SwimmerID]
		if n.Tried {
			r.Stuck++
		} else {
			r.Working++
		}
		by[n.SwimmerID] = r
	}
	return by
}

// renewingOf says what of a swimmer is being renewed.
func (a *App) renewingOf(ctx context.Context, swimmerID string) (Renewing, error) {
	list, err := a.renewals(ctx)
	return renewingBySwimmer(list)[swimmerID], err
}

// renewSoon begins to renew in the background, unless that waits already: work that is
// under way may have looked for the last time.
func (a *App) renewSoon(ctx context.Context) error {
	open, err := a.store.OpenJobs(ctx)
	if err != nil {
		return err
	}
	for _, j := range open {
		if j.Kind == jobRenew && j.State == record.Waiting {
			return nil
		}
	}
	_, err = a.jobs.Enqueue(ctx, jobRenew, "", struct{}{})
	return err
}

// renewAtStart begins what an upgrade of the data folder or of a method made necessary.
func (a *App) renewAtStart(ctx context.Context) error {
	if err := a.store.RetryRenewals(ctx); err != nil {
		return err
	}
	if _, known, err := a.store.Setting(ctx, markersSetting); err != nil {
		return err
	} else if !known { // what is kept was measured with what is known now
		if err := a.keepMarkers(ctx); err != nil {
			return err
		}
	}
	needed, err := a.store.Outdated(ctx, seasonMethod, kick.Method)
	if err != nil || !needed {
		return err
	}
	return a.renewSoon(ctx)
}

// renew is the job. It goes on where it was when it gave way to other work. What fails does
// not hold up the rest; the job tells how much it was and names nobody: it stays when a
// swimmer is erased.
func (a *App) renew(ctx context.Context, t *jobs.Task) error {
	if _, err := a.linesOfAll(ctx, t); err != nil { // the numbers that are there, first
		return err
	}
	if err := a.store.RenewOtherMethods(ctx, kick.Method); err != nil {
		return err
	}
	failed := 0
	for n := 0; ; {
		next, left, err := a.nextRenewal(ctx)
		if err != nil {
			return err
		}
		if next.RunID == "" {
			break
		}
		n++
		t.Report(ctx, float64(n-1)/float64(n-1+left), fmt.Sprintf("measuring again what changed, run %d of %d", n, n-1+left))
		if err := a.renewRun(ctx, next); ctx.Err() != nil {
			return ctx.Err()
		} else if err != nil {
			a.log.Warn("not measured again", "run", next.RunID, "err", err)
			failed++
		}
	}
	lines, err := a.linesOfAll(ctx, t)
	if err != nil {
		return err
	}
	if lines+failed > 0 {
		return fmt.Errorf("%d runs could not be measured again and the numbers of %d swimmers not be prepared; the log says why. Opening the page of the run or the swimmer tries again", failed, lines)
	}
	return nil
}

// nextRenewal returns the first run to measure again and how many there are.
func (a *App) nextRenewal(ctx context.Context) (next store.Renewal, left int, err error) {
	list, err := a.store.Renewals(ctx)
	for _, n := range list {
		if n.Tried {
			continue
		}
		if left == 0 {
			next = n
		}
		left++
	}
	return next, left, err
}

// renewRun measures a run again. What keeps it from being measured is told on its page.
func (a *App) renewRun(ctx context.Context, n store.Renewal) error {
	view, err := a.Kick(ctx, n.RunID, 0)
	switch {
	case errors.Is(err, ErrNotFound):
		return nil // the run was deleted
	case ctx.Err() != nil:
		return ctx.Err()
	case err == nil && view.Problem == "":
		return nil
	}
	return errors.Join(err, a.store.NotRenewed(ctx, n.RunID, n.Seq))
}

// linesOfAll makes what lists say of swimmers where it does not stand, and returns for how
// many it failed. Pages that are opened meanwhile make some too.
func (a *App) linesOfAll(ctx context.Context, t *jobs.Task) (failed int, err error) {
	broken := map[string]bool{}
	for n := 0; ; n++ {
		next, left, err := a.nextLine(ctx, broken)
		if err != nil || left == 0 {
			return len(broken), err
		}
		t.Report(ctx, float64(n)/float64(n+left), fmt.Sprintf("preparing the squad's table, swimmer %d of %d", n+1, n+left))
		switch err := a.makeSeason(ctx, next); {
		case ctx.Err() != nil:
			return 0, ctx.Err()
		case err != nil && !errors.Is(err, ErrNotFound): // gone meanwhile
			a.log.Warn("season not made", "err", err)
			broken[next] = true
		}
	}
}

// nextLine returns the first swimmer whose line does not stand, without those left out, and
// how many there are.
func (a *App) nextLine(ctx context.Context, without map[string]bool) (swimmerID string, left int, err error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return "", 0, err
	}
	for _, q := range squads {
		swimmers, stands, err := a.store.SeasonStands(ctx, q.ID, seasonMethod)
		if err != nil {
			return "", 0, err
		}
		for i, id := range swimmers {
			if stands[i] || without[id] {
				continue
			}
			if left == 0 {
				swimmerID = id
			}
			left++
		}
	}
	return swimmerID, left, nil
}
