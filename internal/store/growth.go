package store

import (
	"context"
	"database/sql"

	"underkick/internal/record"
)

func scanGrowth(scan func(...any) error) (record.Growth, error) {
	var g record.Growth
	err := scan(&g.SwimmerID, &g.On, &g.HeightM, &g.MassKg, stamp{&g.Created})
	return g, err
}

// KeepGrowth keeps what was measured of a swimmer on a day. A second entry of the same
// day takes the place of what it names: a height, a mass, or both.
func (s *Store) KeepGrowth(ctx context.Context, g record.Growth) error {
	return s.write(ctx, "keep height and mass", func(tx *sql.Tx) error {
		swimmer, err := rowID(ctx, tx, "swimmer", g.SwimmerID)
		if err != nil {
			return err
		}
		if err := keepGrowth(ctx, tx, swimmer, g, s); err != nil {
			return err
		}
		return newestGrowth(ctx, tx, swimmer)
	})
}

func keepGrowth(ctx context.Context, tx *sql.Tx, swimmer int64, g record.Growth, s *Store) error {
	if err := g.Validate(); err != nil {
		return err
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO growth (swimmer_id, on_date, height_m, mass_kg, created) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (swimmer_id, on_date) DO UPDATE SET
			height_m = CASE WHEN excluded.height_m > 0 THEN excluded.height_m ELSE height_m END,
			mass_kg = CASE WHEN excluded.mass_kg > 0 THEN excluded.mass_kg ELSE mass_kg END`,
		swimmer, g.On, g.HeightM, g.MassKg, timeText(s.moment()))
	return err
}

// RemoveGrowth takes the entry of a day away: one that was typed wrongly.
func (s *Store) RemoveGrowth(ctx context.Context, swimmerID string, on record.Date) error {
	return s.write(ctx, "remove height and mass", func(tx *sql.Tx) error {
		swimmer, err := rowID(ctx, tx, "swimmer", swimmerID)
		if err != nil {
			return err
		}
		if err := execOne(ctx, tx, `DELETE FROM growth WHERE swimmer_id = $1 AND on_date = $2`, swimmer, on); err != nil {
			return err
		}
		return newestGrowth(ctx, tx, swimmer)
	})
}

// newestGrowth writes the newest height and mass of the history into the swimmer's row.
func newestGrowth(ctx context.Context, tx *sql.Tx, swimmer int64) error {
	history, err := many(ctx, tx, scanGrowth, growthOf+`w.id = $1 ORDER BY g.on_date`, swimmer)
	if err != nil {
		return err
	}
	now := record.Swimmer{}.Grown(history, "")
	return execOne(ctx, tx, `UPDATE swimmer SET height_m = $1, height_on = $2, mass_kg = $3, mass_on = $4 WHERE id = $5`,
		now.HeightM, now.HeightOn, now.MassKg, now.MassOn, swimmer)
}

// takeGrowth adds to the history what a swimmer's record says and the history does not:
// a height or mass of 0 says nothing.
func takeGrowth(ctx context.Context, tx *sql.Tx, swimmer int64, w record.Swimmer, s *Store) error {
	entries := []record.Growth{{On: w.HeightOn, HeightM: w.HeightM}, {On: w.MassOn, MassKg: w.MassKg}}
	for _, g := range entries {
		if g.HeightM == 0 && g.MassKg == 0 {
			continue
		}
		g.SwimmerID = w.ID
		if err := keepGrowth(ctx, tx, swimmer, g, s); err != nil {
			return err
		}
	}
	return newestGrowth(ctx, tx, swimmer)
}

const growthOf = `SELECT w.pub, g.on_date, g.height_m, g.mass_kg, g.created FROM growth g JOIN swimmer w ON w.id = g.swimmer_id WHERE `

// Growth returns what was measured of a swimmer, oldest first; an entry whose day is not
// known stands before all.
func (s *Store) Growth(ctx context.Context, swimmerID string) ([]record.Growth, error) {
	list, err := growthOn(ctx, s.reader(ctx), swimmerID)
	return list, explain("list heights and masses", err)
}

func growthOn(ctx context.Context, r reader, swimmerID string) ([]record.Growth, error) {
	return many(ctx, r, scanGrowth, growthOf+`w.pub = $1 ORDER BY g.on_date`, swimmerID)
}
