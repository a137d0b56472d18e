package poolside

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"underkick/internal/record"
	"underkick/internal/store"
)

// somebody is what stands for a name that more than one swimmer has, or that came a moment ago.
const somebody = "a swimmer"

// shortestPart is how many letters a part of a name has that is looked for alone.
const shortestPart = 3

// Disguise is what hides the names of all swimmers.
type Disguise struct {
	byID  map[string]string       // shown name, by swimmer id
	names map[string][]hiddenName // by first word as folded, those of most words first
}

// hiddenName is a name, or a part of one, that is looked for in texts.
type hiddenName struct {
	words []string // as folded
	shown string
	part  bool // a part of a name, which may also be a word of another meaning
	kept  bool // the name of a pool: it stays
}

func newDisguise(names []store.Numbered) *Disguise {
	d := &Disguise{byID: map[string]string{}, names: map[string][]hiddenName{}}
	for _, n := range names {
		shown := shownAs(n)
		d.byID[n.ID] = shown
		for _, spelled := range spellings(n.Name) {
			d.learn(spelled, harmless(shown))
		}
	}
	d.order()
	return d
}

// shownAs is the pseudonym, or a number where there is none or it tells the name.
func shownAs(n store.Numbered) string {
	if n.Pseudonym == "" || record.TellsName(n.Pseudonym, n.Name) {
		return fmt.Sprintf("Swimmer %d", n.Number)
	}
	return n.Pseudonym
}

// learn adds a name as spelled: whole in both orders, in one word, and its parts.
func (d *Disguise) learn(spelled, shown string) {
	var all []string
	for _, part := range strings.FieldsFunc(spelled, func(r rune) bool { return unicode.IsSpace(r) || r == ',' }) {
		words := foldedWords(part)
		all = append(all, words...)
		if utf8.RuneCountInString(strings.Join(words, "")) >= shortestPart {
			d.add(hiddenName{words: words, shown: shown, part: true})
		}
		for _, w := range words {
			if utf8.RuneCountInString(w) >= shortestPart {
				d.add(hiddenName{words: []string{w}, shown: shown, part: true})
			}
		}
	}
	back := slices.Clone(all)
	slices.Reverse(back)
	for _, order := range [][]string{all, back} {
		d.add(hiddenName{words: order, shown: shown})
		if len(order) > 1 {
			d.add(hiddenName{words: []string{strings.Join(order, "")}, shown: shown})
		}
	}
}

// add adds a name. One that two swimmers have stands for either; one that is also a whole
// name is no part.
func (d *Disguise) add(h hiddenName) {
	if len(h.words) == 0 {
		return
	}
	list := d.names[h.words[0]]
	for i, have := range list {
		if !slices.Equal(have.words, h.words) || have.kept {
			continue
		}
		if have.shown != h.shown {
			list[i].shown = somebody
		}
		list[i].part = have.part && h.part
		return
	}
	d.names[h.words[0]] = append(list, h)
}

// leave leaves the names of pools as they stand.
func (d *Disguise) leave(pools []string) {
	for _, pool := range pools {
		if words := foldedWords(pool); len(words) > 0 {
			d.names[words[0]] = append(d.names[words[0]], hiddenName{words: words, kept: true})
		}
	}
	d.order()
}

// order puts names of most words first, of as many those that stay last.
func (d *Disguise) order() {
	for _, list := range d.names {
		slices.SortStableFunc(list, func(a, b hiddenName) int {
			if c := cmp.Compare(len(b.words), len(a.words)); c != 0 || a.kept == b.kept {
				return c
			}
			if a.kept {
				return 1
			}
			return -1
		})
	}
}

// shown is how a swimmer is called while names are hidden.
func (d *Disguise) shown(id string) string {
	if name, ok := d.byID[id]; ok {
		return name
	}
	return somebody
}

// Text hides the names in a text, however their letters are cased, accented or encoded for a
// page, a script or an address: whole names always, in either order; a part of one of three
// letters or more unless it is listed in spare (in small letters). The names of pools stay.
// What is put in holds no character that means something in HTML, JSON, CSV or an address.
func (d *Disguise) Text(text string, spare map[string]bool) string {
	if len(d.names) == 0 {
		return text
	}
	var out strings.Builder
	r := wordReader{text: text}
	sent := 0
	for r.next() {
		h, end, ok := d.at(r, spare)
		if !ok && r.afterBackslash() {
			r.skipLetter()
			h, end, ok = d.at(r, spare)
		}
		if !ok {
			continue
		}
		if !h.kept {
			out.WriteString(withoutEscape(text[sent:r.from]))
			out.WriteString(h.shown)
			sent = end
		}
		r.goOn(end)
	}
	out.WriteString(text[sent:])
	return out.String()
}

// withoutEscape drops a single backslash at the end of what stands before a name: \S would be
// no escape in JSON.
func withoutEscape(before string) string {
	n := len(before) - len(strings.TrimRight(before, `\`))
	return before[:len(before)-n%2]
}

// at looks for a name that begins with the word that r is at, and returns where it ends.
func (d *Disguise) at(r wordReader, spare map[string]bool) (h hiddenName, end int, ok bool) {
	for _, h := range d.names[string(r.folded)] {
		end, ok := r.follow(h.words[1:])
		if !ok {
			continue
		}
		if h.kept || len(h.words) > 1 {
			return h, end, true
		}
		word := h.words[0]
		if h.part && spare[word] || utf8.RuneCountInString(word) < shortestPart && !r.capital() {
			continue
		}
		return h, end, true
	}
	return h, 0, false
}

// harmless drops from a shown name what would mean something in HTML, JSON, CSV or an address.
func harmless(shown string) string {
	text := strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || strings.ContainsRune("<>&\"'`\\,;%#?", r) {
			return -1
		}
		return r
	}, shown)
	if strings.TrimSpace(text) == "" {
		return somebody
	}
	return text
}
