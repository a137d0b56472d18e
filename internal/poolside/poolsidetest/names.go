// Package poolsidetest writes the names of swimmers into everything that people write, and
// finds them again, for the tests of the two doors.
package poolsidetest

import (
	"bytes"
	"fmt"
	"html"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"underkick/internal/demo"
	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/wall"
)

// Named is a data folder in which names stand wherever a person can write one.
type Named struct {
	Swimmers []record.Swimmer
	Runs     []string // ids of all runs
	Clips    []string
	Plan     string // ids of what was kept under a name
	Lesson   string
	Given    string
	Drill    string
	Job      string // reads a clip whose file carries a name

	names []string // every word of them, folded
	pools []string // folded
}

// accented has what a name can have: accents, a hyphen, an apostrophe, words of pages.
var accented = record.Swimmer{Name: "Zoë Ångström-O’Dair", BirthYear: 2011, Notes: "Zoe Aangstroem-O'Dair; zoe_angstrom.mp4; ANGSTROM", Strokes: []wall.Stroke{wall.Butterfly}}

// NamesEverywhere adds a swimmer with an accented name to the demo's squad and writes the name
// of every swimmer into notes, consents, equipment, plans, a lesson, practice given, a drill,
// the squad's notes and the name of a clip.
func NamesEverywhere(t testing.TB, app *poolside.App) Named {
	t.Helper()
	w := writing{TB: t, app: app}
	before, err := app.AllSwimmers(t.Context())
	w.ok(err)
	added := accented
	added.SquadID = before[0].SquadID
	added.ID, _, err = app.AddSwimmer(t.Context(), added)
	w.ok(err)
	w.named.Swimmers = append(before, added)
	for _, s := range w.named.Swimmers {
		w.onSwimmer(s)
	}
	w.onWork(before[0])
	for _, s := range w.named.Swimmers {
		for word := range strings.FieldsFuncSeq(fold(s.Name), notLetter) {
			if len(word) >= 3 && !slices.Contains(w.named.names, word) {
				w.named.names = append(w.named.names, word)
			}
		}
	}
	return w.named
}

type writing struct {
	testing.TB
	app   *poolside.App
	named Named
}

func (w *writing) ok(err error) {
	w.Helper()
	if err != nil {
		w.Fatal(err)
	}
}

// onSwimmer writes a swimmer's name into what belongs to the swimmer.
func (w *writing) onSwimmer(s record.Swimmer) {
	w.Helper()
	ctx := w.Context()
	view, err := w.app.Swimmer(ctx, s.ID)
	w.ok(err)
	s = view.Swimmer
	s.Notes += " " + s.Name + " swims butterfly; " + strings.ToLower(strings.Fields(s.Name)[0]) + " was late."
	_, err = w.app.UpdateSwimmer(ctx, s)
	w.ok(err)
	_, err = w.app.AddConsent(ctx, record.Consent{SwimmerID: s.ID, GivenBy: "Ada " + s.Name, As: record.ByParent, For: record.Purposes(), Notes: "for " + s.Name})
	w.ok(err)
	for _, v := range view.Visits {
		if pool := fold(v.Visit.Pool); !slices.Contains(w.named.pools, pool) {
			w.named.pools = append(w.named.pools, pool)
		}
		for _, c := range v.Clips {
			w.named.Clips = append(w.named.Clips, c.Clip.ID)
			for _, r := range c.Runs {
				run := r.Run
				run.Notes = "for " + s.Name
				run.Equipment = "fins of " + strings.Fields(s.Name)[0]
				w.ok(w.app.UpdateRun(ctx, run))
				w.named.Runs = append(w.named.Runs, run.ID)
			}
		}
	}
}

