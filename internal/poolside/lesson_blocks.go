package poolside

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"underkick/internal/compare"
	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/record"
	"underkick/internal/report"
	"underkick/internal/report/paper"
)

// block lays one block out.
func (t *teacher) block(ctx context.Context, b record.LessonBlock) (paper.Block, error) {
	out := paper.Block{Kind: string(b.Kind)}
	shown := t.shown(b, &out)
	var err error
	switch b.Kind {
	case record.HeadingBlock:
		out.Heading = t.own(b.Text)
	case record.TextBlock:
		out.Text = paragraphs(t.own(b.Text))
	case record.CautionBlock:
		if lines := paragraphs(t.own(b.Text)); len(lines) > 0 {
			out.Cautions = []paper.Caution{{Title: "Caution", Lines: lines}}
		}
	case record.StillsBlock:
		err = t.stills(ctx, b, shown, &out)
	case record.CurveBlock:
		out.Curve = t.curve(b, shown)
	case record.MeasureBlock:
		out.Measure = t.measures(b, shown)
	case record.PracticeBlock:
		t.practice(b, shown, &out)
	case record.ClipBlock:
		err = t.clip(ctx, b, shown, &out)
	}
	t.fillEmpty(b, &out)
	return out, err
}

// placed is a run of a block that may be shown.
type placed struct {
	record.LessonRun
	*taughtRun
}

// words are what stands beside the run: the author's, else name and day.
func (t *teacher) words(p placed) string {
	if p.Words != "" {
		return t.own(p.Words)
	}
	return p.label
}

// shown returns the block's runs that may be shown and notes on the block which may not.
func (t *teacher) shown(b record.LessonBlock, out *paper.Block) []placed {
	var list []placed
	for _, r := range b.Runs {
		run := t.runs[r.RunID]
		if run.withheld != "" {
			out.Withheld = append(out.Withheld, run.label+". "+run.withheld)
			continue
		}
		list = append(list, placed{r, run})
	}
	return list
}

// fillEmpty says what to do where a block shows nothing yet.
func (t *teacher) fillEmpty(b record.LessonBlock, out *paper.Block) {
	if out.Heading != "" || len(out.Text) > 0 || len(out.Cautions) > 0 || len(out.Rows) > 0 || len(out.Withheld) > 0 ||
		out.Curve != nil || out.Measure != nil || out.Card != nil || out.Clip != nil || out.Empty != "" {
		return
	}
	switch b.Kind {
	case record.HeadingBlock, record.TextBlock, record.CautionBlock:
		out.Empty = "Nothing is written here yet."
	case record.PracticeBlock:
		out.Empty = "No drill is chosen here yet."
	default:
		out.Empty = "No run is chosen here yet."
		if len(b.Runs) > 0 {
			out.Empty = "The runs chosen here do not give this."
		}
	}
}

// paragraphs cuts a text at its empty lines.
func paragraphs(text string) []string {
	var list []string
	for p := range strings.SplitSeq(strings.ReplaceAll(text, "\r\n", "\n"), "\n\n") {
		if p = strings.TrimSpace(p); p != "" {
			list = append(list, p)
		}
	}
	return list
}

// curve draws a signal of every run over the phase of the kick.
func (t *teacher) curve(b record.LessonBlock, runs []placed) *paper.Curve {
	var lines []report.PhaseLine
	c := &paper.Curve{}
	for _, r := range runs {
		curves := compare.Curves(r.view.Result)
		i := slices.IndexFunc(curves, func(c compare.Curve) bool { return c.ID == curveID(b) })
		if i < 0 {
			continue
		}
		curve := curves[i]
		if !curve.Known() {
			t.warn(fmt.Sprintf("%s: no curve of %s. %s", r.label, curve.Name, strings.Join(curve.Reasons, " ")))
			continue
		}
		class := lineClasses[len(lines)%len(lineClasses)]
		lines = append(lines, report.PhaseLine{Curve: curve, Class: class})
		c.Keys = append(c.Keys, paper.Key{Class: class, Words: t.words(r)})
		c.Title = capital(curve.Name) + " through the kick"
	}
	if c.Drawing = report.PhaseLines(lines); c.Drawing == "" {
		return nil
	}
	c.Words = "Mean of the counted kicks of each run, from the toes' highest place over their lowest to the next highest."
	if len(lines) == 1 {
		c.Words += " Shaded: the 95 % band."
	}
	return c
}

