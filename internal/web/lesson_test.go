package web

import (
	"net/url"
	"strings"
	"testing"

	"underkick/internal/record"
)

func init() { scenarios = append(scenarios, lessonScenarios...) }

// edited is the form of a block.
func edited(block, do string, more ...string) url.Values {
	v := url.Values{"seq": {"1"}, "block": {block}, "do": {do}}
	for i := 0; i+1 < len(more); i += 2 {
		v.Set(more[i], more[i+1])
	}
	return v
}

// order is the blocks of the fixture's lesson in one word.
func order(f *fixture) string {
	var ids []string
	for _, b := range f.lesson().Blocks {
		ids = append(ids, b.ID)
	}
	return strings.Join(ids, " ")
}

func inOrder(want string) func(t *testing.T, f *fixture) {
	return func(t *testing.T, f *fixture) {
		if got := order(f); got != want {
			t.Errorf("the blocks are %s, want %s", got, want)
		}
	}
}

var lessonScenarios = []scenario{
	{name: "lessons", path: "/lessons", status: 200, must: []string{"Slow &lt;then&gt; fast", "for the squad", "Mira Okonjo", `action="/lesson/l1/duplicate"`, `href="/lesson/new"`}, mustNot: []string{"<then>"}},
	{name: "removed lessons", path: "/lessons", prepared: func(f *fixture) { f.add(record.LessonVersion{Act: record.RemoveLesson}) }, status: 200, must: []string{"No lesson yet", "Removed (1)", `action="/lesson/l1/put-back"`}},
	{name: "new lesson", path: "/lesson/new", status: 200, must: []string{"Before and after", "One swimmer&#39;s kick", `value="r2"`, "may be shown in the squad only", "may not be shown: no consent"}},
	{name: "new lesson of a run", path: "/lesson/new?run=r1", status: 200, must: []string{`value="r1" checked`, `value="one-swimmer" checked`}},
	{name: "lesson made", method: "POST", path: "/lesson/new", form: url.Values{"template": {"facing"}, "run": {"r1", "r2"}}, status: 303, location: "/lesson/l1/edit"},
	{name: "too few runs", method: "POST", path: "/lesson/new", form: url.Values{"template": {"before-and-after"}, "run": {"r1"}, "title": {"<Two>"}}, status: 422, must: []string{`id="wrong-runs"`, `value="r1" checked`, `value="&lt;Two&gt;"`}},
	{name: "lesson without consent", method: "POST", path: "/lesson/new", form: url.Values{"template": {"facing"}, "run": {"r3"}}, status: 422, must: []string{"Lena Moor: no consent for showing in the squad"}},
	{name: "printed lesson", path: "/lesson/l1", status: 200, must: []string{`href="/paper/letter.css"`, "Look at the foot.", "/lesson/l1/still/r1/2/set.jpg", "Never alone.", "screen-only\"><p>Withheld. Lena Moor"}, mustNot: []string{"<then>", "style="}},
	{name: "lesson as a file", path: "/lesson/l1/lesson.html", status: 200, must: []string{"Content-Security-Policy", "default-src &#39;none&#39;; img-src data:", "size: letter", "Look at the foot."}, mustNot: []string{"Lena Moor", "stylesheet"}},
	{name: "unknown lesson", path: "/lesson/zz", status: 404},
	{name: "unknown lesson edited", path: "/lesson/zz/edit", status: 404},
	{name: "unknown lesson's file", path: "/lesson/zz/lesson.html", status: 404},
	{name: "still of a lesson", path: "/lesson/l1/still/r1/2/set.jpg", status: 200, must: []string{"\xff\xd8\xff"}},
	{name: "moving picture", path: "/lesson/l1/moving/r1/2/17.jpg", status: 200, must: []string{"\xff\xd8\xff"}},
	{name: "moving picture that is none", path: "/lesson/l1/moving/r1/2/x.jpg", status: 404},
	{name: "still of a kick that is none", path: "/lesson/l1/still/r1/x/set.jpg", status: 404},
	{name: "still without consent", path: "/lesson/l1/still/r2/2/set.jpg", status: 422, must: []string{"no consent"}},
	{name: "style of A4", path: "/paper/a4.css", status: 200, must: []string{"size: A4", ".paper"}},
	{name: "style of letter", path: "/paper/letter.css", status: 200, must: []string{"size: letter"}},
	{name: "script of clips", path: "/paper/player.js", status: 200, must: []string{"export function turn"}},
	{name: "no such style", path: "/paper/a5.css", status: 404},

	{name: "lesson edited", path: "/lesson/l1/edit", status: 200, must: []string{"Edit Stills", "Edit title, audience", `id="undo" disabled`, "cannot be taken away"}, mustNot: []string{`id="do-up"`, "<then>"}},
	{name: "block chosen", path: "/lesson/l1/edit?block=b2", status: 200, must: []string{`id="do-up"`, `value="high &lt;heels&gt;"`, `name="caption_finish-up_0"`, "Ivo Brandt", "Edit Practice"}, mustNot: []string{"Edit Stills", `name="title"`}},
	{name: "practice chosen", path: "/lesson/l1/edit?block=b3", status: 200, must: []string{`value="point-late" selected`}},
	{name: "about chosen", path: "/lesson/l1/edit?block=about", status: 200, must: []string{`name="title"`, `value="letter" selected`, `name="soften" value="yes" checked`}},
	{name: "text kept", method: "POST", path: "/lesson/l1/edit", form: edited("b1", "keep", "text", " New\r\nwords "), status: 303, location: "/lesson/l1/edit?block=b1#b1", afterwards: func(t *testing.T, f *fixture) {
		if got := f.lesson().Blocks[0].Text; got != "New\nwords" {
			t.Errorf("kept %q", got)
		}
	}},
	{name: "moved up with its text", method: "POST", path: "/lesson/l1/edit", form: edited("b2", "up", "part", "upkick", "caption_set_0", "", "kick_0", "3", "words_0", "in May"), status: 303, location: "/lesson/l1/edit?block=b2#b2", afterwards: func(t *testing.T, f *fixture) {
		inOrder("b2 b1 b3")(t, f)
		b := f.lesson().Blocks[0]
		if b.Part != record.UpkickPart || b.Runs[0].Kick != 3 || b.Runs[0].Words != "in May" || len(b.Runs[0].Captions) != 0 {
			t.Errorf("kept %+v", b)
		}
	}},
	{name: "moved past the end", method: "POST", path: "/lesson/l1/edit", form: edited("b3", "down"), status: 303, location: "/lesson/l1/edit?block=b3#b3", afterwards: inOrder("b1 b2 b3")},
	{name: "block dropped", method: "POST", path: "/lesson/l1/edit", form: edited("b1", "drop"), status: 303, location: "/lesson/l1/edit?block=b2#b2", afterwards: inOrder("b2 b3")},
	{name: "block added below", method: "POST", path: "/lesson/l1/edit", form: edited("b2", "add", "add_kind", "curve"), status: 303, location: "/lesson/l1/edit?block=b4#b4", afterwards: func(t *testing.T, f *fixture) {
		inOrder("b1 b2 b4 b3")(t, f)
		if b := f.lesson().Blocks[2]; b.Kind != record.CurveBlock || len(b.Runs) != 1 || b.Runs[0].RunID != "r1" || b.Runs[0].Captions != nil {
			t.Errorf("the new block is %+v", b)
		}
	}},
	{name: "block of no kind", method: "POST", path: "/lesson/l1/edit", form: edited("b2", "add", "add_kind", "dance"), status: 422, must: []string{"choose one of heading"}, afterwards: inOrder("b1 b2 b3")},
	{name: "run added", method: "POST", path: "/lesson/l1/edit", form: edited("b2", "add-run", "add_run", "r2"), status: 303, location: "/lesson/l1/edit?block=b2#b2", afterwards: func(t *testing.T, f *fixture) {
		if got := strings.Join(f.lesson().RunIDs(), " "); got != "r1 r2" {
			t.Errorf("the runs are %s", got)
		}
	}},
	{name: "run taken out", method: "POST", path: "/lesson/l1/edit", form: edited("b2", "drop-run:0"), status: 303, location: "/lesson/l1/edit?block=b2#b2", afterwards: func(t *testing.T, f *fixture) {
		if len(f.lesson().RunIDs()) != 0 {
			t.Error("the run is still there")
		}
	}},
	{name: "lesson itself changed", method: "POST", path: "/lesson/l1/edit", form: edited("about", "keep", "title", "Fast", "names", "none", "paper", "A4"), status: 303, location: "/lesson/l1/edit?block=about#about", afterwards: func(t *testing.T, f *fixture) {
		if l := f.lesson(); l.Title != "Fast" || l.Names != record.ShowNoNames || l.Paper != record.A4 || l.Soften || l.Audience != record.InSquad {
			t.Errorf("kept %+v", l.LessonBody)
		}
	}},
	{name: "lesson without a title", method: "POST", path: "/lesson/l1/edit", form: edited("about", "keep", "title", ""), status: 422, must: []string{"Title: is empty"}},
	{name: "changed elsewhere", method: "POST", path: "/lesson/l1/edit", prepared: func(f *fixture) {
		f.add(record.LessonVersion{Act: record.KeepLesson, LessonBody: f.lesson().LessonBody})
	}, form: edited("b1", "keep", "text", "late"), status: 422, must: []string{"changed in another window"}},
	{name: "undone", method: "POST", path: "/lesson/l1/edit", form: edited("b1", "undo"), status: 303, location: "/lesson/l1/edit?block=b1#b1"},
	{name: "unknown lesson changed", method: "POST", path: "/lesson/zz/edit", form: edited("b1", "keep"), status: 404},
	{name: "duplicated", method: "POST", path: "/lesson/l1/duplicate", form: url.Values{}, status: 303, location: "/lesson/l2/edit"},
	{name: "removed", method: "POST", path: "/lesson/l1/remove", form: url.Values{}, status: 303, location: "/lessons", afterwards: func(t *testing.T, f *fixture) {
		if !f.lesson().Removed {
			t.Error("it is still on the list")
		}
	}},
	{name: "put back", method: "POST", path: "/lesson/l1/put-back", form: url.Values{}, status: 303, location: "/lessons"},
	{name: "no such act", method: "POST", path: "/lesson/l1/burn", form: url.Values{}, status: 404},

	{name: "sheet", path: "/run/r1/sheet", status: 200, must: []string{"How Mira kicks", "Your feet &lt;can&gt; push", "/run/r1/sheet/2/fastest.jpg", "Never alone.", `href="/paper/a4.css"`}},
	{name: "sheet on letter paper", path: "/run/r1/sheet?paper=letter", status: 200, must: []string{`href="/paper/letter.css"`, "On A4"}},
	{name: "no sheet yet", path: "/run/poor/sheet", status: 200, must: []string{"There is no sheet yet", "Nothing is marked yet."}, mustNot: []string{"data-print"}},
	{name: "sheet as a file", path: "/run/r1/sheet.html", status: 200, must: []string{"Content-Security-Policy", "Point late"}},
	{name: "picture of a sheet", path: "/run/r1/sheet/2/fastest.jpg", status: 200, must: []string{"\xff\xd8\xff"}},
	{name: "no picture of a sheet", path: "/run/r1/sheet/x/fastest.jpg", status: 404},
	{name: "sheet of no run", path: "/run/zz/sheet", status: 404},
}
