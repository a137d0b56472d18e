package storetest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
)

// Life is a swimmer with something in every table that holds records of swimmers.
type Life struct {
	Squad   record.Squad
	Swimmer record.Swimmer
	Visits  []record.Visit
	Clips   []record.Clip
	Runs    []record.Run
	// Words are texts that stand in this swimmer's records alone: names, notes, ids, hashes,
	// bytes of the films.
	Words []string
}

// Live gives a swimmer a life in a squad: two visits with a clip and two runs each, marks
// with history, a frame marked again, runs marked alike, results old and new, estimates, a
// reference, plans, consent, growth, practice, a lesson and work done in the background.
// Every text begins with tag, which must be a word that stands nowhere else.
func Live(t *testing.T, s *store.Store, squad record.Squad, tag string) Life {
	t.Helper()
	ctx, l := t.Context(), Life{Squad: squad, Words: []string{tag}}
	l.Swimmer = must(s.AddSwimmer(ctx, record.Swimmer{
		SquadID: squad.ID, Name: tag + " Holm", Pseudonym: tag + "shown", Sex: record.Female, BirthYear: 2011,
		HeightM: 1.63, HeightOn: "2026-03-01", MassKg: 52.5, MassOn: "2026-03-02", Level: record.Regional, Notes: tag + " notes",
	}))(t)
	l.Words = append(l.Words, l.Swimmer.ID)
	for i, on := range []record.Date{"2026-03-09", "2026-05-09"} {
		l.film(t, s, i, on, tag)
	}
	l.mark(t, s, tag)
	l.measure(t, s, tag)
	l.plan(t, s, tag)
	for range 12 { // what is overwritten leaves its bytes in the file
		w := l.Swimmer
		w.Notes = tag + " changed " + strings.Repeat("again ", 40)
		ok(t, s.UpdateSwimmer(ctx, w))
	}
	return l
}

func (l *Life) film(t *testing.T, s *store.Store, i int, on record.Date, tag string) {
	ctx := t.Context()
	v := must(s.AddVisit(ctx, record.Visit{SquadID: l.Squad.ID, On: on, Pool: tag + " Baths", Notes: tag + " lane"}))(t)
	film := strings.Repeat(fmt.Sprintf("%s film %d ", tag, i), 400)
	c := must(s.ImportClip(ctx, strings.NewReader(film), fmt.Sprintf("%s %d.mp4", tag, i), record.Clip{VisitID: v.ID, SwimmerID: l.Swimmer.ID, Facts: Facts()}))(t)
	for k := range 2 {
		r := must(s.AddRun(ctx, record.Run{
			ClipID: c.ID, SwimmerID: l.Swimmer.ID, FromFrame: 60 * k, ToFrame: 60*k + 50, Effort: record.Race, Equipment: tag + " fins", Notes: tag + " run",
			Scale: record.Scale{Kind: record.KnownLength, LengthM: 5, PointsPx: [2][2]float64{{10.5, 20}, {900, 25}}},
		}))(t)
		l.Runs, l.Words = append(l.Runs, r), append(l.Words, r.ID)
	}
	l.Visits, l.Clips, l.Words = append(l.Visits, v), append(l.Clips, c), append(l.Words, v.ID, c.ID, c.Hash)
}

func (l *Life) mark(t *testing.T, s *store.Store, tag string) {
	ctx := t.Context()
	for _, r := range l.Runs {
		for f := range 8 {
			at := r.FromFrame + 5*f
			must(s.AddStep(ctx, r.ID, record.Set(record.PlaceMark, tag+" marker", Mark(at, body.Toe, 300, float64(f)), Mark(at, body.Ankle, 280, float64(f)))))(t)
		}
		must(s.Undo(ctx, r.ID, tag+" marker"))(t)
	}
	r := l.Runs[0]
	again := must(s.AddRemark(ctx, record.Remark{RunID: r.ID, Frame: r.FromFrame, By: tag + " marker"}))(t)
	must(s.AddRemarkStep(ctx, again.ID, record.Set(record.PlaceMark, "", body.Mark{Frame: r.FromFrame, Landmark: body.Toe, X: 301, Y: 1})))(t)
	must(s.AddRemarkAct(ctx, again.ID, record.FinishRemark))(t)
	pair := must(s.AddPair(ctx, record.Pair{RunIDs: [2]string{l.Runs[0].ID, l.Runs[2].ID}, By: tag + " marker"}))(t)
	must(s.AddPairStep(ctx, pair.ID, 1, record.Set(record.PlaceMark, tag+" marker", Mark(l.Runs[2].FromFrame+1, body.Toe, 300, 2))))(t)
	l.Words = append(l.Words, again.ID, pair.ID)
}

