package record

import (
	"errors"
	"strings"
	"testing"
)

// A pseudonym that holds a word of the name hides nothing.
func TestPseudonymsThatTellTheName(t *testing.T) {
	for _, c := range []struct {
		pseudonym, name string
		tells           bool
	}{
		{"Otter", "Mira Tallow", false},
		{"Mira", "Mira Tallow", true},
		{"mira t", "Mira Tallow", true},
		{"Asa", "Åsa Öhrn", true},
		{"Ohrn, young", "Åsa Öhrn", true},
		{"Miranda", "Mira Tallow", false},
		{"Al", "Al Tallow", false}, // too short to be looked for
		{"", "Mira Tallow", false},
	} {
		if got := TellsName(c.pseudonym, c.name); got != c.tells {
			t.Errorf("%q for %q: %v", c.pseudonym, c.name, got)
		}
		err := Swimmer{SquadID: "q", Name: c.name, Pseudonym: c.pseudonym}.Validate()
		if faults, ok := errors.AsType[Faults](err); ok != c.tells || ok && !strings.Contains(faults.Error(), "pseudonym") {
			t.Errorf("%q for %q is taken: %v", c.pseudonym, c.name, err)
		}
	}
}

// Letters as in the Unicode character database: U+00C5 with its ring, A and U+030A, ß as ss.
func TestFoldedLetters(t *testing.T) {
	for text, want := range map[string]string{"ÅSE": "ase", "A\u030ase": "ase", "Weiß": "weiss", "Łukasz": "lukasz", "Þór": "thor", "O2": "o2", "Дим": "дим", "": ""} {
		var got []byte
		for _, r := range text {
			got = AppendFold(got, r)
		}
		if string(got) != want {
			t.Errorf("%q is folded to %q, want %q", text, got, want)
		}
	}
	if Spelled("Åse Müller") != "Aase Mueller" || Unspelled("Mueller, Aase") != "Muller, Ase" {
		t.Error("spelled with two letters")
	}
}
