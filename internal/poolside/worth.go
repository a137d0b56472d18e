package poolside

import (
	"context"
	"fmt"
	"slices"

	"underkick/internal/body"
	"underkick/internal/limit/worth"
)

// WorthRequest asks what the qualities of a run are worth, past the store.
type WorthRequest struct {
	Run         FileRequest
	Against     []FileRequest // reference runs of the same swimmer; Subject and Supine are Run's
	SameMarking bool          // all runs were marked alike
	Changes     []worth.Change
	Touched     string                // what the swimmer touched in the run, "surface", "wall"; "" = nothing
	Depth       float64               // of the hip in the run, m; 0 = not known
	Progress    func(done, total int) // told of every error draw; nil = nobody
}

// Worth is an estimate with what was assumed on the way to it.
type Worth struct {
	*worth.Result
	Warnings []string // of the measurement of the run, and of the reference runs, named
}

// worthSeed makes two calls with the same files give the same bands.
const worthSeed = 1

// WorthOfFiles estimates what each quality of a run is worth to its swimmer: model
// estimates, never measurements. Input that is too poor is a result that says so.
// Errors about the files are those of MeasureFiles; a change that cannot be asked of
// this kick wraps ErrInput.
func WorthOfFiles(ctx context.Context, req WorthRequest) (*Worth, error) {
	for _, c := range req.Changes {
		if err := c.Check(); err != nil {
			return nil, inputError{err}
		}
	}
	own, err := MeasureFiles(ctx, req.Run)
	if err != nil {
		return nil, err
	}
	out := &Worth{Warnings: slices.Clone(own.Result.Warnings)}
	in := worth.Input{Run: own.worthRun(), SameMarking: req.SameMarking, Changes: req.Changes, Seed: worthSeed, Progress: req.Progress}
	in.Run.Touched, in.Run.Depth = req.Touched, req.Depth
	if in.Subject, err = own.subject(req.Run.Subject); err != nil {
		return nil, err
	}
	for _, r := range req.Against {
		r.Subject, r.Supine = req.Run.Subject, req.Run.Supine
		ref, err := MeasureFiles(ctx, r)
		if err != nil {
			return nil, fmt.Errorf("the reference run %s: %w", r.name(), err)
		}
		in.Against = append(in.Against, ref.worthRun())
		for _, w := range ref.Result.Warnings {
			if !slices.Contains(out.Warnings, w) {
				out.Warnings = append(out.Warnings, fmt.Sprintf("%s: %s", r.name(), w))
			}
		}
	}
	if out.Result, err = worth.Estimate(ctx, in); err != nil {
		if ctx.Err() != nil {
			return nil, err
		}
		return nil, inputError{err}
	}
	return out, nil
}

// name is what a person knows the files of a request by.
func (r *FileRequest) name() string {
	if r.Clip != "" {
		return r.Clip
	}
	return r.Traces
}

// worthRun hands a measured run on with the errors it was measured with.
func (m *Measured) worthRun() worth.Run {
	r := worth.Run{Result: m.Result, Draw: m.draw, Offset: m.offsetM}
	if r.ScaleRel = m.View.Errors().ScaleRel; r.ScaleRel == 0 {
		r.ScaleRel = -1 // known exactly, not unknown
	}
	return r
}

// subject completes what is known of the swimmer from the run.
func (m *Measured) subject(s body.Subject) (body.Subject, error) {
	s, _ = s.CompleteFrom(m.motion) // what is assumed is among the measurement's warnings
	if !(s.Height > 0 && s.Mass > 0) {
		return s, inputf("the model needs the swimmer's height: give --height M")
	}
	return s, nil
}
