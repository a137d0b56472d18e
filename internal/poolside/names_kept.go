package poolside

import (
	"context"
	"reflect"

	"underkick/internal/record"
)

// asWritten returns a record that is about to be kept with its texts as they were written: a
// form shown while names are hidden brings back, beside what was changed on it, texts in which
// pseudonyms stand. A text that is what one of before is shown as is that one.
func asWritten[T any](ctx context.Context, now, before T) T {
	d := disguiseIn(ctx)
	if d == nil {
		return now
	}
	written, unsure := map[string]string{}, map[string]bool{}
	eachText(reflect.ValueOf(&before).Elem(), func(text string) string {
		key := d.Text(text, nil)
		if have, ok := written[key]; ok && have != text {
			unsure[key] = true
		}
		written[key] = text
		return text
	})
	eachText(reflect.ValueOf(&now).Elem(), func(text string) string {
		key := d.Text(text, nil)
		if was, ok := written[key]; ok && !unsure[key] {
			return was
		}
		return text
	})
	return now
}

// eachText replaces every text in v.
func eachText(v reflect.Value, by func(string) string) {
	switch v.Kind() {
	case reflect.String:
		if text := by(v.String()); text != v.String() && v.CanSet() {
			v.SetString(text)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				eachText(v.Field(i), by)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			eachText(v.Index(i), by)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			eachText(v.Elem(), by)
		}
	}
}

// UpdateRun is store.UpdateRun; texts stay as they were written.
func (r records) UpdateRun(ctx context.Context, run record.Run) error {
	if Hidden(ctx) {
		before, err := r.Store.Run(ctx, run.ID)
		if err != nil {
			return err
		}
		run = asWritten(ctx, run, before)
	}
	return r.Store.UpdateRun(ctx, run)
}

// UpdateSquad is store.UpdateSquad; texts stay as they were written.
func (r records) UpdateSquad(ctx context.Context, q record.Squad) error {
	if Hidden(ctx) {
		before, err := r.Store.Squad(ctx, q.ID)
		if err != nil {
			return err
		}
		q = asWritten(ctx, q, before)
	}
	return r.Store.UpdateSquad(ctx, q)
}

// ChangeGiven is store.ChangeGiven; texts stay as they were written.
func (r records) ChangeGiven(ctx context.Context, g record.Given) (record.Given, error) {
	if Hidden(ctx) {
		before, err := r.Store.OneGiven(ctx, g.ID)
		if err != nil {
			return g, err
		}
		g = asWritten(ctx, g, before)
	}
	return r.Store.ChangeGiven(ctx, g)
}

// ChangeGoal is store.ChangeGoal; texts stay as they were written.
func (r records) ChangeGoal(ctx context.Context, g record.Goal) (record.Goal, error) {
	if Hidden(ctx) {
		before, err := r.Store.Goal(ctx, g.ID)
		if err != nil {
			return g, err
		}
		g = asWritten(ctx, g, before)
	}
	return r.Store.ChangeGoal(ctx, g)
}

// ChangeDrill is store.ChangeDrill; texts stay as they were written.
func (r records) ChangeDrill(ctx context.Context, o record.OwnDrill) (record.OwnDrill, error) {
	if Hidden(ctx) {
		before, err := r.Store.OwnDrill(ctx, o.ID)
		if err != nil {
			return o, err
		}
		o = asWritten(ctx, o, before)
	}
	return r.Store.ChangeDrill(ctx, o)
}

// AddLessonVersion is store.AddLessonVersion; texts stay as they were written.
func (r records) AddLessonVersion(ctx context.Context, id string, v record.LessonVersion) (record.Lesson, error) {
	if Hidden(ctx) {
		before, err := r.Store.Lesson(ctx, id)
		if err != nil {
			return record.Lesson{}, err
		}
		v.LessonBody = asWritten(ctx, v.LessonBody, before.LessonBody)
	}
	return r.Store.AddLessonVersion(ctx, id, v)
}

// AddPlanVersion is store.AddPlanVersion; the plan's name stays as it was written.
func (r records) AddPlanVersion(ctx context.Context, id string, v record.PlanVersion) (record.Plan, error) {
	if Hidden(ctx) {
		before, err := r.Store.Plan(ctx, id)
		if err != nil {
			return record.Plan{}, err
		}
		v.Name = asWritten(ctx, v.Name, before.Name)
	}
	return r.Store.AddPlanVersion(ctx, id, v)
}
