package paper

import (
	"fmt"
	"io"
	"strings"
)

// WriteText writes a lesson's words, without its drawings.
func (d Document) WriteText(w io.Writer) error {
	t := &lines{w: w}
	t.say(d.Title, d.Sub)
	for _, b := range d.Blocks {
		t.gap()
		t.say(b.Heading)
		t.say(b.Text...)
		for _, r := range b.Rows {
			t.say(r.Label)
			for _, s := range r.Stills {
				t.say(fmt.Sprintf("  %-10s %s", s.Moment, s.Caption))
			}
		}
		if b.Curve != nil {
			t.say(b.Curve.Title)
			for _, k := range b.Curve.Keys {
				t.say("  " + k.Words)
			}
		}
		if b.Measure != nil {
			t.measure(*b.Measure)
		}
		if b.Card != nil {
			t.card(*b.Card)
		}
		if b.Clip != nil {
			t.say("Clip: " + b.Clip.Label)
		}
		for _, c := range b.Cautions {
			t.caution(c)
		}
		t.say(b.Withheld...)
		t.say(b.Empty)
	}
	for _, c := range d.Cautions {
		t.gap()
		t.caution(c)
	}
	t.gap()
	t.say(d.Notes...)
	return t.err
}

// WriteText writes a sheet's words, without its picture.
func (s Sheet) WriteText(w io.Writer) error {
	t := &lines{w: w}
	t.say(s.Title, s.Sub)
	t.part("What we saw", s.Saw)
	t.part("Your number", s.Number)
	if s.DoTitle != "" {
		t.part("One thing to do: "+s.DoTitle, s.Do)
		t.say(s.Dose, s.Cue)
		t.part("Why", s.Why)
	}
	t.gap()
	t.say(s.Next)
	t.caution(s.Caution)
	t.gap()
	t.say(s.Notes...)
	return t.err
}

// lines writes lines until one fails.
type lines struct {
	w     io.Writer
	err   error
	empty bool // the last line was
}

func (t *lines) say(words ...string) {
	for _, s := range words {
		if s == "" || t.err != nil {
			continue
		}
		_, t.err = fmt.Fprintln(t.w, s)
		t.empty = false
	}
}

func (t *lines) gap() {
	if !t.empty && t.err == nil {
		_, t.err = fmt.Fprintln(t.w)
	}
	t.empty = true
}

func (t *lines) part(title string, words []string) {
	if len(words) == 0 {
		return
	}
	t.gap()
	t.say(title)
	t.say(words...)
}

func (t *lines) caution(c Caution) {
	t.say(strings.ToUpper(c.Title))
	t.say(c.Lines...)
}

func (t *lines) measure(m Measure) {
	t.say(m.Name)
	for _, r := range m.Rows {
		t.say(strings.TrimRight(fmt.Sprintf("  %s: %s %s %s", r.Label, r.Value, r.Band, r.Note), " "))
	}
	t.say(m.Words...)
}

func (t *lines) card(c Card) {
	t.say(c.Title)
	for i, step := range c.How {
		t.say(fmt.Sprintf("  %d. %s", i+1, step))
	}
	t.say("  how much: "+c.Dose, "  cue: "+c.Cue, "  watch for: "+c.Error, "  works when: "+c.Sign)
}
