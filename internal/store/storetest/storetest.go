// Package storetest is the suite that every store must pass, whatever database
// it stands on, and the records that other packages' tests begin from.
package storetest

import (
	"strings"
	"testing"
	"time"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
)

// Open returns an empty store that is closed when t ends.
type Open func(t *testing.T, opt store.Options) *store.Store

// Run runs the suite.
func Run(t *testing.T, open Open) {
	for _, c := range []struct {
		name string
		test func(t *testing.T, open Open)
	}{
		{"squads", squads},
		{"swimmers", swimmers},
		{"alike", alike},
		{"delete swimmer", deleteSwimmer},
		{"consents", consents},
		{"growth", growth},
		{"strokes and film rule", strokes},
		{"film gone", filmGone},
		{"visits", visits},
		{"clips", clips},
		{"films", films},
		{"shared film", sharedFilm},
		{"runs", runs},
		{"marks", marks},
		{"undo and redo", undoRedo},
		{"remarks", remarks},
		{"pairs", pairs},
		{"results", results},
		{"estimates", estimates},
		{"reference", reference},
		{"roster", roster},
		{"filmed", filmed},
		{"season", season},
		{"renewals", renewals},
		{"plans", plans},
		{"lessons", lessons},
		{"practice given", given},
		{"own drills", drills},
		{"goals", goals},
		{"moves", moves},
		{"set aside", setAside},
		{"latest estimate", latestEstimate},
		{"settings", settings},
		{"together", together},
		{"readers during a write", readersDuringWrite},
		{"jobs", jobs},
		{"refusals", refusals},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(t, open) })
	}
}

// Noon is the moment at which the suite's stores begin.
var Noon = time.Date(2026, 3, 9, 12, 0, 0, 0, time.UTC)

// Clock is a clock that goes on by one second each time it is read.
func Clock() func() time.Time {
	now := Noon
	return func() time.Time {
		now = now.Add(time.Second)
		return now
	}
}

// Season is one squad, swimmer, visit, clip and run, for tests to begin from.
type Season struct {
	Squad   record.Squad
	Swimmer record.Swimmer
	Visit   record.Visit
	Clip    record.Clip
	Run     record.Run
}

// Fill adds a Season to s. Its film is a short text.
func Fill(t *testing.T, s *store.Store) Season {
	t.Helper()
	ctx := t.Context()
	var e Season
	e.Squad = must(s.AddSquad(ctx, record.Squad{Name: "Lake Lane Juniors", Notes: "Tuesdays"}))(t)
	e.Swimmer = must(s.AddSwimmer(ctx, record.Swimmer{
		SquadID: e.Squad.ID, Name: "Mira Holm", Pseudonym: "Otter", Sex: record.Female, BirthYear: 2011,
		HeightM: 1.63, HeightOn: "2026-03-01", MassKg: 52.5, MassOn: "2026-03-02", Level: record.Regional, Habit: record.Prone, Notes: "back end",
	}))(t)
	e.Visit = must(s.AddVisit(ctx, record.Visit{SquadID: e.Squad.ID, On: "2026-03-09", Pool: "Lake Hall", Notes: "lane 4"}))(t)
	e.Clip = must(s.ImportClip(ctx, strings.NewReader("film of Mira"), "mira 1.MP4", record.Clip{VisitID: e.Visit.ID, SwimmerID: e.Swimmer.ID, Facts: Facts()}))(t)
	e.Run = must(s.AddRun(ctx, record.Run{
		ClipID: e.Clip.ID, SwimmerID: e.Swimmer.ID, FromFrame: 10, ToFrame: 99, Effort: record.Race, Start: record.PushOff, Position: record.Prone,
		DepthM: 0.8, Equipment: "snorkel", Repeat: 2, MarkedBy: "A. Coach", TrueFPS: 240, Notes: "good one",
		Scale: record.Scale{Kind: record.KnownLength, LengthM: 5, Frame: 12, PointsPx: [2][2]float64{{10.5, 20}, {900, 25}}},
	}))(t)
	return e
}

// Facts is a film of 120 pictures.
func Facts() record.Facts {
	return record.Facts{
		WidthPx: 1280, HeightPx: 720, Frames: 120, DurationS: 2, MeanFPS: 60, NominalFPS: 60, TaggedFPS: 240, Codec: "h264", Engine: "embedded",
		Warnings: []record.ClipWarning{{Code: "slow_motion", Text: "filmed four times as fast"}},
	}
}

// Mark is a mark at (x, y).
func Mark(frame int, l body.Landmark, x, y float64) body.Mark {
	return body.Mark{Frame: frame, Time: float64(frame) / 60, Landmark: l, X: x, Y: y, SD: 1.5}
}

// must ends the test when there is an error: must(f())(t).
func must[T any](v T, err error) func(t *testing.T) T {
	return func(t *testing.T) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func ok(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
