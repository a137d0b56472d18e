package poolside

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"underkick/internal/record"
)

// wordReader reads the words of a text one by one, through the ways in which pages, scripts
// and addresses encode letters. A word is a run of letters or of digits; one in which letters
// and digits change more than once is no word of a language (an id, a sum) and stays whole.
type wordReader struct {
	text     string
	from, to int    // of the word
	folded   []byte // record.Fold of it
}

// next goes to the next word; false at the end of the text.
func (r *wordReader) next() bool {
	for i := r.to; i < len(r.text); {
		c, n := letterAt(r.text, i)
		if c == ',' && strings.HasSuffix(r.text[:i], "base64") { // a picture within a page
			i = endOfBase64(r.text, i+n)
			continue
		}
		if !ofWord(c) || accent(c) {
			i += n
			continue
		}
		r.take(i)
		return true
	}
	return false
}

func endOfBase64(text string, i int) int {
	for i < len(text) && (isASCIILetter(text[i]) || text[i] >= '0' && text[i] <= '9' || strings.IndexByte("+/=", text[i]) >= 0) {
		i++
	}
	return i
}

func isASCIILetter(b byte) bool { return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' }

// take reads the word that begins at i.
func (r *wordReader) take(i int) {
	r.from, r.folded = i, r.folded[:0]
	changes, cut, cutFolded := 0, 0, 0
	var before rune
	for i < len(r.text) {
		c, n := letterAt(r.text, i)
		if !ofWord(c) {
			break
		}
		if !accent(c) {
			if before != 0 && digit(before) != digit(c) {
				if changes++; changes == 1 {
					cut, cutFolded = i, len(r.folded)
				}
			}
			before = c
		}
		r.folded = record.AppendFold(r.folded, c)
		i += n
	}
	r.to = i
	if changes == 1 { // "Mira2", "2026mira"
		r.to, r.folded = cut, r.folded[:cutFolded]
	}
}

// follow reports whether the words that come next are those given, with nothing between that
// would part a name, and where the last of them ends.
func (r wordReader) follow(words []string) (end int, ok bool) {
	ahead := wordReader{text: r.text, from: r.from, to: r.to}
	for _, want := range words {
		i := ahead.to
		for i < len(ahead.text) {
			c, n := letterAt(ahead.text, i)
			if !between(c) {
				break
			}
			i += n
		}
		if c, _ := letterAt(ahead.text, i); i == len(ahead.text) || !ofWord(c) {
			return 0, false
		}
		if ahead.take(i); string(ahead.folded) != want {
			return 0, false
		}
	}
	return ahead.to, true
}

// goOn lets next begin at i.
func (r *wordReader) goOn(i int) { r.to = i }

// capital reports whether the word begins with a capital.
func (r wordReader) capital() bool {
	c, _ := letterAt(r.text, r.from)
	return unicode.IsUpper(c)
}

// afterBackslash reports whether the word's first letter may be the end of an escape such as
// \n.
func (r wordReader) afterBackslash() bool {
	return r.from > 0 && r.text[r.from-1] == '\\' && strings.IndexByte("nrtbf", r.text[r.from]) >= 0 && r.to > r.from+1
}

// skipLetter goes from the first letter of the word to what follows.
func (r *wordReader) skipLetter() { r.take(r.from + 1) }

func ofWord(c rune) bool {
	if c < utf8.RuneSelf {
		return isASCIILetter(byte(c)) || digit(c)
	}
	return c != utf8.RuneError && (unicode.IsLetter(c) || unicode.IsDigit(c) || accent(c))
}

// accent reports whether a character is an accent of its own.
func accent(c rune) bool { return c >= utf8.RuneSelf && unicode.Is(unicode.Mn, c) }

func digit(c rune) bool { return c >= '0' && c <= '9' || c >= utf8.RuneSelf && unicode.IsDigit(c) }

// between reports whether a character may stand between the words of one name.
func between(c rune) bool {
	return unicode.IsSpace(c) || strings.ContainsRune("_.,-+'’‘ʼ‐‑–", c)
}

// entities are the characters between words as pages write them.
var entities = []struct {
	text string
	c    rune
}{{"&#39;", '\''}, {"&#x27;", '\''}, {"&rsquo;", '’'}, {"&nbsp;", ' '}, {"&#160;", ' '}, {"&#43;", '+'}}

// letterAt returns the character at i of a text and how many bytes stand for it, read through
// HTML entities, \uXXXX and %XX.
func letterAt(text string, i int) (c rune, size int) {
	if i >= len(text) {
		return utf8.RuneError, 0
	}
	switch b := text[i]; {
	case b == '&':
		for _, e := range entities {
			if strings.HasPrefix(text[i:], e.text) {
				return e.c, len(e.text)
			}
		}
	case b == '\\':
		if i+6 <= len(text) && text[i+1] == 'u' {
			if n, ok := hexNumber(text[i+2 : i+6]); ok {
				return rune(n), 6
			}
		}
	case b == '%':
		if c, size := percentAt(text, i); size > 0 {
			return c, size
		}
	case b < utf8.RuneSelf:
		return rune(b), 1
	}
	return utf8.DecodeRuneInString(text[i:])
}

// percentAt returns the character that %XX%XX... at i stands for; size 0 where it is none.
func percentAt(text string, i int) (c rune, size int) {
	var raw []byte
	for len(raw) < utf8.UTFMax && i+3 <= len(text) && text[i] == '%' {
		n, ok := hexNumber(text[i+1 : i+3])
		if !ok {
			break
		}
		raw = append(raw, byte(n))
		i += 3
		if utf8.FullRune(raw) {
			break
		}
	}
	if c, n := utf8.DecodeRune(raw); n > 0 && c != utf8.RuneError {
		return c, 3 * n
	}
	return 0, 0
}

func hexNumber(text string) (n int, ok bool) {
	for _, c := range []byte(text) {
		switch {
		case c >= '0' && c <= '9':
			n = n<<4 | int(c-'0')
		case c >= 'a' && c <= 'f' || c >= 'A' && c <= 'F':
			n = n<<4 | int(c|0x20-'a'+10)
		default:
			return 0, false
		}
	}
	return n, true
}

// foldedWords returns the words of a name as a text is searched for them.
func foldedWords(text string) (words []string) {
	for r := (wordReader{text: text}); r.next(); {
		if len(r.folded) > 0 {
			words = append(words, string(r.folded))
		}
	}
	return words
}

// spellings returns a name as it stands and as it is written where letters with marks are
// spelled with two letters (Åse as Aase), or two as one with a mark (Aase as Ase).
func spellings(name string) []string {
	out := []string{name}
	for _, other := range []string{record.Spelled(name), record.Unspelled(name)} {
		if other != "" && !slices.Contains(out, other) {
			out = append(out, other)
		}
	}
	return out
}
