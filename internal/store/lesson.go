package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"

	"underkick/internal/record"
)

// AddLesson keeps a new lesson with its first version; ID, Created and the version's Seq, Act
// and At are set here.
func (s *Store) AddLesson(ctx context.Context, l record.Lesson) (record.Lesson, error) {
	l.ID, l.Created = newID(), s.moment()
	l.Seq, l.Act, l.At, l.Removed, l.Undos, l.Redos = 1, record.KeepLesson, l.Created, false, 0, 0
	err := s.write(ctx, "keep lesson", func(tx *sql.Tx) error {
		if err := l.Validate(); err != nil {
			return err
		}
		squad, err := rowID(ctx, tx, "squad", l.SquadID)
		if err != nil {
			return err
		}
		var id int64
		err = tx.QueryRowContext(ctx, `INSERT INTO lesson (pub, squad_id, created) VALUES ($1, $2, $3) RETURNING id`,
			l.ID, squad, timeText(l.Created)).Scan(&id)
		if err != nil {
			return err
		}
		return writeLessonVersion(ctx, tx, id, l.LessonVersion)
	})
	return l, err
}

// AddLessonVersion adds an act to a lesson and returns what stands then. Keep needs a body;
// undo and redo with nothing to turn back return ErrNothing and add nothing.
func (s *Store) AddLessonVersion(ctx context.Context, lessonID string, v record.LessonVersion) (record.Lesson, error) {
	var l record.Lesson
	err := s.write(ctx, "keep lesson", func(tx *sql.Tx) error {
		before, err := readLesson(ctx, tx, lessonID)
		if err != nil {
			return err
		}
		switch {
		case v.Act == record.KeepLesson:
			if err := v.Validate(); err != nil {
				return err
			}
		case v.Act == record.UndoLesson && before.Undos == 0, v.Act == record.RedoLesson && before.Redos == 0, v.Act == record.RemoveLesson && before.Removed:
			return because(ErrNothing, nil, "there is nothing to %s", v.Act)
		}
		id, err := rowID(ctx, tx, "lesson", lessonID)
		if err != nil {
			return err
		}
		v.Seq, v.At = before.Seq+1, s.moment()
		if err := writeLessonVersion(ctx, tx, id, v); err != nil {
			return err
		}
		l, err = readLesson(ctx, tx, lessonID)
		return err
	})
	return l, err
}

func writeLessonVersion(ctx context.Context, tx *sql.Tx, lesson int64, v record.LessonVersion) error {
	body := []byte("{}")
	if v.Act == record.KeepLesson {
		var err error
		if body, err = json.Marshal(v.LessonBody); err != nil {
			return err
		}
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO lesson_version (lesson_id, seq, act, body, at) VALUES ($1, $2, $3, $4, $5)`,
		lesson, v.Seq, v.Act, string(body), timeText(v.At))
	return err
}

// Lesson returns a lesson as it stands, removed or not.
func (s *Store) Lesson(ctx context.Context, id string) (record.Lesson, error) {
	l, err := readLesson(ctx, s.reader(ctx), id)
	return l, explain("read lesson", err)
}

func readLesson(ctx context.Context, r reader, id string) (record.Lesson, error) {
	list, err := readLessons(ctx, r, `l.pub = $1`, id)
	if err == nil && len(list) == 0 {
		err = fmt.Errorf("lesson %q: %w", id, ErrNotFound)
	}
	if err != nil {
		return record.Lesson{}, err
	}
	return list[0], nil
}

// Lessons returns all lessons of a squad in order of keeping, the removed among them.
func (s *Store) Lessons(ctx context.Context, squadID string) ([]record.Lesson, error) {
	list, err := readLessons(ctx, s.reader(ctx), `q.pub = $1`, squadID)
	return list, explain("list lessons", err)
}

func readLessons(ctx context.Context, r reader, where string, args ...any) ([]record.Lesson, error) {
	var list []record.Lesson
	var history []record.LessonVersion
	settle := func() {
		if n := len(list); n > 0 {
			l := &list[n-1]
			l.LessonVersion, l.Undos, l.Redos = record.ReplayLesson(history)
		}
	}
	err := each(ctx, r, func(scan func(...any) error) error {
		var l record.Lesson
		var v record.LessonVersion
		var body string
		if err := scan(&l.ID, &l.SquadID, stamp{&l.Created}, &v.Seq, &v.Act, &body, stamp{&v.At}); err != nil {
			return err
		}
		if err := json.Unmarshal([]byte(body), &v.LessonBody); err != nil {
			return fmt.Errorf("version %d of lesson %s: %w", v.Seq, l.ID, err)
		}
		if n := len(list); n == 0 || list[n-1].ID != l.ID {
			settle()
			list, history = append(list, l), nil
		}
		history = append(history, v)
		return nil
	}, `SELECT l.pub, q.pub, l.created, v.seq, v.act, v.body, v.at
		FROM lesson l JOIN squad q ON q.id = l.squad_id JOIN lesson_version v ON v.lesson_id = l.id
		WHERE `+where+` ORDER BY l.id, v.seq`, args...)
	settle()
	return list, err
}

// clearLessons takes a swimmer who is about to be deleted out of every lesson: out of the one
// version that stands then, and with the lesson's history. Lessons in which nothing of the
// swimmer ever stood stay as they are. Those of other squads are looked through too: the
// swimmer may have been in them.
func clearLessons(ctx context.Context, tx *sql.Tx, swimmer int64) error {
	name, err := one(ctx, tx, scanText, `SELECT name FROM swimmer WHERE id = $1`, swimmer)
	if err != nil {
		return err
	}
	runs, err := many(ctx, tx, scanText, `SELECT pub FROM run WHERE swimmer_id = $1`, swimmer)
	if err != nil {
		return err
	}
	lessons, err := readLessons(ctx, tx, `true`)
	if err != nil {
		return err
	}
	for _, l := range lessons {
		touched, err := lessonHolds(ctx, tx, l.ID, runs, name)
		if err != nil {
			return err
		}
		if !touched {
			continue
		}
		id, err := rowID(ctx, tx, "lesson", l.ID)
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, `DELETE FROM lesson_version WHERE lesson_id = $1`, id); err != nil {
			return err
		}
		v := record.LessonVersion{Seq: 1, Act: record.KeepLesson, At: l.At, LessonBody: l.LessonBody.Without(runs, name)}
		if err := writeLessonVersion(ctx, tx, id, v); err != nil {
			return err
		}
		if l.Removed {
			if err := writeLessonVersion(ctx, tx, id, record.LessonVersion{Seq: 2, Act: record.RemoveLesson, At: l.At}); err != nil {
				return err
			}
		}
	}
	return nil
}

// lessonHolds reports whether any version of a lesson shows one of the runs or says the name.
func lessonHolds(ctx context.Context, tx *sql.Tx, lessonID string, runs []string, name string) (bool, error) {
	bodies, err := many(ctx, tx, scanText, `SELECT v.body FROM lesson_version v JOIN lesson l ON l.id = v.lesson_id
		WHERE l.pub = $1 AND v.act = 'keep'`, lessonID)
	if err != nil {
		return false, err
	}
	for _, text := range bodies {
		var b record.LessonBody
		if err := json.Unmarshal([]byte(text), &b); err != nil {
			return false, err
		}
		if b.Mentions(name) || slices.ContainsFunc(b.RunIDs(), func(id string) bool { return slices.Contains(runs, id) }) {
			return true, nil
		}
	}
	return false, nil
}
