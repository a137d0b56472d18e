package poolside

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"underkick/internal/kick"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// OwnDrillsView is the coach's own drills beside ours.
type OwnDrillsView struct {
	Own      []record.OwnDrill // as they stand, the retired last
	Ours     []record.Drill    // to copy from
	Cautions []string
}

// OwnDrills lists the coach's own drills.
func (a *App) OwnDrills(ctx context.Context) (OwnDrillsView, error) {
	own, err := a.store.OwnDrills(ctx)
	slices.SortStableFunc(own, func(a, b record.OwnDrill) int {
		switch {
		case a.Retired == b.Retired:
			return 0
		case a.Retired:
			return 1
		}
		return -1
	})
	return OwnDrillsView{Own: own, Ours: practice.Library(), Cautions: PracticeCautions()}, err
}

// DrillVersions returns every version of an own drill, oldest first; ErrNotFound
// where there is no such drill.
func (a *App) DrillVersions(ctx context.Context, id string) ([]record.OwnDrill, error) {
	list, err := a.store.DrillVersions(ctx, id)
	if err == nil && len(list) == 0 {
		err = fmt.Errorf("drill %s: %w", id, ErrNotFound)
	}
	return list, err
}

// OurDrill returns a drill of the library, to copy from.
func (a *App) OurDrill(id string) (record.Drill, error) { return OurDrill(id) }

// OurDrill returns a drill of the library; it needs no data folder. ErrNotFound where
// there is none.
func OurDrill(id string) (record.Drill, error) {
	for _, d := range practice.Library() {
		if d.ID == id {
			return d, nil
		}
	}
	return record.Drill{}, fmt.Errorf("drill %s: %w", id, ErrNotFound)
}

// KeepDrill keeps a drill of the coach's own: a new one where o.ID is empty, maybe
// made from one of ours (CopyOf), else a new version of the one there is. What was
// given before keeps its text. Errors about fields are record.Faults: a copy stays
// as careful as its original, and measures must exist.
func (a *App) KeepDrill(ctx context.Context, o record.OwnDrill) (record.OwnDrill, error) {
	fresh := o.ID == ""
	if fresh {
		o.ID = record.OwnPrefix + "new" // for Validate; the store gives the real one
	} else {
		before, err := a.store.OwnDrill(ctx, o.ID)
		if err != nil {
			return o, err
		}
		o.CopyOf, o.Retired = before.CopyOf, before.Retired
	}
	if err := a.checkDrill(o); err != nil {
		return o, err
	}
	if fresh {
		return a.store.AddDrill(ctx, o)
	}
	return a.store.ChangeDrill(ctx, o)
}

func (a *App) checkDrill(o record.OwnDrill) error {
	var all, more record.Faults
	if err := o.Validate(); errors.As(err, &more) {
		all = append(all, more...)
	}
	if o.CopyOf != "" {
		ours, err := a.OurDrill(o.CopyOf)
		if err != nil {
			return record.Faults{{Field: "copy_of", Text: fmt.Sprintf("is %q, which is no drill of the library", o.CopyOf)}}
		}
		if err := practice.CheckCopy(o.Drill, ours); errors.As(err, &more) {
			all = append(all, more...)
		}
	}
	known := kick.Definitions()
	for _, id := range o.Measures {
		if !slices.ContainsFunc(known, func(d kick.Definition) bool { return d.ID == id }) {
			all = append(all, record.Fault{Field: "measures", Text: fmt.Sprintf("names %q, which is no measure; the page Measures lists them", id)})
		}
	}
	if len(all) > 0 {
		return all
	}
	return nil
}

// RetireDrill takes an own drill off the lists, or puts it back. What was given
// stays.
func (a *App) RetireDrill(ctx context.Context, id string, retired bool, by string) error {
	return a.store.Together(ctx, func(ctx context.Context) error {
		o, err := a.store.OwnDrill(ctx, id)
		if err != nil || o.Retired == retired {
			return err
		}
		o.Retired, o.By = retired, by
		_, err = a.store.ChangeDrill(ctx, o)
		return err
	})
}

// drillsFile is the format of a file of own drills.
type drillsFile struct {
	Format  string      `json:"format"`
	Version int         `json:"version"`
	Drills  []ownInFile `json:"drills"`
}

type ownInFile struct {
	CopyOf  string `json:"copy_of,omitempty"`
	Retired bool   `json:"retired,omitempty"`
	record.Drill
}

const (
	drillsFormat  = "underkick drills"
	maxDrillsFile = 4 << 20
)

// TakeDrills keeps every drill of a file of own drills, all or none: one whose id
// is that of an own drill changes it, others are new. Whatever is wrong is an
// ErrInput that says in which drill.
func (a *App) TakeDrills(ctx context.Context, r io.Reader, by string) ([]record.OwnDrill, error) {
	text, err := io.ReadAll(io.LimitReader(r, maxDrillsFile+1))
	if err != nil {
		return nil, fmt.Errorf("read drills: %w", err)
	}
	if len(text) > maxDrillsFile {
		return nil, inputf("the file of drills is larger than %d MB", maxDrillsFile>>20)
	}
	var file drillsFile
	if err := decodeStrict(text, &file); err != nil {
		return nil, inputf("the file of drills cannot be read: %w", err)
	}
	if file.Format != drillsFormat || file.Version != 1 {
		return nil, inputf(`the file of drills must say "format": %q, "version": 1`, drillsFormat)
	}
	var kept []record.OwnDrill
	err = a.store.Together(ctx, func(ctx context.Context) error {
		kept = nil
		for i, d := range file.Drills {
			o, err := a.takeDrill(ctx, d, by)
			if err != nil {
				return inputf("drill %d, %q: %w", i+1, d.Title, err)
			}
			kept = append(kept, o)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return kept, nil
}

func (a *App) takeDrill(ctx context.Context, d ownInFile, by string) (record.OwnDrill, error) {
	o := record.OwnDrill{Drill: d.Drill, CopyOf: d.CopyOf, By: by}
	if strings.HasPrefix(d.ID, record.OwnPrefix) {
		if _, err := a.store.OwnDrill(ctx, d.ID); err != nil {
			return o, fmt.Errorf("id %s is none of your own; leave the id out for a new drill: %w", d.ID, err)
		}
	} else {
		o.ID = ""
	}
	o, err := a.KeepDrill(ctx, o)
	if err != nil || o.Retired == d.Retired {
		return o, err
	}
	o.Retired = d.Retired
	return a.store.ChangeDrill(ctx, o)
}

// WriteDrills writes the own drills as the file that TakeDrills reads.
func (a *App) WriteDrills(ctx context.Context, w io.Writer) error {
	if Hidden(ctx) {
		return hiddenf("own drills are written out as you wrote them, to be read again. Show the names first")
	}
	own, err := a.store.OwnDrills(ctx)
	if err != nil {
		return err
	}
	file := drillsFile{Format: drillsFormat, Version: 1, Drills: []ownInFile{}}
	for _, o := range own {
		file.Drills = append(file.Drills, ownInFile{o.CopyOf, o.Retired, o.Drill})
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	if err := e.Encode(file); err != nil {
		return fmt.Errorf("write drills: %w", err)
	}
	return nil
}
