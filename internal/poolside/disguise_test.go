package poolside

import (
	"fmt"
	"html/template"
	"net/url"
	"strings"
	"testing"

	"underkick/internal/store"
)

// someNames are names of every shape.
func someNames() []store.Numbered {
	return []store.Numbered{
		{ID: "a", Name: "Mira Tallow", Pseudonym: "Otter", Number: 1},
		{ID: "b", Name: "Zoë Ångström-O’Dair", Number: 2},
		{ID: "c", Name: "Li", Number: 3},
		{ID: "d", Name: "van der Veen, Bo", Number: 4},
		{ID: "e", Name: "Дим Ёлкин", Number: 5},
		{ID: "f", Name: "Max", Pseudonym: "\\u0041\n", Number: 6},
	}
}

// FuzzDisguise hides names in any text: whole names are never left, whatever stands around
// them, hiding again finds nothing more, and a text without a name stays as it is.
func FuzzDisguise(f *testing.F) {
	for _, text := range []string{
		"", "by Mira Tallow.", `{"a":"\u00c5ngstr\u00f6m\nO'Dair"}`, "%C3%85ngstr%C3%B6m+Zo%C3%AB", "%", "%C3", "&#39", "\\u00", "base64,MIRA/mira=Mira", "mira2", "Bo van der Veen", "\xff\xfeMira", "A\u030angstro\u0308m", "m\u0301ira", "\\nMira",
	} {
		f.Add(text)
	}
	d := newDisguise(someNames())
	d.leave([]string{"Veen Lido"})
	f.Fuzz(func(t *testing.T, text string) {
		once := d.Text(text, nil)
		if twice := d.Text(once, nil); twice != once {
			t.Errorf("%q becomes %q and then %q", text, once, twice)
		}
		for _, name := range []string{"Mira Tallow", "TALLOW, MIRA", "zoe_angstrom-o'dair"} {
			for _, around := range []string{text + " " + name + " " + text, "(" + name + ")", template.HTMLEscapeString(name), template.JSEscapeString(name), "?n=" + url.QueryEscape(name)} {
				if got := d.Text(around, map[string]bool{"mira": true, "tallow": true}); len(newDisguise(someNames()[:2]).whole(got)) > 0 {
					t.Errorf("%q is shown as %q", around, got)
				}
			}
		}
	})
}

// whole lists the whole names, in either order, that a text holds as words.
func (d *Disguise) whole(text string) (found []string) {
	words := " " + strings.Join(foldedWords(text), " ") + " "
	for _, list := range d.names {
		for _, h := range list {
			if name := strings.Join(h.words, " "); !h.part && len(h.words) > 1 && strings.Contains(words, " "+name+" ") {
				found = append(found, name)
			}
		}
	}
	return found
}

// BenchmarkDisguise hides the names of 200 swimmers in a page of a quarter of a megabyte.
func BenchmarkDisguise(b *testing.B) {
	var names []store.Numbered
	for i := range 200 {
		names = append(names, store.Numbered{ID: fmt.Sprint(i), Name: fmt.Sprintf("Given%c%c Family%c", 'a'+i%26, 'a'+i/26, 'a'+i%13), Number: i})
	}
	d := newDisguise(names)
	page := strings.Repeat("<tr><td class=\"x\">Givenaa Familya</td><td>1.42 m/s (1.38 to 1.46), measured on 3 May 2026 in clear water</td></tr>\n", 2200)
	b.SetBytes(int64(len(page)))
	for b.Loop() {
		d.Text(page, nil)
	}
}
