package jobs

import (
	"context"
	"reflect"
	"time"

	"underkick/internal/record"
)

// Job returns how a job stands.
func (q *Queue) Job(ctx context.Context, id string) (record.Job, error) {
	return q.store.Job(ctx, id)
}

// Watch calls see with the job as it stands, and again after each change, until
// it has ended, see returns false, or ctx ends. It returns the error of ctx or
// of reading.
func (q *Queue) Watch(ctx context.Context, id string, see func(record.Job) bool) error {
	tick := time.NewTicker(q.opt.Every)
	defer tick.Stop()
	var last record.Job
	for first := true; ; first = false {
		j, err := q.store.Job(ctx, id)
		if err != nil {
			return err
		}
		if first || !reflect.DeepEqual(j, last) {
			if !see(j) {
				return nil
			}
			last = j
		}
		if j.State.Ended() {
			return nil
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-tick.C:
		}
	}
}

// Wait returns the job once it has ended.
func (q *Queue) Wait(ctx context.Context, id string) (record.Job, error) {
	var last record.Job
	err := q.Watch(ctx, id, func(j record.Job) bool {
		last = j
		return true
	})
	return last, err
}
