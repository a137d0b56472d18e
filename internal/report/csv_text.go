package report

import (
	"strings"
	"unicode/utf8"
)

// CSVGuard stands before a text in a CSV table that a table program would take for a
// formula, or that begins with the guard itself.
const CSVGuard = "'"

// CSVGuarded are the characters that a text which gets the guard begins with: those that make
// a formula, in their wide forms too (OWASP, "CSV Injection", owasp.org), the blanks that
// some programs skip before one, and the guard.
const CSVGuarded = "=+-@\uff1d\uff0b\uff0d\uff20 \t\r\n" + CSVGuard

// CSVText returns a text that somebody typed as it goes into a cell of a CSV table: with one
// CSVGuard before it when it begins with one of CSVGuarded, else as it is. Taking one guard
// off every text that begins with one gives back what was typed, exactly. Numbers need none
// and must not get one: -0.5 is a number.
func CSVText(text string) string {
	first, _ := utf8.DecodeRuneInString(text)
	if text != "" && strings.ContainsRune(CSVGuarded, first) {
		return CSVGuard + text
	}
	return text
}
