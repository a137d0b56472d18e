package poolside

import (
	"context"
	"errors"
	"math"
	"sync"

	"underkick/internal/body"
	"underkick/internal/limit/worth"
	"underkick/internal/store"
	"underkick/internal/swim"
)

// WhatIfRequest asks what the model expects of changes made together.
type WhatIfRequest struct {
	RunID   string
	Of      string // WhatIfView.Of of the page that asks; "" or an old one = the run as it stands
	Changes []worth.Change
	Phase   float64 // at which the swimmer is drawn, cycles from toe top
	Band    bool    // with the band, which takes longer
}

// WhatIfView is the answer, with the measured and the changed kick as outlines.
type WhatIfView struct {
	Of          string // names what the answer stands on
	Speed       float64
	SpeedChange worth.Band // m/s; the band is NaN where it was not asked for
	EqualEffort float64    // m/s at the same effort
	PowerChange float64    // as a fraction
	Refused     string     // why there is no answer, "" when there is one
	Bottom      float64    // phase of the toe's lowest place in the measured kick, cycles from toe top

	Measured, Changed Outline
}

// Outline is a swimmer in the model, seen from the hip: x along the body line towards the
// hands, y to the back side, m.
type Outline struct {
	Body [6][2]float64 // fingertip, shoulder, hip, knee, ankle, toe at the phase
	Loop [][2]float64  // the toe's path over a kick, closed
	Box  [2][2]float64 // least and greatest x and y of the body over the kick
}

// outlined are the landmarks of an outline, in order.
var outlined = [...]body.Landmark{body.Fingertip, body.Shoulder, body.Hip, body.Knee, body.Ankle, body.Toe}

// loopSamples are the phases at which a toe's path is drawn.
const loopSamples = 64

// askers keeps the runs prepared for what-ifs in memory; one takes about 15 MB.
type askers struct {
	mu    sync.Mutex
	order []*prepared // the last used at the end
}

// prepared is a run that can be asked; get makes it so the first time, whoever calls.
type prepared struct {
	runID, hash string
	get         func() (*worth.Asker, error)
}

const askersKept = 4

// find returns the prepared run, or keeps a new one that prepare makes; nil where prepare is.
func (a *askers) find(runID, hash string, prepare func() (*worth.Asker, error)) *prepared {
	a.mu.Lock()
	defer a.mu.Unlock()
	for i, p := range a.order {
		if p.runID == runID && p.hash == hash {
			a.order = append(append(a.order[:i:i], a.order[i+1:]...), p)
			return p
		}
	}
	if prepare == nil {
		return nil
	}
	p := &prepared{runID: runID, hash: hash, get: sync.OnceValues(prepare)}
	a.order = append(a.order, p)
	if len(a.order) > askersKept {
		a.order = a.order[1:]
	}
	return p
}

// WhatIf answers a slider of the kick page. A run that is too poor, or a change that its
// kick cannot take, is a view with Refused; a change that does not exist wraps ErrInput.
func (a *App) WhatIf(ctx context.Context, req WhatIfRequest) (WhatIfView, error) {
	for _, c := range req.Changes {
		if err := c.Check(); err != nil {
			return WhatIfView{}, inputError{err}
		}
	}
	p, err := a.prepare(ctx, req.RunID, req.Of)
	if err != nil {
		return WhatIfView{}, err
	}
	view := WhatIfView{Of: p.hash}
	asker, err := p.get()
	if errors.Is(err, worth.ErrRefused) {
		view.Refused = err.Error()
		return view, nil
	}
	if err != nil {
		return WhatIfView{}, err
	}
	ask := func() (worth.Answer, error) { return asker.Ask(req.Changes) }
	if req.Band {
		ask = func() (worth.Answer, error) { return asker.Band(ctx, req.Changes) }
	}
	got, err := ask()
	if ctx.Err() != nil {
		return view, ctx.Err()
	}
	view.Speed = asker.Measured()
	view.Measured = OutlineOf(asker.Swim(), req.Phase)
	top, bottom, _ := asker.Swim().Toe()
	view.Bottom = bottom - top
	if err != nil {
		view.Refused, view.Changed = err.Error(), view.Measured
		return view, nil
	}
	view.SpeedChange, view.EqualEffort, view.PowerChange = got.SpeedChange, got.EqualEffort, got.PowerChange
	view.Changed = OutlineOf(got.Swim, req.Phase)
	return view, nil
}

// prepare returns the run ready to be asked, from memory where the page that asks saw what
// stands.
func (a *App) prepare(ctx context.Context, runID, of string) (*prepared, error) {
	if p := a.askers.find(runID, of, nil); p != nil {
		return p, nil
	}
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return nil, err
	}
	own, hash, err := a.measureKept(ctx, rc)
	if err != nil {
		return nil, err
	}
	return a.prepareMeasured(rc, own, hash)
}

func (a *App) prepareMeasured(rc store.Whole, own *Measured, hash string) (*prepared, error) {
	subject, err := own.subject(rc.Swimmer.Subject())
	if err != nil {
		return nil, err
	}
	p := a.askers.find(rc.Run.ID, hashOf([]string{worth.Method, hash, runFacts(rc.Run)}), func() (*worth.Asker, error) {
		return worth.NewAsker(own.worthRunOf(rc.Run), subject, worthSeed)
	})
	if _, err := p.get(); err != nil && !errors.Is(err, worth.ErrRefused) {
		return nil, err
	}
	return p, nil
}

// OutlineOf draws a swim at a phase from its toe top, cycles.
func OutlineOf(o *swim.Orbit, phase float64) Outline {
	out := Outline{Box: [2][2]float64{{math.Inf(1), math.Inf(1)}, {math.Inf(-1), math.Inf(-1)}}}
	top, _, _ := o.Toe()
	for i := range loopSamples + 1 {
		b := bodyAt(o, top+float64(i)/loopSamples)
		out.Loop = append(out.Loop, b[len(b)-1])
		for _, p := range b {
			for k := range p {
				out.Box[0][k], out.Box[1][k] = math.Min(out.Box[0][k], p[k]), math.Max(out.Box[1][k], p[k])
			}
		}
	}
	out.Body = bodyAt(o, top+phase)
	return out
}

// bodyAt returns the landmarks relative to the hip.
func bodyAt(o *swim.Orbit, phase float64) (b [len(outlined)][2]float64) {
	pose := o.At(phase)
	at := body.Posture{Pitch: pose.Pitch, Joints: pose.Joints}.Landmarks(o.Chain(), o.Subject().Height)
	for i, l := range outlined {
		b[i] = [2]float64{at[l].X, at[l].Y}
	}
	return b
}
