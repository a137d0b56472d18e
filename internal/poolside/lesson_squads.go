package poolside

import (
	"slices"

	"underkick/internal/record"
)

// For returns the runs that may come onto a lesson today: of its own squad those whose
// swimmer allows what the audience asks for, of other squads those whose swimmer may be
// shown outside. The own squad comes first; a squad without any such run is left out.
func (c LessonChoices) For(l record.Lesson) []LessonChoiceSquad {
	var out []LessonChoiceSquad
	for _, q := range c.Squads {
		own := q.ID == l.SquadID
		q.Runs = slices.DeleteFunc(slices.Clone(q.Runs), func(r LessonChoice) bool {
			if own && l.Audience == record.InSquad {
				return !r.Squad
			}
			return !r.Outside
		})
		switch {
		case len(q.Runs) == 0:
		case own:
			out = slices.Insert(out, 0, q)
		default:
			out = append(out, q)
		}
	}
	return out
}