// onWork writes a swimmer's name into what a coach makes.
func (w *writing) onWork(s record.Swimmer) {
	w.Helper()
	ctx, first := w.Context(), strings.Fields(s.Name)[0]
	var err error
	w.named.Plan, err = w.app.KeepWalls(ctx, s.ID, "", "Plan of "+s.Name, poolside.WallInput{
		Event: wall.Event{Pool: wall.Pool25m, Distance: 100, Stroke: wall.Freestyle}, Surface: map[wall.Stroke]float64{wall.Freestyle: 1.6}, Kick: 1.5, Tempo: 2.1,
	})
	w.ok(err)
	w.named.Lesson, err = w.app.NewLesson(ctx, poolside.LessonStart{Template: record.FacingLesson, Title: "The foot of " + first, RunIDs: w.named.Runs[:2]})
	w.ok(err)
	ours, err := w.app.OurDrill("quiet-hands")
	w.ok(err)
	drill := record.OwnDrill{Drill: ours, CopyOf: ours.ID, By: s.Name}
	drill.ID, drill.Title = "", "Quiet hands of "+first
	drill, err = w.app.KeepDrill(ctx, drill)
	w.ok(err)
	w.named.Drill = drill.ID
	given, err := w.app.Give(ctx, poolside.Giving{SwimmerID: s.ID, Drills: []string{"finish-in-front"}, Why: first + " stops early", Notes: "with " + s.Name})
	w.ok(err)
	w.named.Given = given[0].ID
	_, err = w.app.SetGoal(ctx, record.Goal{SwimmerID: s.ID, Measure: "speed", Sense: record.AtLeast, Target: 2.5, On: "2027-03-01", Notes: "for " + s.Name, By: s.Name})
	w.ok(err)
	due, err := w.app.Due(ctx)
	w.ok(err)
	squad := due.Squads[0]
	squad.Notes, squad.FilmMonths = "Watch "+first, 1
	w.ok(w.app.UpdateSquad(ctx, squad))
	squads, err := demo.Load()
	w.ok(err)
	film, err := squads.Clips[0].Film()
	w.ok(err)
	film = append(film, "\x00\x00\x00\x10freeanother"...) // else it is there already
	in, err := w.app.BringIn(ctx, poolside.BringIn{SwimmerID: s.ID, On: "2026-05-03", Pool: "Old Baths", FileName: s.Name + ".mp4", Content: bytes.NewReader(film)})
	w.ok(err)
	w.named.Job = in.JobID
}

// Told returns the words of swimmers' names that a text holds as words, however they are cased,
// accented or escaped. Names of pools and pictures within the text do not count.
func (n Named) Told(text string) []string {
	text = fold(decoded(picture.ReplaceAllString(text, "")))
	for _, pool := range n.pools {
		text = strings.ReplaceAll(text, pool, "")
	}
	var found []string
	for word := range strings.FieldsFuncSeq(text, notLetter) {
		if slices.Contains(n.names, word) && !slices.Contains(found, word) {
			found = append(found, word)
		}
	}
	return found
}

var (
	picture = regexp.MustCompile(`base64,[A-Za-z0-9+/=]+`)
	escaped = regexp.MustCompile(`\\u[0-9a-fA-F]{4}|\\[nrt]`)
	percent = regexp.MustCompile(`(%[0-9a-fA-F]{2})+`)
)

// decoded reads a text through HTML entities, escapes of scripts and those of addresses.
func decoded(text string) string {
	text = percent.ReplaceAllStringFunc(html.UnescapeString(text), func(s string) string {
		plain, err := url.PathUnescape(s)
		if err != nil {
			return s
		}
		return plain
	})
	return escaped.ReplaceAllStringFunc(text, func(s string) string {
		plain, err := strconv.Unquote(`"` + s + `"`)
		if err != nil {
			return s
		}
		return plain
	})
}

func notLetter(r rune) bool { return !unicode.IsLetter(r) }

// folds makes the accented name of this package plain, however somebody wrote it.
var folds = strings.NewReplacer("ë", "e", "å", "a", "ö", "o", "aangstroem", "angstrom", "\u0308", "", "\u030a", "")

func fold(text string) string { return folds.Replace(strings.ToLower(text)) }

// String lists the swimmers, for a failing test.
func (n Named) String() string { return fmt.Sprint(n.names) }
