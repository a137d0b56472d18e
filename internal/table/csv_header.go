package table

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Columns of the CSV form; columns of any other name are left alone.
const (
	colFrame = iota
	colTime
	colLandmark
	colX
	colY
	colSD
	colConfidence
	numColumns
)

var columnNames = [numColumns]string{"frame", "time_s", "landmark", "x_px", "y_px", "sd_px", "confidence"}

const csvHelp = "the table needs a first line with the column names frame (or time_s), landmark, x_px, y_px; sd_px and confidence may follow"

// dropSepLine removes the line "sep=;" that spreadsheet programs put first,
// and tells how many lines it removed.
func dropSepLine(data []byte) ([]byte, int) {
	first, rest, found := bytes.Cut(data, []byte{'\n'})
	first = bytes.TrimRight(first, "\r")
	if found && len(first) == 5 && bytes.EqualFold(first[:4], []byte("sep=")) {
		return rest, 1
	}
	return data, 0
}

// separator returns whichever of tab, semicolon and comma is most frequent in
// the first line; comma where there is none.
func separator(data []byte) rune {
	first, _, _ := bytes.Cut(bytes.TrimLeft(data, "\r\n"), []byte{'\n'})
	best, count := ',', 0
	for _, sep := range []rune{',', ';', '\t'} {
		if n := bytes.Count(first, []byte(string(sep))); n > count {
			best, count = sep, n
		}
	}
	return best
}

func (c *csvReader) header(names []string, t *Table) {
	c.fields = len(names)
	for i := range c.at {
		c.at[i] = -1
	}
	var ignored []string
	for i, name := range names {
		name = strings.ToLower(strings.TrimSpace(name))
		col := slices.Index(columnNames[:], name)
		switch {
		case col < 0:
			if name != "" {
				ignored = append(ignored, strconv.Quote(shorten(name)))
			}
		case c.at[col] >= 0:
			c.probs.add(1, "the column %s stands twice; keep one", name)
		default:
			c.at[col] = i
		}
	}
	var missing []string
	for _, col := range []int{colLandmark, colX, colY} {
		if c.at[col] < 0 {
			missing = append(missing, columnNames[col])
		}
	}
	if c.at[colFrame] < 0 && c.at[colTime] < 0 {
		missing = append(missing, "frame or time_s")
	}
	if len(missing) > 0 {
		c.probs.add(1, "no column %s; %s", strings.Join(missing, ", "), csvHelp)
	}
	if len(ignored) > 0 {
		if len(ignored) > 6 {
			ignored = append(ignored[:6], "...")
		}
		t.Warnings = append(t.Warnings, fmt.Sprintf("columns not known and not used: %s", strings.Join(ignored, ", ")))
	}
}
