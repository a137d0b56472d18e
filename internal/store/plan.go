package store

import (
	"context"
	"database/sql"
	"encoding/json"

	"underkick/internal/record"
)

// AddPlan keeps a new plan with its first version; ID, Created and the version's Seq, Act and
// At are set here.
func (s *Store) AddPlan(ctx context.Context, p record.Plan) (record.Plan, error) {
	p.ID, p.Created = newID(), s.moment()
	p.Seq, p.Act, p.At, p.Removed, p.Undos, p.Redos = 1, record.KeepPlan, p.Created, false, 0, 0
	err := s.write(ctx, "keep plan", func(tx *sql.Tx) error {
		if err := p.Validate(); err != nil {
			return err
		}
		swimmer, err := rowID(ctx, tx, "swimmer", p.SwimmerID)
		if err != nil {
			return err
		}
		var id int64
		err = tx.QueryRowContext(ctx, `INSERT INTO plan (pub, swimmer_id, kind, created) VALUES ($1, $2, $3, $4) RETURNING id`,
			p.ID, swimmer, p.Kind, timeText(p.Created)).Scan(&id)
		if err != nil {
			return err
		}
		return writePlanVersion(ctx, tx, id, p.PlanVersion)
	})
	return p, err
}

// AddPlanVersion adds an act to a plan and returns what stands then. Keep needs name and body;
// undo and redo with nothing to turn back return ErrNothing and add nothing.
func (s *Store) AddPlanVersion(ctx context.Context, planID string, v record.PlanVersion) (record.Plan, error) {
	var p record.Plan
	err := s.write(ctx, "keep plan", func(tx *sql.Tx) error {
		before, err := readPlan(ctx, tx, planID)
		if err != nil {
			return err
		}
		switch {
		case v.Act == record.KeepPlan:
			if err := v.Validate(); err != nil {
				return err
			}
		case v.Act == record.UndoPlan && before.Undos == 0, v.Act == record.RedoPlan && before.Redos == 0, v.Act == record.RemovePlan && before.Removed:
			return because(ErrNothing, nil, "there is nothing to %s", v.Act)
		default:
			v.Name, v.Body = "", nil
		}
		id, err := rowID(ctx, tx, "plan", planID)
		if err != nil {
			return err
		}
		err = tx.QueryRowContext(ctx, `SELECT max(seq) + 1 FROM plan_version WHERE plan_id = $1`, id).Scan(&v.Seq)
		if err != nil {
			return err
		}
		v.At = s.moment()
		if err := writePlanVersion(ctx, tx, id, v); err != nil {
			return err
		}
		p, err = readPlan(ctx, tx, planID)
		return err
	})
	return p, err
}

func writePlanVersion(ctx context.Context, tx *sql.Tx, plan int64, v record.PlanVersion) error {
	body := string(v.Body)
	if body == "" {
		body = "{}"
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO plan_version (plan_id, seq, act, name, body, who, at) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		plan, v.Seq, v.Act, v.Name, body, v.By, timeText(v.At))
	return err
}

// Plan returns a plan as it stands, removed or not.
func (s *Store) Plan(ctx context.Context, id string) (record.Plan, error) {
	p, err := readPlan(ctx, s.reader(ctx), id)
	return p, explain("read plan", err)
}

func readPlan(ctx context.Context, r reader, id string) (record.Plan, error) {
	list, err := readPlans(ctx, r, `p.pub = $1`, id)
	if err == nil && len(list) == 0 {
		err = ErrNotFound
	}
	if err != nil {
		return record.Plan{}, err
	}
	return list[0], nil
}

// Plans returns all plans of a swimmer in order of keeping, the removed among them.
func (s *Store) Plans(ctx context.Context, swimmerID string) ([]record.Plan, error) {
	list, err := readPlans(ctx, s.reader(ctx), `w.pub = $1`, swimmerID)
	return list, explain("list plans", err)
}

// PlansOfSquad returns all plans of a squad's swimmers in order of keeping, the removed among
// them.
func (s *Store) PlansOfSquad(ctx context.Context, squadID string) ([]record.Plan, error) {
	list, err := readPlans(ctx, s.reader(ctx), `w.squad_id = (SELECT id FROM squad WHERE pub = $1)`, squadID)
	return list, explain("list plans", err)
}

func readPlans(ctx context.Context, r reader, where string, arg any) ([]record.Plan, error) {
	var list []record.Plan
	var history []record.PlanVersion
	settle := func() {
		if n := len(list); n > 0 {
			p := &list[n-1]
			p.PlanVersion, p.Undos, p.Redos = record.ReplayPlan(history)
		}
	}
	err := each(ctx, r, func(scan func(...any) error) error {
		var p record.Plan
		var v record.PlanVersion
		var body string
		if err := scan(&p.ID, &p.SwimmerID, &p.Kind, stamp{&p.Created}, &v.Seq, &v.Act, &v.Name, &body, &v.By, stamp{&v.At}); err != nil {
			return err
		}
		v.Body = []byte(body)
		if n := len(list); n == 0 || list[n-1].ID != p.ID {
			settle()
			list, history = append(list, p), nil
		}
		history = append(history, v)
		return nil
	}, `SELECT p.pub, w.pub, p.kind, p.created, v.seq, v.act, v.name, v.body, v.who, v.at
		FROM plan p JOIN swimmer w ON w.id = p.swimmer_id JOIN plan_version v ON v.plan_id = p.id
		WHERE `+where+` ORDER BY p.id, v.seq`, arg)
	settle()
	return list, err
}

// LatestEstimate returns the body of the newest estimate of a run by a method, whatever its inputs
// were; ErrNotFound when there is none.
func (s *Store) LatestEstimate(ctx context.Context, runID, method string) (json.RawMessage, error) {
	text, err := one(ctx, s.reader(ctx), func(scan func(...any) error) (string, error) {
		var text string
		err := scan(&text)
		return text, err
	}, `SELECT e.body FROM estimate e JOIN run r ON r.id = e.run_id
		WHERE r.pub = $1 AND e.method = $2 ORDER BY e.created DESC, e.id DESC LIMIT 1`, runID, method)
	return json.RawMessage(text), explain("read estimate", err)
}