func (l *Life) measure(t *testing.T, s *store.Store, tag string) {
	ctx := t.Context()
	big := must(json.Marshal(map[string]string{"text": strings.Repeat(tag+" body ", 800)}))(t) // spills over pages
	for _, r := range l.Runs {
		for i, hash := range []string{"first", "second"} {
			e := must(s.AddResult(ctx, record.Result{
				RunID: r.ID, Method: "kick 1", InputHash: hash, Word: "sweep", Sentence: tag + " stops short.", Body: big,
				Values: []record.Value{{Measure: "speed", Unit: "m/s", Value: 1.25 + 0.1*float64(i), SD: 0.05, Low: 1.2, High: 1.3, N: 5}},
			}))(t)
			l.Words = append(l.Words, e.ID)
		}
		ok(t, s.KeepEstimate(ctx, record.Estimate{RunID: r.ID, Method: "worth 1", InputHash: "first", Body: big}))
		ok(t, s.KeepSeason(ctx, l.Swimmer.ID, "kick 1", big, []byte(`{}`)))
		j := must(s.AddJob(ctx, record.Job{Kind: "worth", Subject: r.ID, Args: must(json.Marshal(map[string]string{"run": r.ID}))(t)}))(t)
		ok(t, s.EndJob(ctx, j.ID, record.Done, must(json.Marshal(map[string]string{"run": r.ID}))(t), ""))
	}
	ok(t, s.SetReference(ctx, l.Runs[0].ID, l.Runs[2].ID))
	both := must(json.Marshal(map[string][]string{"runs": {l.Runs[0].ID, l.Runs[2].ID}}))(t)
	j := must(s.AddJob(ctx, record.Job{Kind: "compare", Args: both}))(t) // about no one thing
	ok(t, s.EndJob(ctx, j.ID, record.Failed, nil, "the clip "+l.Clips[0].Name+" is gone"))
	l.Words = append(l.Words, j.ID)
}

func (l *Life) plan(t *testing.T, s *store.Store, tag string) {
	ctx := t.Context()
	p := must(s.AddPlan(ctx, record.Plan{SwimmerID: l.Swimmer.ID, Kind: record.WallPlan, PlanVersion: record.PlanVersion{Name: tag + " 100 free", Body: []byte(`{"x":1}`), By: tag}}))(t)
	c := Consent(t, s, l.Swimmer.ID)
	other := must(s.AddConsent(ctx, record.Consent{SwimmerID: l.Swimmer.ID, GivenBy: tag + " parent", As: record.ByParent, On: "2026-03-01", For: []record.Purpose{record.ForOutside}, Notes: tag + " on paper"}))(t)
	g := Give(t, s, l.Swimmer.ID, l.Runs[0].ID)
	g.Notes = tag + " lane 2"
	must(s.ChangeGiven(ctx, g))(t)
	goal := Goal(t, s, l.Swimmer.ID)
	goal.Notes = tag + " by the spring"
	must(s.ChangeGoal(ctx, goal))(t)
	sheet := Lesson(l.Squad.ID, l.Runs[0].ID, l.Runs[3].ID)
	sheet.Blocks[0].Text = "How " + l.Swimmer.Name + " kicks"
	kept := must(s.AddLesson(ctx, sheet))(t)
	sheet.Title = "Late"
	must(s.AddLessonVersion(ctx, kept.ID, record.LessonVersion{Act: record.KeepLesson, LessonBody: sheet.LessonBody}))(t)
	l.Words = append(l.Words, p.ID, c.ID, other.ID, g.ID, goal.ID)
}

// Share lets another swimmer swim in the first clip of a life, and the swimmer of the life
// in a clip of the other.
func (l *Life) Share(t *testing.T, s *store.Store, other Life) {
	t.Helper()
	for _, c := range []struct{ clip, swimmer string }{{l.Clips[0].ID, other.Swimmer.ID}, {other.Clips[0].ID, l.Swimmer.ID}} {
		r := must(s.AddRun(t.Context(), record.Run{ClipID: c.clip, SwimmerID: c.swimmer, FromFrame: 55, ToFrame: 59}))(t)
		if c.swimmer == l.Swimmer.ID {
			l.Runs, l.Words = append(l.Runs, r), append(l.Words, r.ID)
		}
	}
}

// Standing returns what holds of a life as JSON, to be compared before and after something
// that must not touch it.
func (l Life) Standing(t *testing.T, s *store.Store) []byte {
	t.Helper()
	ctx := t.Context()
	all := map[string]any{
		"swimmer": must(s.Swimmer(ctx, l.Swimmer.ID))(t), "plans": must(s.Plans(ctx, l.Swimmer.ID))(t),
		"consents": must(s.Consents(ctx, l.Swimmer.ID))(t), "growth": must(s.Growth(ctx, l.Swimmer.ID))(t), "given": must(s.Given(ctx, l.Swimmer.ID))(t),
		"goals":   must(s.Goals(ctx, l.Swimmer.ID))(t),
		"remarks": must(s.Remarks(ctx, l.Runs[0].ID))(t), "reference": must(s.Reference(ctx, l.Runs[0].ID))(t),
	}
	for i, r := range l.Runs {
		results := must(s.Results(ctx, r.ID))(t)
		for k := range results {
			for v := range results[k].Values {
				results[k].Values[v].SD = 0 // may be NaN, which JSON does not know
			}
		}
		all[fmt.Sprint("run ", i)] = []any{must(s.Run(ctx, r.ID))(t), must(s.Steps(ctx, r.ID))(t), results}
	}
	for _, c := range l.Clips {
		var film bytes.Buffer
		ok(t, s.CopyFilm(ctx, c, &film))
		all["clip "+c.ID] = []any{must(s.Clip(ctx, c.ID))(t), film.String()}
	}
	return must(json.Marshal(all))(t)
}
