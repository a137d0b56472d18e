package record

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

var plainLetters = sync.OnceValue(func() map[rune]string {
	table := map[rune]string{}
	for i := 0; i < len(accentPairs); i += 2 {
		c, _ := utf8.DecodeRuneInString(accentPairs[i])
		table[c] = accentPairs[i+1]
	}
	return table
})

// AppendFold appends a letter as names are compared: small, without its accent; a combining
// accent of its own is dropped.
func AppendFold(dst []byte, c rune) []byte {
	switch c = unicode.ToLower(c); {
	case c < utf8.RuneSelf:
		return append(dst, byte(c))
	case unicode.Is(unicode.Mn, c):
		return dst
	}
	if plain, ok := plainLetters()[c]; ok {
		return append(dst, plain...)
	}
	return utf8.AppendRune(dst, c)
}

var (
	spelled   = strings.NewReplacer("ä", "ae", "Ä", "Ae", "ö", "oe", "Ö", "Oe", "ü", "ue", "Ü", "Ue", "ø", "oe", "Ø", "Oe", "å", "aa", "Å", "Aa")
	unspelled = strings.NewReplacer("ae", "a", "oe", "o", "ue", "u", "aa", "a", "Ae", "A", "Oe", "O", "Ue", "U", "Aa", "A")
)

// Spelled returns a name with the letters that some languages write as two so written: Åse as
// Aase.
func Spelled(name string) string { return spelled.Replace(name) }

// Unspelled is the other way round, the mark dropped: Mueller as Muller.
func Unspelled(name string) string { return unspelled.Replace(name) }

// TellsName reports whether a pseudonym holds a word of three letters or more of a name,
// capitals and accents aside.
func TellsName(pseudonym, name string) bool {
	words := strings.Fields(plain(pseudonym))
	for _, n := range strings.Fields(plain(name)) {
		for _, w := range words {
			if w == n && utf8.RuneCountInString(n) >= 3 {
				return true
			}
		}
	}
	return false
}
