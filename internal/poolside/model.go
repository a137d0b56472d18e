package poolside

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"underkick/internal/body"
	"underkick/internal/limit/worth"
	"underkick/internal/record"
	"underkick/internal/spread"
	"underkick/internal/store"
	"underkick/internal/swim"
)

// ModelView is a run in the swim model, for experts: every number is the model's, none is
// measured but Speed.
type ModelView struct {
	Swimmer record.Swimmer
	Visit   record.Visit
	Run     record.Run
	Problem string // why there is none, "" else

	Speed        float64 // measured, m/s
	Factor       float64 // personal factor on the drag along the body
	FactorLow    float64 // 95 % of the error draws
	FactorHigh   float64
	Draws, Lost  int         // error draws, and those without a steady swim
	TrimWeight   float64     // vertical force that holds the depth, share of body weight
	TrimMoment   float64     // moment that holds the heading, share of body weight times height
	Efficiency   float64     // thrust times speed over power
	Top, Bottom  float64     // phases of the toe's highest and lowest place
	Curves       swim.Curves // over the mean drag, phase 0 at the toe top
	Shares       []PushShare
	Push         []worth.PushLine // of every kick against the run's largest; nil until it is estimated
	Flags        []worth.Flag
	Coefficients []worth.Coefficient
}

// PushShare is a segment's part of the whole push of a kick: 1 for all of them together.
type PushShare struct {
	Segment  string
	Down, Up float64
}

const gravity = 9.81 // m/s2

// fillModel puts into the view what the model says of a measured run.
func (a *App) fillModel(ctx context.Context, v *ModelView, rc store.Whole, own *Measured, hash string) error {
	p, err := a.prepareMeasured(rc, own, hash)
	if err != nil {
		return err
	}
	asker, err := p.get()
	if err != nil { // only a refusal is left
		return inputError{err}
	}
	return v.fill(ctx, asker)
}

// Model puts a run into the swim model for the expert page.
func (a *App) Model(ctx context.Context, runID string) (ModelView, error) {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return ModelView{}, err
	}
	v := ModelView{Swimmer: rc.Swimmer, Visit: rc.Visit, Run: rc.Run, Coefficients: worth.Coefficients()}
	own, hash, err := a.measureKept(ctx, rc)
	if err == nil {
		err = a.fillModel(ctx, &v, rc, own, hash)
	}
	if problem, ok := problemOf(err); ok {
		v.Problem = problem
		return v, nil
	}
	if err != nil {
		return v, err
	}
	others, err := a.ownRuns(ctx, rc.Swimmer)
	if err != nil {
		return v, err
	}
	w, _, err := a.worthView(ctx, rc, own, hash, others)
	if err == nil && w.Result != nil {
		v.Push, v.Flags = w.Result.Push, w.Result.Flags
	}
	return v, err
}

func (v *ModelView) fill(ctx context.Context, a *worth.Asker) error {
	o := a.Swim()
	l := o.Loads()
	s := o.Subject()
	weight := s.Mass * gravity
	v.Speed, v.Factor, v.Efficiency = a.Measured(), o.DragFactor, l.Efficiency
	v.TrimWeight, v.TrimMoment = o.Trim/weight, o.TrimMoment/(weight*s.Height)
	v.Top, v.Bottom = l.Top, l.Bottom
	v.Curves = o.Curves()
	v.Shares = shares(v.Curves, l.Top, l.Bottom)
	factors, err := a.Factors(ctx)
	if err != nil {
		return fmt.Errorf("draw the model's errors: %w", err)
	}
	var known []float64
	for _, f := range factors {
		if !math.IsNaN(f) {
			known = append(known, f)
		}
	}
	v.Draws, v.Lost = len(factors), len(factors)-len(known)
	v.FactorLow, v.FactorHigh = math.NaN(), math.NaN()
	if len(known) > 0 {
		v.FactorLow, v.FactorHigh = spread.Quantile(known, 0.025), spread.Quantile(known, 0.975)
	}
	return nil
}

// shares splits every segment's push at the toe's highest and lowest place.
func shares(c swim.Curves, top, bottom float64) []PushShare {
	var list []PushShare
	for g, push := range c.Push {
		var down, up []float64
		for i, p := range c.Phase {
			if turn(p-top) < bottom-top {
				down = append(down, push[i])
			} else {
				up = append(up, push[i])
			}
		}
		n := float64(len(push))
		s := PushShare{Segment: body.Segment(g).String()}
		if len(down) > 0 {
			s.Down = stat.Mean(down, nil) * float64(len(down)) / n
		}
		if len(up) > 0 {
			s.Up = stat.Mean(up, nil) * float64(len(up)) / n
		}
		list = append(list, s)
	}
	return list
}

// turn brings a phase into [0, 1).
func turn(phase float64) float64 { return phase - math.Floor(phase) }
