package record

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// Fault is one field that cannot be kept as it is.
type Fault struct {
	Field string // name of the field as in forms: "birth_year"
	Text  string // what is wrong and what to write instead
}

// Faults is the error of every Validate: the fields that cannot be kept, in
// the order of the form. Find it with errors.As.
type Faults []Fault

// Error returns all faults in one line.
func (f Faults) Error() string {
	parts := make([]string, len(f))
	for i, one := range f {
		parts[i] = one.Field + ": " + one.Text
	}
	return strings.Join(parts, "; ")
}

// For returns the text for a field, empty when there is none.
func (f Faults) For(field string) string {
	for _, one := range f {
		if one.Field == field {
			return one.Text
		}
	}
	return ""
}

// err is f as an error, nil when there is no fault.
func (f Faults) err() error {
	if len(f) == 0 {
		return nil
	}
	return f
}

func (f *Faults) add(field, format string, args ...any) {
	*f = append(*f, Fault{field, fmt.Sprintf(format, args...)})
}

// Longest texts, in characters.
const (
	maxName  = 120
	maxNotes = 4000
)

func (f *Faults) text(field, value string, most int) {
	switch {
	case !utf8.ValidString(value):
		f.add(field, "holds bytes that are not text; type it again")
	case utf8.RuneCountInString(value) > most:
		f.add(field, "is longer than %d characters; shorten it", most)
	case strings.ContainsRune(value, 0):
		f.add(field, "holds a zero character; type it again")
	}
}

func (f *Faults) name(field, value string) {
	if strings.TrimSpace(value) == "" {
		f.add(field, "is empty; write a name")
		return
	}
	if strings.ContainsAny(value, "\r\n\t") {
		f.add(field, "goes over more than one line; write it in one")
	}
	f.text(field, value, maxName)
}

// number checks a value that may be 0 for not known.
func (f *Faults) number(field string, value, lo, hi float64, unit string) {
	if value == 0 {
		return
	}
	if math.IsNaN(value) || value < lo || value > hi {
		f.add(field, "is %g %s; it must lie between %g and %g %s, or stay empty", value, unit, lo, hi, unit)
	}
}

// oneOf checks a word against the words allowed; empty always passes.
func oneOf[T ~string](f *Faults, field string, value T, allowed ...T) {
	if value == "" {
		return
	}
	words := make([]string, len(allowed))
	for i, a := range allowed {
		if value == a {
			return
		}
		words[i] = string(a)
	}
	f.add(field, "is %q; choose one of %s, or leave it empty", string(value), strings.Join(words, ", "))
}

func (f *Faults) required(field, id, what string) {
	if id == "" {
		f.add(field, "is missing; choose %s", what)
	}
}
