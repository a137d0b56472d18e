package store

import (
	"context"
	"database/sql"

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
