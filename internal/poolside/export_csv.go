package poolside

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"underkick/internal/report"
	"underkick/internal/store/exported"
)

// writeCSV writes a table as RFC 4180 has it, which the standard's CSV dialect follows.
func writeCSV(ctx context.Context, w io.Writer, t exportSource) error {
	var line []string
	for _, f := range t.Fields {
		if !f.Deep {
			line = append(line, f.Name)
		}
	}
	err := writeLine(w, line)
	return errors.Join(err, t.rows(ctx, func(cells []any) error {
		line = line[:0]
		for i, f := range t.Fields {
			if !f.Deep {
				line = append(line, cellText(f, cells[i]))
			}
		}
		return writeLine(w, line)
	}))
}

// writeLine writes one record. The standard library's writer is not used, because with the
// line ends of RFC 4180 it changes those within a text. A text with ; or a tab is quoted too,
// for readers that guess the separator.
func writeLine(w io.Writer, line []string) error {
	var b strings.Builder
	for i, text := range line {
		if i > 0 {
			b.WriteByte(',')
		}
		if strings.ContainsAny(text, "\",;\t\r\n") {
			text = `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
		}
		b.WriteString(text)
	}
	b.WriteString("\r\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// cellText is a cell as text. Texts are guarded against being run as formulas; cells of
// other types begin with a digit, a minus before a digit, a bracket or a letter of ours.
func cellText(f exported.Field, cell any) string {
	switch c := cell.(type) {
	case nil:
		return ""
	case float64:
		return strconv.FormatFloat(c, 'g', -1, 64)
	case json.RawMessage:
		return string(c)
	case string:
		if f.Type == "string" {
			return report.CSVText(c)
		}
	}
	return fmt.Sprint(cell)
}