func curveID(b record.LessonBlock) string {
	if b.Curve == "" {
		return record.FootSpeedCurve
	}
	return b.Curve
}

// measures lays a measure of every run out, all bars on one line.
func (t *teacher) measures(b record.LessonBlock, runs []placed) *paper.Measure {
	id := b.Measure
	if id == "" {
		id = "speed"
	}
	m := &paper.Measure{Name: capital(limit.Name(id))}
	if d, ok := report.Definition(id); ok {
		m.Meaning = d.Meaning
	}
	var values []kick.Measure
	for _, r := range runs {
		v, ok := r.view.Result.Measure(id)
		if !ok {
			continue
		}
		row := paper.MeasureRow{Label: t.words(r), Value: "not known"}
		if v.Known() {
			row.Value, row.Band = report.Value(v), report.Spread(v)
		}
		if len(v.Reasons) > 0 {
			row.Note = "Doubtful. " + v.Reasons[0].Text
		}
		values, m.Rows = append(values, v), append(m.Rows, row)
		m.Words = append(m.Words, changeOf(r, id)...)
	}
	for i, bar := range report.BarsTogether(values) {
		m.Rows[i].Bar = bar
	}
	if len(m.Rows) == 0 {
		return nil
	}
	return m
}

// changeOf is the retest's verdict of a run against the swimmer's earlier visit, where there is
// one. Two swimmers get none.
func changeOf(r placed, id string) []string {
	for _, c := range r.view.Finding.Changes {
		if c.Measure == id && c.Verdict != limit.Refused {
			return []string{r.name + ". " + capital(report.ChangeWords(c))}
		}
	}
	return nil
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// practice lays a card out with the dose for the swimmer of its run, or for the youngest whom
// the drill suits.
func (t *teacher) practice(b record.LessonBlock, runs []placed, out *paper.Block) {
	out.Text = paragraphs(t.own(b.Text))
	i := slices.IndexFunc(t.drills, func(d record.Drill) bool { return d.ID == b.Drill })
	if i < 0 {
		if b.Drill != "" {
			out.Empty = "This drill is not there any more."
		}
		return
	}
	d := t.drills[i]
	dose, ok := d.DoseFor(max(d.MinAge, 1), "")
	where := string(d.Place) + ", " + d.Phase
	if len(runs) > 0 {
		w := runs[0].view.Swimmer
		if dose, ok = d.DoseFor(ageIn(w, runs[0].view.Visit.On), w.Level); !ok {
			out.Withheld = append(out.Withheld, fmt.Sprintf("%s is for swimmers of %d or more. It is left out here.", d.Title, d.MinAge))
			return
		}
	} else if d.MinAge > 0 {
		where += fmt.Sprintf(", from %d years", d.MinAge)
	}
	if !ok {
		out.Empty = "This drill has no dose."
		return
	}
	out.Card = &paper.Card{
		Title: d.Title, Where: where, Why: d.Why, Source: d.Source, How: d.How,
		Dose: dose.String(), Cue: d.Cue, Error: d.Error, Needs: d.Equipment, Sign: d.Sign,
	}
	if d.Caution != "" {
		out.Cautions = append(out.Cautions, paper.Caution{Title: d.Title, Lines: []string{d.Caution}})
	}
}

// clip lays a kick out that plays slowly.
func (t *teacher) clip(ctx context.Context, b record.LessonBlock, runs []placed, out *paper.Block) error {
	if len(runs) == 0 {
		return nil
	}
	r := runs[0]
	made, err := t.cutStills(ctx, r)
	if err != nil || len(made.view.Stills) == 0 {
		return err
	}
	poster, err := t.drawn(r, made.view.Stills[0], made.view.Kick)
	if err != nil {
		return err
	}
	t.note(r, made.view.Notes) // a clip shows the whole body
	c := &paper.Clip{Label: t.words(r), Poster: poster, Alt: fmt.Sprintf("%s: kick %d, slowly", r.name, made.view.Kick)}
	k := wholeKick(made.m.Result, made.view.Kick)
	for _, n := range clipFrames(made.m, *k) {
		address, err := t.pictures(LessonPicture{LessonID: t.lesson.ID, RunID: r.id, Kick: k.Number, Frame: n, Moving: true})
		if err != nil {
			return err
		}
		c.Frames = append(c.Frames, address)
	}
	c.DelayMS = int(math.Round(1000 * (k.End - k.Start) * slowdown / float64(max(len(c.Frames), 1))))
	out.Clip = c
	return nil
}
