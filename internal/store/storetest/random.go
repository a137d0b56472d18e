package storetest

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
)

// RandomLife gives a swimmer of a squad a life of random extent: from nothing but a name to
// several visits with clips, runs, marks and their history, frames marked again, runs marked
// alike, results, estimates, plans, consents, practice, goals, lessons and work. Every text
// that somebody could have typed, and every film, holds a word of its own that begins with
// tag; tag must stand nowhere else. Words holds the tag, and ids and hashes that go with the
// swimmer.
func RandomLife(t *testing.T, s *store.Store, squad record.Squad, rng *rand.Rand, tag string) Life {
	t.Helper()
	g := growing{t: t, s: s, rng: rng, tag: tag, l: Life{Squad: squad, Words: []string{tag}}}
	g.l.Swimmer = must(s.AddSwimmer(t.Context(), record.Swimmer{
		SquadID: squad.ID, Name: g.word() + " " + g.word(), Pseudonym: g.maybe(), Sex: record.Female, BirthYear: 2011,
		HeightM: 1.63, HeightOn: "2026-03-01", Level: record.Regional, Notes: g.maybe(),
	}))(t)
	g.l.Words = append(g.l.Words, g.l.Swimmer.ID)
	for i := range rng.IntN(4) {
		g.visit(i)
	}
	for i := range g.l.Runs {
		g.marked(i)
		g.measured(i)
	}
	for range rng.IntN(4) { // what is overwritten leaves its bytes in the file
		w := must(s.Swimmer(t.Context(), g.l.Swimmer.ID))(t)
		w.Name, w.Notes = g.word(), g.word()+strings.Repeat(" again", rng.IntN(500))
		ok(t, s.UpdateSwimmer(t.Context(), w))
		g.l.Swimmer = w
	}
	g.apart()
	return g.l
}

type growing struct {
	t   *testing.T
	s   *store.Store
	rng *rand.Rand
	tag string
	n   int
	l   Life
}

// word is a text that stands nowhere else.
func (g *growing) word() string {
	g.n++
	return fmt.Sprintf("%s%dq", g.tag, g.n)
}

// maybe is a text, or none.
func (g *growing) maybe() string {
	if g.rng.IntN(4) == 0 {
		return ""
	}
	return g.word()
}

// body is a JSON text, sometimes one that spills over pages.
func (g *growing) body() json.RawMessage {
	text := g.word() + strings.Repeat(" more of "+g.tag, g.rng.IntN(600))
	return must(json.Marshal(map[string]string{"text": text}))(g.t)
}

func (g *growing) visit(i int) {
	ctx := g.t.Context()
	v := must(g.s.AddVisit(ctx, record.Visit{SquadID: g.l.Squad.ID, On: record.Date(fmt.Sprintf("2026-0%d-09", 3+i)), Pool: g.maybe(), Notes: g.maybe()}))(g.t)
	g.l.Visits, g.l.Words = append(g.l.Visits, v), append(g.l.Words, v.ID)
	for range 1 + g.rng.IntN(3) {
		facts := Facts()
		facts.Codec, facts.Warnings = g.word(), []record.ClipWarning{{Code: "slow_motion", Text: g.word()}}
		film := strings.NewReader(strings.Repeat(g.word()+" ", 1+g.rng.IntN(2000)))
		c := must(g.s.ImportClip(ctx, film, g.word()+".mp4", record.Clip{VisitID: v.ID, SwimmerID: g.l.Swimmer.ID, Facts: facts}))(g.t)
		g.l.Clips, g.l.Words = append(g.l.Clips, c), append(g.l.Words, c.ID, c.Hash)
		for k := range g.rng.IntN(4) {
			r := must(g.s.AddRun(ctx, record.Run{
				ClipID: c.ID, SwimmerID: g.l.Swimmer.ID, FromFrame: 25 * k, ToFrame: 25*k + 20, Effort: record.Race, Equipment: g.maybe(), Notes: g.maybe(), MarkedBy: g.maybe(),
				Scale: record.Scale{Kind: record.KnownLength, LengthM: 5, PointsPx: [2][2]float64{{10.5, 20}, {900, 25}}},
			}))(g.t)
			g.l.Runs, g.l.Words = append(g.l.Runs, r), append(g.l.Words, r.ID)
		}
	}
}

// marked: marks with history, a frame marked again, a pair with an earlier run.
func (g *growing) marked(i int) {
	ctx, r := g.t.Context(), g.l.Runs[i]
	who, steps := g.word(), 1+g.rng.IntN(6)
	for f := range steps {
		at := r.FromFrame + f
		must(g.s.AddStep(ctx, r.ID, record.Set(record.PlaceMark, who, Mark(at, body.Toe, 300, float64(f)), Mark(at, body.Ankle, 280, float64(f)))))(g.t)
	}
	if g.rng.IntN(2) == 0 {
		must(g.s.Undo(ctx, r.ID, g.word()))(g.t)
	}
	if g.rng.IntN(2) == 0 && steps > 1 {
		again := must(g.s.AddRemark(ctx, record.Remark{RunID: r.ID, Frame: r.FromFrame, By: who}))(g.t)
		must(g.s.AddRemarkStep(ctx, again.ID, record.Set(record.PlaceMark, "", body.Mark{Frame: r.FromFrame, Landmark: body.Toe, X: 301, Y: 1})))(g.t)
		must(g.s.AddRemarkAct(ctx, again.ID, record.FinishRemark))(g.t)
		g.l.Words = append(g.l.Words, again.ID)
	}
	if i > 0 && g.rng.IntN(2) == 0 {
		pair := must(g.s.AddPair(ctx, record.Pair{RunIDs: [2]string{g.l.Runs[i-1].ID, r.ID}, By: g.word()}))(g.t)
		g.l.Words = append(g.l.Words, pair.ID)
	}
}

