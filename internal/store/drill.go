package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"strings"

	"underkick/internal/record"
)

const drillColumns = `d.pub, d.copy_of, d.created, v.seq, v.body, v.retired, v.who, v.at`

func scanDrill(scan func(...any) error) (record.OwnDrill, error) {
	var o record.OwnDrill
	var pub, body string
	if err := scan(&pub, &o.CopyOf, stamp{&o.Created}, &o.Seq, &body, &o.Retired, &o.By, stamp{&o.At}); err != nil {
		return o, err
	}
	err := json.Unmarshal([]byte(body), &o.Drill)
	o.ID = record.OwnPrefix + pub
	return o, err
}

// AddDrill keeps a drill of the coach's own; its ID, Created, Seq and At are set
// here.
func (s *Store) AddDrill(ctx context.Context, o record.OwnDrill) (record.OwnDrill, error) {
	pub := newID()
	o.ID, o.Created, o.Seq, o.Retired = record.OwnPrefix+pub, s.moment(), 1, false
	o.At = o.Created
	err := s.write(ctx, "keep drill", func(tx *sql.Tx) error {
		if err := o.Validate(); err != nil {
			return err
		}
		var id int64
		err := tx.QueryRowContext(ctx, `INSERT INTO drill (pub, copy_of, created) VALUES ($1, $2, $3) RETURNING id`,
			pub, o.CopyOf, timeText(o.Created)).Scan(&id)
		if err != nil {
			return err
		}
		return writeDrillVersion(ctx, tx, id, o)
	})
	return o, err
}

// ChangeDrill adds a version to an own drill: its text, whether it is retired, and
// by whom. Retiring keeps the text as it stood. It returns what stands.
func (s *Store) ChangeDrill(ctx context.Context, o record.OwnDrill) (record.OwnDrill, error) {
	err := s.write(ctx, "keep drill", func(tx *sql.Tx) error {
		before, err := readDrill(ctx, tx, o.ID)
		if err != nil {
			return err
		}
		o.CopyOf, o.Created, o.Seq, o.At = before.CopyOf, before.Created, before.Seq+1, s.moment()
		if o.Retired && !before.Retired {
			o.Drill = before.Drill // what was kept by older rules can always be retired
		} else if err := o.Validate(); err != nil {
			return err
		}
		id, err := rowID(ctx, tx, "drill", drillPub(o.ID))
		if err != nil {
			return err
		}
		return writeDrillVersion(ctx, tx, id, o)
	})
	return o, err
}

func writeDrillVersion(ctx context.Context, tx *sql.Tx, drill int64, o record.OwnDrill) error {
	body, err := json.Marshal(o.Drill)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO drill_version (drill_id, seq, body, retired, who, at) VALUES ($1, $2, $3, $4, $5, $6)`,
		drill, o.Seq, string(body), o.Retired, o.By, timeText(o.At))
	return err
}

// drillPub is the public id of an own drill's row; "" for a drill that is none.
func drillPub(id string) string {
	pub, own := strings.CutPrefix(id, record.OwnPrefix)
	if !own {
		return ""
	}
	return pub
}

// OwnDrill returns an own drill as it stands, retired or not.
func (s *Store) OwnDrill(ctx context.Context, id string) (record.OwnDrill, error) {
	o, err := readDrill(ctx, s.reader(ctx), id)
	return o, explain("read drill", err)
}

func readDrill(ctx context.Context, r reader, id string) (record.OwnDrill, error) {
	return one(ctx, r, scanDrill, `SELECT `+drillColumns+` FROM drill d JOIN drill_version v ON v.drill_id = d.id
		WHERE d.pub = $1 ORDER BY v.seq DESC LIMIT 1`, drillPub(id))
}

// DrillVersions returns every version of an own drill, oldest first.
func (s *Store) DrillVersions(ctx context.Context, id string) ([]record.OwnDrill, error) {
	list, err := many(ctx, s.reader(ctx), scanDrill, `SELECT `+drillColumns+` FROM drill d JOIN drill_version v ON v.drill_id = d.id
		WHERE d.pub = $1 ORDER BY v.seq`, drillPub(id))
	return list, explain("read drill", err)
}

// OwnDrills returns all own drills as they stand, in order of keeping, the retired
// among them.
func (s *Store) OwnDrills(ctx context.Context) ([]record.OwnDrill, error) {
	list, err := many(ctx, s.reader(ctx), scanDrill, `SELECT `+drillColumns+` FROM drill d JOIN drill_version v ON v.drill_id = d.id
		WHERE v.seq = (SELECT max(seq) FROM drill_version WHERE drill_id = d.id) ORDER BY d.id`)
	return list, explain("list drills", err)
}
