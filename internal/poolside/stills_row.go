package poolside

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"underkick/internal/drawing"
	"underkick/internal/kick"
	"underkick/internal/record"
	"underkick/internal/store"
)

// Swims is the direction in which stills show a swimmer.
type Swims string

// The directions; the zero value leaves the film as it is.
const (
	AsFilmed Swims = ""
	ToRight  Swims = "right"
	ToLeft   Swims = "left"
)

// StillsOptions say which stills of a run are made and what is drawn on them. The zero
// value is the downkick of the best-marked kick, the legs, as filmed, with the usual
// layers.
type StillsOptions struct {
	Kick    int              // number of the kick; 0 = the best-marked one
	Average bool             // with Kick 0: the one nearest to the run's mean curves
	Moments []string         // in any order; nil = set, drive, fastest, finish; "all" = those of the upkick too
	Layers  drawing.Switches // drawn on them
	Whole   bool             // the whole body, not the legs alone
	Swims   Swims            // pictures are mirrored where the swimmer swims the other way
	Soften  bool             // faces are made unrecognisable
	Squad   bool             // the stills are shown in the squad: consent for that is asked for
	Outside bool             // they leave the squad: consent for that is asked for, a pseudonym stands for the name, and with Soften the head is known
	Small   bool             // shown small, in rows on paper: drawn with thicker lines
	KeepOff bool             // layers that are off are drawn too and marked Off
}

// audience is who sees the stills.
func (o StillsOptions) audience() record.Audience {
	switch {
	case o.Outside:
		return record.OutsideSquad
	case o.Squad:
		return record.InSquad
	}
	return record.JustMe
}

// StillsView is a row of stills of one kick, all of one size of body.
type StillsView struct {
	Swimmer         record.Swimmer
	Name            string // as it is shown
	Visit           record.Visit
	Clip            record.Clip
	Run             record.Run
	Kick            int
	Kicks           []int  // numbers of the run's whole kicks
	Why             string // how the kick was chosen, a sentence
	Swims           Swims  // on the pictures
	WidthPx, HighPx float64
	Stills          []StillView
	Notes           []string // what a person should know before showing them
}

// downkickMoments are shown unless others are asked for.
var downkickMoments = []string{"set", "drive", "fastest", "finish"}

// AllMoments lists the key moments of a kick in order.
func AllMoments() []string {
	return append(slices.Clone(downkickMoments), "set-up", "drive-up", "fastest-up", "finish-up")
}

// moments are the names asked for, checked.
func (o StillsOptions) moments() ([]string, error) {
	switch {
	case len(o.Moments) == 0:
		return downkickMoments, nil
	case len(o.Moments) == 1 && o.Moments[0] == "all":
		return AllMoments(), nil
	}
	for _, name := range o.Moments {
		if !slices.Contains(AllMoments(), name) {
			return nil, inputf("there is no moment %q; the moments are %s", name, strings.Join(AllMoments(), ", "))
		}
	}
	return o.Moments, nil
}

// Stills returns the framed pictures of one kick of a run: cut so that the body is
// equally large in every run's stills, directed as asked, with what is drawn on them and
// captions from the run's measures. Errors wrap ErrInput where the run cannot give them
// and ErrConsent where they may not be shown.
func (a *App) Stills(ctx context.Context, runID string, opt StillsOptions) (StillsView, error) {
	made, err := a.stillsOf(ctx, runID, opt)
	return made.view, err
}

// madeStills are stills with what their pictures are made from.
type madeStills struct {
	view StillsView
	rc   store.Whole
	m    *Measured
}

func (a *App) stillsOf(ctx context.Context, runID string, opt StillsOptions) (madeStills, error) {
	moments, err := opt.moments()
	if err != nil {
		return madeStills{}, err
	}
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return madeStills{}, err
	}
	if err := a.mayBeFor(ctx, rc.Swimmer, opt.audience()); err != nil {
		return madeStills{}, err
	}
	m, _, err := a.measureKept(ctx, rc)
	if err != nil {
		return madeStills{}, err
	}
	name := strings.TrimSpace(a.nameFor(ctx, rc.Swimmer, opt.audience()))
	v := StillsView{Swimmer: rc.Swimmer, Name: cmp.Or(name, "A swimmer"), Visit: rc.Visit, Clip: rc.Clip, Run: rc.Run}
	k, err := v.choose(m, opt)
	if err != nil {
		return madeStills{}, err
	}
	f, err := pictureSize(rc.Clip)
	if err != nil {
		return madeStills{}, err
	}
	v.WidthPx, v.HighPx = f.WidthPx, f.HeightPx
	f.KeepOff = opt.KeepOff
	frame := stillsFrame{Frame: f, layers: opt.Layers, whole: opt.Whole, small: opt.Small, moments: moments}
	frame.mirror, v.Swims = m.mirrors(opt.Swims)
	v.Stills = m.stills(*k, frame)
	if len(v.Stills) == 0 {
		return madeStills{}, inputf("kick %d shows none of %s; choose another kick", v.Kick, strings.Join(moments, ", "))
	}
	return madeStills{v, rc, m}, v.lookAtFaces(opt)
}

// choose finds the kick that is shown and says why it is that one.
func (v *StillsView) choose(m *Measured, opt StillsOptions) (*kick.Kick, error) {
	for _, k := range m.Result.Kicks {
		if k.Number > 0 {
			v.Kicks = append(v.Kicks, k.Number)
		}
	}
	if len(v.Kicks) == 0 {
		return nil, inputf("no whole kick is seen in this run, so it has no stills; look at its kick page")
	}
	number := opt.Kick
	switch {
	case number > 0:
		v.Why = fmt.Sprintf("Kick %d, as chosen.", number)
	case opt.Average:
		number, v.Why = m.averageKick()
	default:
		number, v.Why = m.bestMarkedKick()
	}
	k := wholeKick(m.Result, number)
	if k == nil {
		return nil, inputf("there is no whole kick %d in this run; it has %s", number, strings.Trim(fmt.Sprint(v.Kicks), "[]"))
	}
	v.Kick = k.Number
	return k, nil
}

// mirrors reports whether pictures are mirrored to show the swimmer in a direction, and
// the direction on them.
func (m *Measured) mirrors(to Swims) (bool, Swims) {
	film := ToRight
	if m.swimsLeft() {
		film = ToLeft
	}
	if to == AsFilmed {
		to = film
	}
	return to != film, to
}

// lookAtFaces says where softening covers more than the head because the head is not
// marked. Where nothing is known to cover, stills that leave the squad are refused.
func (v *StillsView) lookAtFaces(opt StillsOptions) error {
	if !opt.Soften {
		return nil
	}
	words := ""
	for _, s := range v.Stills {
		switch {
		case s.Head:
		case len(s.Soft) > 0:
			words = "The head is not marked: everything from the shoulders to the hands is softened. Mark the head on some frames to soften the face alone."
		case opt.Outside:
			return noFace(s.Moment)
		default:
			words = "Neither head nor shoulder is marked: nothing is softened. Do not show these pictures outside the squad."
		}
	}
	if words != "" {
		v.Notes = append(v.Notes, words)
	}
	return nil
}
