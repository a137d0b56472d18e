// Package jobs does background work: reading a clip, fitting traces, anything
// that takes longer than a page should wait. Jobs are kept in the store, so
// that none is lost when the program ends; a Queue does them, oldest first,
// with a few workers.
//
// A job is done at least once: when the process is killed in the middle, the
// next start begins the job anew at once (not after a delay) up to
// MaxAttempts times. So a handler must be able to begin over what it had begun.
//
// Kinds that take minutes and go on where they were are handled as patient: they give
// way to all others.
//
// It does not repeat a job that failed, has no schedule, and
// knows nothing of what the jobs are about.
package jobs
