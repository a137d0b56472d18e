package store

import (
	"context"
	"database/sql"

	"underkick/internal/record"
)

// goalsWith selects goals with versions; a query narrows down which.
const goalsWith = `SELECT g.pub, w.pub, g.measure, g.created, v.seq, v.sense, v.target, v.on_date, v.notes, v.removed, v.who, v.at
	FROM goal g JOIN swimmer w ON w.id = g.swimmer_id JOIN goal_version v ON v.goal_id = g.id WHERE `

// newestGoal keeps the version that stands.
const newestGoal = ` AND v.seq = (SELECT max(seq) FROM goal_version WHERE goal_id = g.id)`

func scanGoal(scan func(...any) error) (record.Goal, error) {
	var g record.Goal
	err := scan(&g.ID, &g.SwimmerID, &g.Measure, stamp{&g.Created},
		&g.Seq, &g.Sense, &g.Target, &g.On, &g.Notes, &g.Removed, &g.By, stamp{&g.At})
	return g, err
}

// AddGoal keeps a new goal; ID, Created, Seq and At are set here.
func (s *Store) AddGoal(ctx context.Context, g record.Goal) (record.Goal, error) {
	g.ID, g.Created, g.Seq, g.Removed = newID(), s.moment(), 1, false
	g.At = g.Created
	err := s.write(ctx, "keep goal", func(tx *sql.Tx) error {
		if err := g.Validate(); err != nil {
			return err
		}
		swimmer, err := rowID(ctx, tx, "swimmer", g.SwimmerID)
		if err != nil {
			return err
		}
		var id int64
		err = tx.QueryRowContext(ctx, `INSERT INTO goal (pub, swimmer_id, measure, created) VALUES ($1, $2, $3, $4) RETURNING id`,
			g.ID, swimmer, g.Measure, timeText(g.Created)).Scan(&id)
		if err != nil {
			return err
		}
		return writeGoalVersion(ctx, tx, id, g)
	})
	return g, err
}

// ChangeGoal adds a version to a goal: sense, target, day, notes, removed and by are taken
// over, swimmer and measure stay. It returns what stands.
func (s *Store) ChangeGoal(ctx context.Context, g record.Goal) (record.Goal, error) {
	var now record.Goal
	err := s.write(ctx, "change goal", func(tx *sql.Tx) error {
		before, err := readGoal(ctx, tx, g.ID)
		if err != nil {
			return err
		}
		now = before
		now.Sense, now.Target, now.On, now.Notes, now.Removed, now.By = g.Sense, g.Target, g.On, g.Notes, g.Removed, g.By
		now.Seq, now.At = before.Seq+1, s.moment()
		if err := now.Validate(); err != nil {
			return err
		}
		id, err := rowID(ctx, tx, "goal", g.ID)
		if err != nil {
			return err
		}
		return writeGoalVersion(ctx, tx, id, now)
	})
	return now, err
}

func writeGoalVersion(ctx context.Context, tx *sql.Tx, goal int64, g record.Goal) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO goal_version (goal_id, seq, sense, target, on_date, notes, removed, who, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		goal, g.Seq, g.Sense, g.Target, g.On, g.Notes, g.Removed, g.By, timeText(g.At))
	return err
}

// Goal returns a goal as it stands, removed or not.
func (s *Store) Goal(ctx context.Context, id string) (record.Goal, error) {
	g, err := readGoal(ctx, s.reader(ctx), id)
	return g, explain("read goal", err)
}

func readGoal(ctx context.Context, r reader, id string) (record.Goal, error) {
	return one(ctx, r, scanGoal, goalsWith+`g.pub = $1`+newestGoal, id)
}

// GoalVersions returns every version of a goal, oldest first.
func (s *Store) GoalVersions(ctx context.Context, id string) ([]record.Goal, error) {
	list, err := many(ctx, s.reader(ctx), scanGoal, goalsWith+`g.pub = $1 ORDER BY v.seq`, id)
	return list, explain("read goal", err)
}

// Goals returns the goals of a swimmer by their day, the removed among them.
func (s *Store) Goals(ctx context.Context, swimmerID string) ([]record.Goal, error) {
	list, err := many(ctx, s.reader(ctx), scanGoal, goalsWith+`w.pub = $1`+newestGoal+` ORDER BY v.on_date, g.id`, swimmerID)
	return list, explain("list goals", err)
}

// GoalsOfSquad returns the goals of a squad's swimmers that are not removed, by their day
// and by swimmer.
func (s *Store) GoalsOfSquad(ctx context.Context, squadID string) (map[string][]record.Goal, error) {
	bySwimmer := map[string][]record.Goal{}
	err := each(ctx, s.reader(ctx), func(scan func(...any) error) error {
		g, err := scanGoal(scan)
		bySwimmer[g.SwimmerID] = append(bySwimmer[g.SwimmerID], g)
		return err
	}, goalsWith+`w.squad_id = (SELECT id FROM squad WHERE pub = $1) AND v.removed = 0`+newestGoal+` ORDER BY v.on_date, g.id`, squadID)
	if err != nil {
		return nil, explain("list goals", err)
	}
	return bySwimmer, nil
}
