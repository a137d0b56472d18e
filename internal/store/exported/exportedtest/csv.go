package exportedtest

import (
	"fmt"
	"strings"
)

// records reads CSV by the grammar of RFC 4180 (Shafranovich 2005, section 2) and nothing
// more: records end with CRLF, the last one too; a field is quoted whole or not at all; texts
// within quotes stay as they are.
func records(text string) (all [][]string, err error) {
	var line []string
	for text != "" {
		field, rest, err := field(text)
		if err != nil {
			return nil, fmt.Errorf("record %d: %w", len(all)+1, err)
		}
		line = append(line, field)
		if after, more := strings.CutPrefix(rest, ","); more {
			text = after
			continue
		}
		after, ends := strings.CutPrefix(rest, "\r\n")
		if !ends {
			return nil, fmt.Errorf("record %d: %.20q after a field", len(all)+1, rest)
		}
		if len(all) > 0 && len(line) != len(all[0]) {
			return nil, fmt.Errorf("record %d has %d fields, the first %d", len(all)+1, len(line), len(all[0]))
		}
		all, line, text = append(all, line), nil, after
	}
	if line != nil {
		return nil, fmt.Errorf("record %d has no end", len(all)+1)
	}
	return all, nil
}

// field reads one field and returns what follows it.
func field(text string) (field, rest string, err error) {
	quoted, is := strings.CutPrefix(text, `"`)
	if !is {
		end := strings.IndexAny(text, ",\r\n\"")
		if end < 0 {
			return "", "", fmt.Errorf("no line end after %.20q", text)
		}
		return text[:end], text[end:], nil
	}
	var b strings.Builder
	for {
		part, after, closed := strings.Cut(quoted, `"`)
		if !closed {
			return "", "", fmt.Errorf("no quote after %.20q", text)
		}
		b.WriteString(part)
		if quoted, is = strings.CutPrefix(after, `"`); !is {
			return b.String(), after, nil
		}
		b.WriteByte('"')
	}
}
