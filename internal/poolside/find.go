package poolside

import (
	"context"

	"underkick/internal/record"
)

// FindSwimmer returns the swimmer of an id, or the only one of a name; while names are
// hidden also of the name that is shown. No one and several are refused with ErrInput.
func (a *App) FindSwimmer(ctx context.Context, who string) (record.Swimmer, error) {
	all, err := a.AllSwimmers(knowing(ctx))
	if err != nil {
		return record.Swimmer{}, err
	}
	d := disguiseIn(ctx)
	var found []record.Swimmer
	for _, w := range all {
		if w.ID == who {
			return hideSwimmer(ctx, w), nil
		}
		if w.Name == who || d != nil && d.shown(w.ID) == who {
			found = append(found, w)
		}
	}
	switch len(found) {
	case 1:
		return hideSwimmer(ctx, found[0]), nil
	case 0:
		return record.Swimmer{}, inputf("there is no swimmer %q; write the whole name or the id", who)
	}
	return record.Swimmer{}, inputf("%d swimmers are called %q; give the id, as the address of the swimmer's page has it", len(found), who)
}

// AllSwimmers returns the swimmers of all squads.
func (a *App) AllSwimmers(ctx context.Context) ([]record.Swimmer, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return nil, err
	}
	var all []record.Swimmer
	for _, q := range squads {
		list, err := a.store.Swimmers(ctx, q.ID)
		if err != nil {
			return nil, err
		}
		all = append(all, list...)
	}
	return all, nil
}

// FindSquad returns the squad of an id, or the only one of a name. No one and several
// are refused with ErrInput.
func (a *App) FindSquad(ctx context.Context, which string) (record.Squad, error) {
	all, err := a.store.Squads(ctx)
	if err != nil {
		return record.Squad{}, err
	}
	var found []record.Squad
	for _, q := range all {
		if q.ID == which {
			return q, nil
		}
		if q.Name == which {
			found = append(found, q)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return record.Squad{}, inputf("there is no squad %q; write the whole name or the id", which)
	}
	return record.Squad{}, inputf("%d squads are called %q; give the id", len(found), which)
}
