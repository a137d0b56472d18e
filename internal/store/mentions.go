package store

import "context"

// What may say a swimmer's name though it is not the swimmer's.
const (
	SquadNotes   = "notes of a squad"
	VisitNotes   = "notes of a visit"
	SwimmerNotes = "notes of another swimmer"
	RunNotes     = "notes of a run of another swimmer"
	ConsentNotes = "notes of a consent of another swimmer"
	GivenNotes   = "practice given to another swimmer"
	GoalNotes    = "notes of a goal of another swimmer"
	PlanName     = "a plan of another swimmer"
	ClipName     = "the file name of a clip of another swimmer"
)

// Mention is a text that says a swimmer's name and is not the swimmer's.
type Mention struct {
	Of string // SquadNotes ...
	ID string // public id of what the text belongs to
}

// Mentions returns where the name of a swimmer stands in notes that do not belong to the
// swimmer: an erasure does not change what was written about others. Lessons are not among
// them; out of those the name is taken.
func (s *Store) Mentions(ctx context.Context, swimmerID string) ([]Mention, error) {
	r := s.reader(ctx)
	w, err := one(ctx, r, scanSwimmer, `SELECT `+swimmerColumns+` FROM swimmer w WHERE w.pub = $1`, swimmerID)
	if err != nil {
		return nil, explain("look for the name in notes", err)
	}
	list, err := many(ctx, r, func(scan func(...any) error) (Mention, error) {
		var m Mention
		err := scan(&m.Of, &m.ID)
		return m, err
	}, `WITH text (what, pub, words, whose) AS (
			SELECT '`+SquadNotes+`', pub, notes, 0 FROM squad
			UNION ALL SELECT '`+VisitNotes+`', pub, notes, 0 FROM visit v
				WHERE NOT EXISTS (SELECT 1 FROM clip WHERE visit_id = v.id) OR EXISTS (SELECT 1 FROM clip c WHERE c.visit_id = v.id AND (c.swimmer_id <> (SELECT id FROM swimmer WHERE pub = $2)
					OR EXISTS (SELECT 1 FROM run WHERE clip_id = c.id AND swimmer_id <> c.swimmer_id)))
			UNION ALL SELECT '`+SwimmerNotes+`', pub, notes, id FROM swimmer
			UNION ALL SELECT '`+RunNotes+`', pub, notes || ' ' || aside, swimmer_id FROM run
			UNION ALL SELECT '`+ConsentNotes+`', pub, notes, swimmer_id FROM consent
			UNION ALL SELECT '`+GivenNotes+`', pub, why, swimmer_id FROM given
			UNION ALL SELECT '`+GivenNotes+`', g.pub, v.notes, g.swimmer_id FROM given g JOIN given_version v ON v.given_id = g.id
			UNION ALL SELECT '`+GoalNotes+`', g.pub, v.notes, g.swimmer_id FROM goal g JOIN goal_version v ON v.goal_id = g.id
			UNION ALL SELECT '`+PlanName+`', p.pub, v.name, p.swimmer_id FROM plan p JOIN plan_version v ON v.plan_id = p.id
			UNION ALL SELECT '`+ClipName+`', pub, name, swimmer_id FROM clip)
		SELECT DISTINCT what, pub FROM text
		WHERE instr(lower(words), lower($1)) > 0 AND whose <> (SELECT id FROM swimmer WHERE pub = $2) ORDER BY what, pub`, w.Name, swimmerID)
	return list, explain("look for the name in notes", err)
}
