package table

import (
	"fmt"
	"sort"
	"strings"
)

// maxListed is how many problems are told; a table with one wrong column would
// otherwise fill the screen with the same sentence.
const maxListed = 20

// Problem is one thing wrong with a table.
type Problem struct {
	Line  int // the first in the file, from 1; 0 where no single line is to blame
	Text  string
	Again int // further lines with the very same problem
}

// Problems is the error of every reader: all that is wrong with a table, the
// first 20 different problems told in full.
type Problems struct {
	What string    // what could not be done
	List []Problem // in the order found
	More int       // further problems that are not listed
}

// Error returns one line per problem, each with its line number.
func (p *Problems) Error() string {
	var b strings.Builder
	b.WriteString(p.What)
	for i, one := range p.List {
		if i == 0 && len(p.List) == 1 && p.More == 0 {
			b.WriteString(": ")
		} else {
			b.WriteString("\n  ")
		}
		if one.Line > 0 {
			fmt.Fprintf(&b, "line %d%s: ", one.Line, again(one.Again))
		}
		b.WriteString(one.Text)
	}
	if p.More > 0 {
		fmt.Fprintf(&b, "\n  and %d more", p.More)
	}
	return b.String()
}

func again(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(" and %d more", n)
}

func (p *Problems) add(line int, format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	for i := range p.List {
		if p.List[i].Text == text {
			p.List[i].Again++
			return
		}
	}
	if len(p.List) >= maxListed {
		p.More++
		return
	}
	p.List = append(p.List, Problem{Line: line, Text: text})
}

// count returns the number of problems found so far.
func (p *Problems) count() int {
	n := len(p.List) + p.More
	for _, one := range p.List {
		n += one.Again
	}
	return n
}

// err returns p as an error, or nil when nothing is wrong.
func (p *Problems) err() error {
	if len(p.List) == 0 {
		return nil
	}
	return p
}

// shorten cuts outside text so that an error message stays readable.
func shorten(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "..."
	}
	return s
}

// text is a document with the places of its line ends, so that a line number
// costs a binary search and not a pass over the file.
type text struct {
	bytes []byte
	ends  []int // offsets of the line feeds
}

func newText(data []byte) *text {
	t := &text{bytes: data}
	for i, b := range data {
		if b == '\n' {
			t.ends = append(t.ends, i)
		}
	}
	return t
}

// line returns the line, from 1, of a byte offset.
func (t *text) line(offset int64) int {
	return 1 + sort.SearchInts(t.ends, int(max(0, offset)))
}

// shortenMessage keeps an error text of a library to one short line.
func shortenMessage(err error) string {
	s := strings.TrimPrefix(err.Error(), "json: ")
	if len(s) > 120 {
		s = strings.ToValidUTF8(s[:120], "") + "..."
	}
	return s
}
