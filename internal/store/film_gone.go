package store

import (
	"context"
	"database/sql"
	"encoding/json"

	"underkick/internal/record"
)

// EraseFilm takes the film of a clip from the disk, unless another clip needs it, and
// keeps the clip's records: runs, marks, results. The name its file had goes too. It
// returns whether no clip has the film any more, so that what was made of it must go.
// ErrNothing when the film is gone already.
func (s *Store) EraseFilm(ctx context.Context, clipID string) (last bool, err error) {
	err = s.removing(ctx, "erase the film of a clip", func(tx *sql.Tx) ([]string, error) {
		c, err := one(ctx, tx, scanClip, `SELECT `+clipColumns+` FROM clip c WHERE c.pub = $1`, clipID)
		if err != nil {
			return nil, err
		}
		if !c.FilmGone.IsZero() {
			return nil, because(ErrNothing, nil, "the film was erased on %s already", record.DateOf(c.FilmGone))
		}
		err = execOne(ctx, tx, `UPDATE clip SET film_gone = $1, name = 'clip ' || substr(hash, 1, 8) WHERE pub = $2`, timeText(s.moment()), clipID)
		if err != nil {
			return nil, err
		}
		var others int
		err = tx.QueryRowContext(ctx, `SELECT count(*) FROM clip WHERE file = $1 AND film_gone = ''`, c.File).Scan(&others)
		last = others == 0
		return []string{c.File}, err
	})
	return last, err
}

// FilmKept is a clip whose film is on the disk.
type FilmKept struct {
	SquadID, SwimmerID string // of the swimmer it was brought in for
	Clip               record.Clip
	On                 record.Date // day of the visit
	Pool               string
}

// FilmsAsked says which films are listed: those of visits up to a day, and all of some
// swimmers.
type FilmsAsked struct {
	SquadID  string
	Until    record.Date // "" = no day
	Swimmers []string
}

// FilmsKept returns clips of a squad whose film is on the disk, oldest visit first.
func (s *Store) FilmsKept(ctx context.Context, ask FilmsAsked) ([]FilmKept, error) {
	swimmers, err := json.Marshal(ask.Swimmers)
	if err != nil {
		return nil, explain("list films", err)
	}
	list, err := many(ctx, s.reader(ctx), func(scan func(...any) error) (FilmKept, error) {
		var f FilmKept
		err := scan(append([]any{&f.SquadID, &f.SwimmerID, &f.On, &f.Pool}, clipTargets(&f.Clip)...)...)
		return f, err
	}, `SELECT q.pub, w.pub, v.on_date, v.pool, `+clipColumns+`
		FROM clip c JOIN visit v ON v.id = c.visit_id JOIN swimmer w ON w.id = c.swimmer_id JOIN squad q ON q.id = w.squad_id
		WHERE q.pub = $1 AND c.film_gone = '' AND (v.on_date <= $2 OR w.pub IN (SELECT value FROM json_each($3)))
		ORDER BY v.on_date, c.id`, ask.SquadID, ask.Until, string(swimmers))
	return list, explain("list films", err)
}
