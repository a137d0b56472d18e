package storetest

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

func clips(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	c := e.Clip
	// The sum by an outside tool: printf 'film of Mira' | sha256sum
	if c.Hash != filmOfMira || c.File != filmOfMira+".mp4" || c.Size != 12 || c.Name != "mira 1.MP4" {
		t.Errorf("clip %+v", c)
	}
	same(t, "clip", must(s.Clip(ctx, c.ID))(t), c)
	same(t, "clips of the film", must(s.ClipsOfFilm(ctx, c.Hash))(t), []record.Clip{c})

	c.Facts = record.Facts{WidthPx: 640, HeightPx: 360, Frames: 300, DurationS: 10, MeanFPS: 30, Engine: "native"}
	ok(t, s.SetFacts(ctx, c.ID, c.Facts))
	c.Facts.Warnings = []record.ClipWarning{}
	c.TrueFPS, c.TrueFPSConfirmed = 120, true
	ok(t, s.SetTrueFPS(ctx, c.ID, 120, true))
	same(t, "changed clip", must(s.Clip(ctx, c.ID))(t), c)
	notFound(t, s.SetFacts(ctx, "nothing", c.Facts))
	notFound(t, s.SetTrueFPS(ctx, "nothing", 0, true))
	var faults record.Faults
	if err := s.SetTrueFPS(ctx, c.ID, -1, true); !errors.As(err, &faults) {
		t.Errorf("true rate -1: %v", err)
	}

	must(s.AddStep(ctx, e.Run.ID, record.Set(record.PlaceMark, "", Mark(12, 0, 1, 2))))(t)
	must(s.AddResult(ctx, result(e.Run.ID, "a", 1)))(t)
	ok(t, s.DeleteClip(ctx, c.ID))
	for _, err := range []error{second(s.Clip(ctx, c.ID)), second(s.Run(ctx, e.Run.ID)), second(s.Marks(ctx, e.Run.ID)), s.DeleteClip(ctx, c.ID)} {
		notFound(t, err)
	}
}

const filmOfMira = "015e192ea63542043db79ae43c14694d7196fe0ce4968174cec10fbf2cff7416"

// films: staging, keeping, dropping, and nothing left behind.
func films(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{}), t.Context()
	e := Fill(t, s)
	before := files(t, s)
	g := must(s.Stage(ctx, strings.NewReader("another film"), "../../odd name.m p4"))(t)
	text, err := os.ReadFile(g.Path())
	ok(t, err)
	sum := sha256.Sum256(text)
	if string(text) != "another film" || g.Size() != 12 || g.Hash() != hex.EncodeToString(sum[:]) || filepath.Ext(g.Path()) != ".film" {
		t.Errorf("staged %q at %s", text, g.Path())
	}
	ok(t, g.Discard())
	ok(t, g.Discard())
	same(t, "files after dropping", files(t, s), before)
	if _, err := g.Keep(ctx, record.Clip{VisitID: e.Visit.ID, SwimmerID: e.Swimmer.ID}); err == nil {
		t.Error("a dropped film was kept")
	}

	for name, r := range map[string]io.Reader{
		"empty.mp4":  strings.NewReader(""),
		"broken.mp4": io.MultiReader(strings.NewReader("half of"), failing{}),
	} {
		if _, err := s.Stage(ctx, r, name); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	if _, err := s.Stage(ctx, strings.NewReader(""), "e.mp4"); !errors.Is(err, store.ErrEmpty) {
		t.Errorf("empty film: %v", err)
	}
	stopped, stop := context.WithCancel(ctx)
	stop()
	if _, err := s.Stage(stopped, strings.NewReader("film"), "a.mp4"); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped import: %v", err)
	}
	_, err = s.ImportClip(ctx, strings.NewReader("film of nobody"), "a.mp4", record.Clip{VisitID: e.Visit.ID, SwimmerID: "nobody"})
	notFound(t, err)
	same(t, "files after failures", files(t, s), before)
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errors.New("card pulled out") }

// sharedFilm: the same content is kept once and goes with its last clip.
func sharedFilm(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{}), t.Context()
	e := Fill(t, s)
	friend := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Jonas Reed"}))(t)
	again := must(s.ImportClip(ctx, strings.NewReader("film of Mira"), "copy.mov", record.Clip{VisitID: e.Visit.ID, SwimmerID: e.Swimmer.ID}))(t)
	same(t, "the same film once more", again, e.Clip)
	other := must(s.ImportClip(ctx, strings.NewReader("film of Mira"), "copy.mov", record.Clip{VisitID: e.Visit.ID, SwimmerID: friend.ID}))(t)
	if other.ID == e.Clip.ID || other.File != e.Clip.File {
		t.Errorf("the same film for another swimmer: %+v", other)
	}
	same(t, "files", files(t, s), []string{e.Clip.File})
	ok(t, s.DeleteClip(ctx, e.Clip.ID))
	same(t, "files while one clip needs it", files(t, s), []string{other.File})

	// A film that was lost from the folder comes back with the next import.
	ok(t, os.Remove(s.ClipPath(other)))
	must(s.ImportClip(ctx, strings.NewReader("film of Mira"), "x.avi", record.Clip{VisitID: e.Visit.ID, SwimmerID: friend.ID}))(t)
	same(t, "files after bringing it back", files(t, s), []string{other.File})

	ok(t, s.DeleteClip(ctx, other.ID))
	if left := files(t, s); len(left) != 0 {
		t.Errorf("files after the last clip went: %v", left)
	}
}

// files lists the clips folder.
func files(t *testing.T, s *store.Store) []string {
	t.Helper()
	entries, err := os.ReadDir(filepath.Join(s.Dir(), "clips"))
	ok(t, err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}
