package store

import (
	"context"
	"database/sql"
	"slices"

	"underkick/internal/record"
)

const consentColumns = `k.pub, w.pub, k.given_by, k.given_as, k.on_date, k.until_date, k.filming, k.squad, k.outside, k.withdrawn, k.notes, k.created`

func scanConsent(scan func(...any) error) (record.Consent, error) {
	var c record.Consent
	var allows [3]bool // in the order of record.Purposes
	err := scan(&c.ID, &c.SwimmerID, &c.GivenBy, &c.As, &c.On, &c.Until, &allows[0], &allows[1], &allows[2], &c.Withdrawn, &c.Notes, stamp{&c.Created})
	for i, p := range record.Purposes() {
		if allows[i] {
			c.For = append(c.For, p)
		}
	}
	return c, err
}

// AddConsent keeps a new consent; ID and Created are set here, and For is put into
// the order of record.Purposes.
func (s *Store) AddConsent(ctx context.Context, c record.Consent) (record.Consent, error) {
	c.ID, c.Created = newID(), s.moment()
	err := s.write(ctx, "keep consent", func(tx *sql.Tx) error {
		if err := c.Validate(); err != nil {
			return err
		}
		swimmer, err := rowID(ctx, tx, "swimmer", c.SwimmerID)
		if err != nil {
			return err
		}
		c.For = slices.DeleteFunc(record.Purposes(), func(p record.Purpose) bool { return !slices.Contains(c.For, p) })
		allows := func(p record.Purpose) bool { return slices.Contains(c.For, p) }
		_, err = tx.ExecContext(ctx, `INSERT INTO consent (pub, swimmer_id, given_by, given_as, on_date, until_date, filming, squad, outside, withdrawn, notes, created)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`,
			c.ID, swimmer, c.GivenBy, c.As, c.On, c.Until, allows(record.ForFilming), allows(record.ForSquad), allows(record.ForOutside), c.Withdrawn, c.Notes, timeText(c.Created))
		return err
	})
	return c, err
}

// Consents returns all consents of a swimmer, newest first, those withdrawn among them.
func (s *Store) Consents(ctx context.Context, swimmerID string) ([]record.Consent, error) {
	list, err := many(ctx, s.reader(ctx), scanConsent, `SELECT `+consentColumns+`
		FROM consent k JOIN swimmer w ON w.id = k.swimmer_id WHERE w.pub = $1 ORDER BY k.on_date DESC, k.id DESC`, swimmerID)
	return list, explain("list consents", err)
}

// ConsentsOfAll returns all consents of every swimmer by the swimmer's id, newest first.
func (s *Store) ConsentsOfAll(ctx context.Context) (map[string][]record.Consent, error) {
	list, err := many(ctx, s.reader(ctx), scanConsent, `SELECT `+consentColumns+`
		FROM consent k JOIN swimmer w ON w.id = k.swimmer_id ORDER BY k.on_date DESC, k.id DESC`)
	if err != nil {
		return nil, explain("list consents", err)
	}
	by := map[string][]record.Consent{}
	for _, c := range list {
		by[c.SwimmerID] = append(by[c.SwimmerID], c)
	}
	return by, nil
}

// WithdrawConsent ends a consent from a day on. One that is withdrawn stays as it is:
// ErrNothing.
func (s *Store) WithdrawConsent(ctx context.Context, id string, on record.Date) (record.Consent, error) {
	var c record.Consent
	err := s.write(ctx, "withdraw consent", func(tx *sql.Tx) error {
		var err error
		c, err = one(ctx, tx, scanConsent, `SELECT `+consentColumns+` FROM consent k JOIN swimmer w ON w.id = k.swimmer_id WHERE k.pub = $1`, id)
		if err != nil {
			return err
		}
		if c.Withdrawn != "" {
			return because(ErrNothing, nil, "the consent was withdrawn on %s already", c.Withdrawn)
		}
		if on == "" {
			return record.Faults{{Field: "withdrawn", Text: "is missing; write it as YYYY-MM-DD"}}
		}
		c.Withdrawn = on
		if err := c.Validate(); err != nil {
			return err
		}
		return execOne(ctx, tx, `UPDATE consent SET withdrawn = $1 WHERE pub = $2`, on, id)
	})
	return c, err
}