// measured: results old and new, estimates, work that is over.
func (g *growing) measured(i int) {
	ctx, r := g.t.Context(), g.l.Runs[i]
	for range g.rng.IntN(3) {
		e := must(g.s.AddResult(ctx, record.Result{
			RunID: r.ID, Method: "kick 1", InputHash: g.word(), Word: g.word(), Sentence: g.word() + " stops short.", Body: g.body(),
			Values: []record.Value{{Measure: "speed", Unit: "m/s", Value: g.rng.Float64(), SD: 0.05, Low: 0, High: 2, N: 5}},
		}))(g.t)
		g.l.Words = append(g.l.Words, e.ID)
	}
	if g.rng.IntN(2) == 0 {
		ok(g.t, g.s.KeepEstimate(ctx, record.Estimate{RunID: r.ID, Method: "worth 1", InputHash: g.word(), Body: g.body()}))
		ok(g.t, g.s.KeepSeason(ctx, g.l.Swimmer.ID, "kick 1", g.body(), g.body()))
		j := must(g.s.AddJob(ctx, record.Job{Kind: "worth", Subject: r.ID, Args: must(json.Marshal(map[string]string{"run": r.ID, "say": g.word()}))(g.t)}))(g.t)
		ok(g.t, g.s.EndJob(ctx, j.ID, record.Failed, nil, g.word()))
		g.l.Words = append(g.l.Words, j.ID)
	}
	if g.rng.IntN(3) == 0 {
		ok(g.t, g.s.SetAside(ctx, r.ID, g.word()))
	}
	if i > 0 && g.rng.IntN(2) == 0 {
		ok(g.t, g.s.SetReference(ctx, r.ID, g.l.Runs[0].ID))
	}
}

// apart: what does not hang on one run.
func (g *growing) apart() {
	ctx, t, id := g.t.Context(), g.t, g.l.Swimmer.ID
	for range g.rng.IntN(3) {
		p := must(g.s.AddPlan(ctx, record.Plan{SwimmerID: id, Kind: record.WallPlan, PlanVersion: record.PlanVersion{Name: g.word(), Body: g.body(), By: g.word()}}))(t)
		c := must(g.s.AddConsent(ctx, record.Consent{SwimmerID: id, GivenBy: g.word(), As: record.ByParent, On: "2026-03-01", For: []record.Purpose{record.ForOutside}, Notes: g.maybe()}))(t)
		ok(t, g.s.KeepGrowth(ctx, record.Growth{SwimmerID: id, On: "2025-03-01", HeightM: 1.5 + 0.1*g.rng.Float64()}))
		goal := must(g.s.AddGoal(ctx, record.Goal{SwimmerID: id, Measure: "speed", Sense: record.AtLeast, Target: 1 + g.rng.Float64(), On: "2026-06-01", Notes: g.maybe(), By: g.word()}))(t)
		g.l.Words = append(g.l.Words, p.ID, c.ID, goal.ID)
	}
	for range g.rng.IntN(3) {
		d := Drill()
		d.Title, d.Why, d.How = g.word(), g.word(), []string{g.word()}
		given := must(g.s.AddGiven(ctx, record.Given{
			SwimmerID: id, DrillID: d.ID, Drill: d, Amount: d.Doses[0], From: "2026-03-10", Weeks: 5, RetestOn: "2026-04-14",
			Chosen: record.ByCoach, Why: g.word(), Notes: g.maybe(), By: g.word(),
		}))(t)
		given.Notes = g.word()
		must(g.s.ChangeGiven(ctx, given))(t)
		g.l.Words = append(g.l.Words, given.ID)
	}
	for range g.rng.IntN(3) {
		g.lesson()
	}
}

// lesson: stills of the swimmer's runs with words and captions, and texts that say the name.
func (g *growing) lesson() {
	sheet := Lesson(g.l.Squad.ID)
	sheet.Title = "About " + g.l.Swimmer.Name
	sheet.Blocks[0].Text = "How " + g.l.Swimmer.Name + " kicks"
	for _, r := range g.l.Runs {
		if len(sheet.Blocks[1].Runs) < record.MaxLessonRuns && g.rng.IntN(2) == 0 {
			sheet.Blocks[1].Runs = append(sheet.Blocks[1].Runs, record.LessonRun{RunID: r.ID, Kick: 1, Words: g.word(), Captions: map[string]string{"set": g.word()}})
		}
	}
	kept := must(g.s.AddLesson(g.t.Context(), sheet))(g.t)
	if g.rng.IntN(2) == 0 {
		sheet.Title = "Late"
		must(g.s.AddLessonVersion(g.t.Context(), kept.ID, record.LessonVersion{Act: record.KeepLesson, LessonBody: sheet.LessonBody}))(g.t)
	}
}
