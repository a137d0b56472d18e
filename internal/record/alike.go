package record

import (
	"slices"
	"strings"
)

// Alike reports whether two names could be taken for each other: equal but for
// capitals, spaces, signs, accents and the order of their words, or, from five
// letters on, one letter more, fewer, other, or two neighbours swapped. Two
// swimmers may share a name; a page that is about to tell them apart warns.
func Alike(a, b string) bool { return alike([]rune(plain(a)), []rune(plain(b))) }

// Namesakes returns for each name the indexes of the others that are Alike,
// rising; it reads each name once, so that a whole squad costs little.
func Namesakes(names []string) [][]int {
	sounds := make([][]rune, len(names))
	for i, n := range names {
		sounds[i] = []rune(plain(n))
	}
	out := make([][]int, len(names))
	for i := range sounds {
		for j := range sounds {
			if i != j && alike(sounds[i], sounds[j]) {
				out[i] = append(out[i], j)
			}
		}
	}
	return out
}

// alike is Alike for names made plain.
func alike(a, b []rune) bool {
	if len(a) == 0 || len(b) == 0 {
		return false
	}
	return slices.Equal(a, b) || (min(len(a), len(b)) >= 5 && oneSlip(a, b))
}

// plain is a name as it sounds: plain letters, words in order of the alphabet.
func plain(name string) string {
	words := plainWords(name, "'’")
	slices.Sort(words)
	return strings.Join(words, " ")
}

// oneSlip reports whether one insertion, deletion, replacement or swap of
// neighbours turns a into b.
func oneSlip(a, b []rune) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	switch len(b) - len(a) {
	case 0:
		if slices.Equal(a[i:][min(1, len(a)-i):], b[i:][min(1, len(b)-i):]) {
			return true
		}
		return i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && slices.Equal(a[i+2:], b[i+2:])
	case 1:
		return slices.Equal(a[i:], b[i+1:])
	}
	return false
}

// NameHolds reports whether a name holds what somebody typed to find it: every word
// typed begins a word of the name, capitals and accents aside. Nothing typed is held
// by every name.
func NameHolds(name, typed string) bool {
	words := strings.Fields(plain(name))
	for _, t := range strings.Fields(plain(typed)) {
		if !slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(w, t) }) {
			return false
		}
	}
	return true
}
