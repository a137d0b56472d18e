package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

const lessonHelp = `
Without an ID it lists the lessons. With one it shows what stands on the lesson.

--html FILE writes the lesson as one file that holds its pictures and clips and asks nothing
of any network. --pdf FILE prints it with an installed browser of the Chromium family
(UNDERKICK_BROWSER names one that is not found). FILE - is standard output, for --html.

--new TEMPLATE makes a lesson: facing, sweep, build, before-and-after (two runs or more) or
one-swimmer, with a row for each --run. It prints the new lesson's id, as --duplicate does.

Consents are asked each time: a swimmer without today's consent for the audience is withheld,
and a line on the error stream says so.`

func lessonCommand() command {
	c := command{name: "lesson", usage: "lesson [ID] [options]", brief: "list lessons, make, print and save them"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runLesson(ctx, c, args, s) }
	return c
}

// lessonOptions are the options of the command.
type lessonOptions struct {
	data, html, pdf             string
	duplicate, remove, putBack  bool
	template, title, who, paper string
	runs                        []string
	asJSON                      bool
}

func runLesson(ctx context.Context, c command, args []string, s streams) error {
	var o lessonOptions
	f := newFlags(c, s)
	f.StringVar(&o.html, "html", "", "write the lesson as one HTML file to `FILE`")
	f.StringVar(&o.pdf, "pdf", "", "print the lesson to the PDF `FILE`")
	f.BoolVar(&o.duplicate, "duplicate", false, "keep a copy of the lesson")
	f.BoolVar(&o.remove, "remove", false, "take the lesson off the list; --put-back undoes it")
	f.BoolVar(&o.putBack, "put-back", false, "put a removed lesson back")
	f.StringVar(&o.template, "new", "", "make a lesson from `TEMPLATE`")
	f.StringVar(&o.title, "title", "", "with --new: `TITLE`, else the template's")
	f.StringVar(&o.who, "audience", "squad", "with --new: who sees it, `squad|outside`")
	f.StringVar(&o.paper, "paper", "A4", "with --new: `A4|letter`")
	f.Func("run", "with --new: show the run `ID`; may be given up to six times", func(id string) error {
		o.runs = append(o.runs, id)
		return nil
	})
	f.StringVar(&o.data, "data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
	ids, err := f.parse(args, lessonHelp)
	if err != nil {
		return err
	}
	if err := o.check(ids); err != nil {
		return err
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: o.data})
	if err != nil {
		return err
	}
	return errors.Join(o.do(ctx, app, ids, s), app.Close())
}

// check refuses what does not go together.
func (o lessonOptions) check(ids []string) error {
	acts := 0
	for _, on := range []bool{o.html != "" || o.pdf != "", o.duplicate, o.remove, o.putBack} {
		if on {
			acts++
		}
	}
	switch {
	case len(ids) > 1:
		return usagef("takes one lesson's ID")
	case o.template != "" && (len(ids) > 0 || acts > 0):
		return usagef("--new makes a lesson; leave the ID and the other options out")
	case o.template == "" && len(o.runs) > 0:
		return usagef("--run goes with --new")
	case acts > 1:
		return usagef("does one thing at a time: write, duplicate, remove or put back")
	case acts > 0 && len(ids) == 0:
		return usagef("needs the lesson's ID; without options it lists them")
	case o.pdf == "-":
		return usagef("--pdf needs a file")
	}
	return nil
}

func (o lessonOptions) do(ctx context.Context, app *poolside.App, ids []string, s streams) error {
	switch {
	case o.template != "":
		id, err := app.NewLesson(ctx, poolside.LessonStart{
			Template: record.LessonTemplate(o.template), Title: o.title, RunIDs: o.runs,
			Audience: record.Audience(o.who), Paper: record.Paper(o.paper),
		})
		var faults record.Faults
		if errors.As(err, &faults) {
			return usagef("--new: %v", err)
		}
		return told(s.out, id, err)
	case len(ids) == 0:
		return o.list(ctx, app, s.out)
	case o.duplicate:
		id, err := app.DuplicateLesson(ctx, ids[0])
		return told(s.out, id, o.known(err, ids[0]))
	case o.remove, o.putBack:
		act := record.RemoveLesson
		if o.putBack {
			act = record.UndoLesson
			if l, err := app.Lesson(ctx, ids[0]); err == nil && !l.Removed {
				return usagef("the lesson %s is on the list", ids[0])
			}
		}
		_, err := app.LessonAct(ctx, ids[0], act)
		return o.known(err, ids[0])
	case o.html == "" && o.pdf == "":
		return o.known(o.show(ctx, app, ids[0], s.out), ids[0])
	}
	return o.known(o.write(ctx, app, ids[0], s), ids[0])
}

// known says how lessons are named where there is none of that id.
func (o lessonOptions) known(err error, id string) error {
	if errors.Is(err, poolside.ErrNotFound) {
		return unusablef(err, "there is no lesson %s in %s; `underkick lesson` lists them", id, o.data)
	}
	return err
}

func told(w io.Writer, id string, err error) error {
	if err == nil {
		fmt.Fprintln(w, id)
	}
	return err
}

// write writes the files asked for.
func (o lessonOptions) write(ctx context.Context, app *poolside.App, id string, s streams) error {
	var warnings []string
	if o.html != "" {
		err := writeOut(o.html, s.out, func(w io.Writer) (err error) {
			warnings, err = app.WriteLesson(ctx, id, w)
			return err
		})
		if err != nil {
			return err
		}
	}
	if o.pdf != "" {
		more, err := app.PrintLesson(ctx, id, o.pdf)
		if err != nil {
			return err
		}
		warnings = more
	}
	for _, w := range warnings {
		fmt.Fprintln(s.err, w)
	}
	return nil
}

// lessonLine is a lesson in the list.
type lessonLine struct {
	ID       string   `json:"id"`
	Squad    string   `json:"squad"`
	Title    string   `json:"title"`
	Audience string   `json:"audience"`
	Template string   `json:"template"`
	Swimmers []string `json:"swimmers"`
	Changed  string   `json:"changed"`
	Removed  bool     `json:"removed,omitempty"`
}

func (o lessonOptions) list(ctx context.Context, app *poolside.App, w io.Writer) error {
	view, err := app.Lessons(ctx)
	if err != nil {
		return err
	}
	lines := []lessonLine{}
	for _, q := range view.Squads {
		for i, r := range append(q.Rows, q.Removed...) {
			lines = append(lines, lessonLine{
				ID: r.ID, Squad: q.Name, Title: r.Title, Audience: string(r.Audience), Template: string(r.Template),
				Swimmers: append([]string{}, r.Swimmers...), Changed: record.FormatTime(r.Changed), Removed: i >= len(q.Rows),
			})
		}
	}
	if o.asJSON {
		return writeJSON(w, lines)
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "id\ttitle\tfor\tsquad\tswimmers\tchanged")
	for _, l := range lines {
		title := l.Title
		if l.Removed {
			title += " (removed)"
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\n", l.ID, title, l.Audience, l.Squad, orDash(strings.Join(l.Swimmers, ", ")), l.Changed[:10])
	}
	return t.Flush()
}

// show prints what stands on a lesson.
func (o lessonOptions) show(ctx context.Context, app *poolside.App, id string, w io.Writer) error {
	if o.asJSON {
		l, err := app.Lesson(ctx, id)
		if err != nil {
			return err
		}
		return writeJSON(w, l.LessonBody)
	}
	view, err := app.LessonPage(ctx, id, func(poolside.LessonPicture) (string, error) { return "", nil })
	if err != nil {
		return err
	}
	return view.Document.WriteText(w)
}
