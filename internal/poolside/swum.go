package poolside

import (
	"context"
	"slices"

	"underkick/internal/limit"
	"underkick/internal/record"
)

// swum is all that trends and retests of a swimmer stand on.
type swum struct {
	swimmer record.Swimmer
	own     []limit.Run            // measured runs, oldest first
	days    map[string]record.Date // of the visits, by id
	records map[string]record.Run  // of the runs, by id
	words   map[string]string      // of the runs' findings, by id
	growth  []record.Growth
	given   []record.Given
	goals   []record.Goal
	scatter limit.Scatters // of the squad
}

func (a *App) swum(ctx context.Context, swimmerID string) (swum, error) {
	s := swum{days: map[string]record.Date{}, records: map[string]record.Run{}, words: map[string]string{}}
	var err error
	if s.swimmer, err = a.store.Swimmer(ctx, swimmerID); err != nil {
		return s, err
	}
	briefs, own, err := a.measuredRuns(ctx, swimmerID)
	if err != nil {
		return s, err
	}
	s.own = own
	for _, b := range briefs {
		s.days[b.Visit.ID], s.records[b.Run.ID], s.words[b.Run.ID] = b.Visit.On, b.Run, b.Word
	}
	if s.growth, err = a.store.Growth(ctx, swimmerID); err != nil {
		return s, err
	}
	if s.given, err = a.store.Given(ctx, swimmerID); err != nil {
		return s, err
	}
	if s.goals, err = a.store.Goals(ctx, swimmerID); err != nil {
		return s, err
	}
	s.scatter, err = a.scatter(ctx, s.swimmer.SquadID)
	return s, err
}

// heightOn is the standing height measured nearest to a day, m, 0 = not known.
func (s swum) heightOn(day record.Date) float64 { return s.swimmer.Grown(s.growth, day).HeightM }

// growing reports whether body heights are shown beside: the swimmer may be under
// age on that day, or has grown.
func (s swum) growing(from, to record.Date) bool {
	const noticed = 0.01 // m, what one measuring of height may miss
	change := s.heightOn(to) - s.heightOn(from)
	return s.swimmer.BirthYear != 0 && record.Minor(s.swimmer.BirthYear, to) || change > noticed || change < -noticed
}

// between returns what was practised between two days, oldest first.
func (s swum) between(from, to record.Date) []record.Given {
	var list []record.Given
	for _, g := range slices.Backward(s.given) {
		if !g.Removed && g.From < to && (g.Ended == "" || g.Ended > from) {
			list = append(list, g)
		}
	}
	return list
}

// qualities are what practices serve, each once.
func qualities(given []record.Given) []string {
	var list []string
	for _, g := range given {
		if q := string(g.Drill.Serves); !slices.Contains(list, q) {
			list = append(list, q)
		}
	}
	return list
}

// treated are the measures of what was practised between two days, each once.
func (s swum) treated(from, to record.Date) []string {
	var ids []string
	for _, q := range qualities(s.between(from, to)) {
		if id := limit.QualityMeasure(q); id != "" {
			ids = append(ids, id)
		}
	}
	return ids
}
