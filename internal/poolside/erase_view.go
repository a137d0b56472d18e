package poolside

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"underkick/internal/record"
	"underkick/internal/store"
)

// EraseView says what erasing a swimmer takes and what it leaves.
type EraseView struct {
	Swimmer                    record.Swimmer
	Shown                      string // name as pages show it
	name                       string // as it is, to be typed
	Visits, Clips, Runs, Marks int    // that go
	Results, Plans             int
	Consents, Given            int
	FilmBytes                  int64
	Shared                     []SharedClip         // stay, without the swimmer's runs
	Copies                     []store.DatabaseCopy // made before upgrades; those that hold the swimmer go unless kept
	Backups                    []NotedBackup        // are not touched
	Mentions                   []store.Mention      // notes about others that say the name; they stay
}

// HoldingCopies returns the copies that hold the swimmer.
func (v EraseView) HoldingCopies() []store.DatabaseCopy {
	return slices.DeleteFunc(slices.Clone(v.Copies), func(c store.DatabaseCopy) bool { return !c.Holds })
}

// WhatGoes says what erasing a swimmer takes and what it leaves.
func (a *App) WhatGoes(ctx context.Context, swimmerID string) (EraseView, error) {
	var v EraseView
	var err error
	if v.Swimmer, err = a.store.Swimmer(ctx, swimmerID); err != nil {
		return v, fmt.Errorf("say what erasing takes: %w", err)
	}
	real, err := a.store.Store.Swimmer(ctx, swimmerID) // also while names are hidden
	if err != nil {
		return v, fmt.Errorf("say what erasing takes: %w", err)
	}
	v.name = real.Name
	v.Shown = a.ShownName(ctx, v.Swimmer)
	if err := a.countFilmed(ctx, &v); err != nil {
		return v, err
	}
	plans, err := a.store.Plans(ctx, swimmerID)
	if err != nil {
		return v, err
	}
	consents, err := a.store.Consents(ctx, swimmerID)
	if err != nil {
		return v, err
	}
	given, err := a.store.Given(ctx, swimmerID)
	if err != nil {
		return v, err
	}
	v.Plans, v.Consents, v.Given = len(plans), len(consents), len(given)
	if v.Copies, err = a.store.Copies(ctx, swimmerID); err != nil {
		return v, err
	}
	if v.Mentions, err = a.store.Mentions(ctx, swimmerID); err != nil {
		return v, err
	}
	v.Backups, err = a.Backups(ctx)
	return v, err
}

func (a *App) countFilmed(ctx context.Context, v *EraseView) error {
	filmed, err := a.store.Filmed(ctx, v.Swimmer.ID)
	if err != nil {
		return err
	}
	v.Visits = len(filmed)
	for _, visit := range filmed {
		for _, c := range visit.Clips {
			with, keeper, err := a.othersIn(ctx, c.Clip, v.Swimmer.ID)
			if err != nil {
				return err
			}
			if len(with) > 0 {
				v.Shared = append(v.Shared, SharedClip{ClipID: keeper, Name: nameAfter(c.Clip, v.Swimmer.ID), With: with})
			} else {
				v.Clips, v.FilmBytes = v.Clips+1, v.FilmBytes+c.Clip.Size
			}
			for _, r := range c.Runs {
				results, err := a.store.Results(ctx, r.Run.ID)
				if err != nil {
					return err
				}
				v.Runs, v.Marks, v.Results = v.Runs+1, v.Marks+r.Marks, v.Results+len(results)
			}
		}
	}
	return nil
}

// nameAfter is what a clip that stays is called once its swimmer is erased.
func nameAfter(c record.Clip, swimmerID string) string {
	if c.SwimmerID != swimmerID {
		return c.Name
	}
	return "clip " + c.Hash[:8]
}

// othersIn returns the names of the other swimmers to whom a film belongs or who swim in
// it, and a clip of theirs.
func (a *App) othersIn(ctx context.Context, c record.Clip, swimmerID string) (names []string, clipID string, err error) {
	clips, err := a.store.ClipsOfFilm(ctx, c.Hash)
	if err != nil {
		return nil, "", err
	}
	for _, clip := range clips {
		who := []string{clip.SwimmerID}
		runs, err := a.store.RunsOfClip(ctx, clip.ID)
		if err != nil {
			return nil, "", err
		}
		for _, r := range runs {
			who = append(who, r.SwimmerID)
		}
		for _, id := range who {
			if id == swimmerID {
				continue
			}
			w, err := a.store.Swimmer(ctx, id)
			if err != nil {
				return nil, "", err
			}
			if name := a.ShownName(ctx, w); !slices.Contains(names, name) {
				names, clipID = append(names, name), clip.ID
			}
		}
	}
	slices.Sort(names)
	return names, clipID, nil
}

// TypedName reports whether a text is the name that was asked for: the swimmer's, or the one
// that is shown. Spaces around it and between its words do not count.
func (v EraseView) TypedName(text string) bool {
	plain := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return plain(text) == plain(v.name) || plain(text) == plain(v.Shown)
}
