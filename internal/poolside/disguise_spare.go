package poolside

import (
	"fmt"
	"maps"
	"sync"

	"underkick/internal/kick"
	"underkick/internal/practice"
)

// ownWords are the words of the measures and the drills.
var ownWords = sync.OnceValue(func() map[string]bool {
	words := map[string]bool{}
	for _, text := range []string{
		"january february march april may june july august september october november december",
		fmt.Sprintf("%+v", kick.Definitions()), fmt.Sprintf("%+v", practice.Library()),
	} {
		for _, w := range foldedWords(text) {
			words[w] = true
		}
	}
	return words
})

// OwnWords returns, in small letters, the words that a swimmer's name does not make a
// pseudonym of where they stand alone: those of the measures and drills, of the months, and of
// the texts given, such as those of pages: a swimmer called Mark does not change every button
// that says Mark.
func OwnWords(texts ...string) map[string]bool {
	words := maps.Clone(ownWords())
	for _, text := range texts {
		for _, w := range foldedWords(text) {
			words[w] = true
		}
	}
	return words
}
