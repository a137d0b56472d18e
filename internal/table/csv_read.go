package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"underkick/internal/body"
)

// ReadCSV reads a CSV table. The first line names the columns, in any order:
// frame or time_s (or both), landmark, x_px, y_px, and, if wanted, sd_px
// (standard error per axis, px) and confidence (0..1). Fields are separated by
// comma, semicolon or tab, found from the first line; with semicolon or tab,
// decimals may be written with a comma. A row whose x_px and y_px are both
// empty is a point that is not known. The error is a *Problems unless reading
// itself failed.
func ReadCSV(r io.Reader, opt Options) (*Table, error) {
	data, err := readAll(r)
	if err != nil {
		return nil, err
	}
	return parseCSV(data, opt)
}

// csvReader holds what the header said and what was counted along the way.
type csvReader struct {
	at     [numColumns]int // field index of each column, -1 = absent
	fields int
	sep    rune
	probs  *Problems
	empty  int // rows without a place
	weak   int // rows below the confidence limit
}

func parseCSV(data []byte, opt Options) (*Table, error) {
	c := &csvReader{probs: &Problems{What: "the CSV table cannot be used"}}
	t := &Table{}
	if len(bytes.TrimSpace(data)) == 0 {
		c.probs.add(0, "it is empty; %s", csvHelp)
		return nil, c.probs
	}
	data, skipped := dropSepLine(data)
	c.sep = separator(data)
	in := csv.NewReader(bytes.NewReader(data))
	in.Comma = c.sep
	in.FieldsPerRecord = -1
	in.TrimLeadingSpace = c.sep != '\t'
	in.ReuseRecord = true
	header, err := in.Read()
	if err != nil {
		c.probs.add(1, "%v; %s", err, csvHelp)
		return nil, c.probs
	}
	c.header(header, t)
	if err := c.probs.err(); err != nil {
		return nil, err
	}
	rows := c.rows(in, skipped, opt)
	c.warn(t, opt)
	if err := t.finish(rows, c.probs); err != nil {
		return nil, err
	}
	return t, nil
}

func (c *csvReader) rows(in *csv.Reader, skipped int, opt Options) []row {
	var rows []row
	for {
		rec, err := in.Read()
		if err == io.EOF {
			return rows
		}
		if err != nil {
			line := 0
			if pe := (*csv.ParseError)(nil); errors.As(err, &pe) {
				line, err = pe.Line+skipped, pe.Err
			}
			c.probs.add(line, "%v; the rest of the table was not read", err)
			return rows
		}
		line, _ := in.FieldPos(0)
		if r, ok := c.row(rec, line+skipped, opt); ok {
			rows = append(rows, r)
		}
		if len(rows) > maxMarks {
			c.probs.add(line, "it holds more than %d marks; leave out frames outside the run", maxMarks)
			return rows
		}
	}
}

// row reads one record; false means that it holds no usable point or that a
// problem was noted.
func (c *csvReader) row(rec []string, line int, opt Options) (row, bool) {
	r := row{line: line}
	if blank(rec) {
		return r, false
	}
	if len(rec) != c.fields {
		hint := ""
		if c.sep == ',' && len(rec) > c.fields {
			hint = "; if decimals are written with a comma, put semicolons between the fields"
		}
		c.probs.add(line, "%d fields where the first line has %d%s", len(rec), c.fields, hint)
		return r, false
	}
	x, y := c.cell(rec, colX), c.cell(rec, colY)
	if x == "" && y == "" {
		c.empty++
		return r, false
	}
	before := c.probs.count()
	r.mark.X = c.number(line, colX, x)
	r.mark.Y = c.number(line, colY, y)
	l, err := body.ParseLandmark(strings.ToLower(c.cell(rec, colLandmark)))
	if err != nil {
		c.probs.add(line, "unknown landmark %q; the landmarks are %s", shorten(c.cell(rec, colLandmark)), landmarkList)
	}
	r.mark.Landmark = l
	if s := c.cell(rec, colFrame); s != "" {
		r.hasFrame = true
		r.mark.Frame = c.frame(line, s)
	}
	if s := c.cell(rec, colTime); s != "" {
		r.hasTime = true
		r.mark.Time = c.number(line, colTime, s)
	}
	if s := c.cell(rec, colSD); s != "" {
		r.mark.SD = c.number(line, colSD, s)
	}
	confidence := 1.0
	if s := c.cell(rec, colConfidence); s != "" {
		confidence = c.number(line, colConfidence, s)
		if !(confidence >= 0 && confidence <= 1) {
			c.probs.add(line, "confidence is %s; it runs from 0 to 1", shorten(s))
		}
	}
	if c.probs.count() > before || !r.check(c.probs) {
		return r, false
	}
	if confidence == 0 || confidence < opt.MinConfidence {
		c.weak++
		return r, false
	}
	return r, true
}

func (c *csvReader) cell(rec []string, col int) string {
	if c.at[col] < 0 {
		return ""
	}
	return strings.TrimSpace(rec[c.at[col]])
}

// number reads a decimal number, with a comma for the point where commas do
// not separate fields. It notes a problem and returns 0 for anything else.
func (c *csvReader) number(line, col int, s string) float64 {
	text := s
	if c.sep != ',' && strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		text = strings.Replace(s, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case err == nil && !math.IsNaN(v) && !math.IsInf(v, 0) && plainNumber(text):
		return v
	case s == "":
		c.probs.add(line, "%s is empty while the other coordinate is not; give both or leave both empty", columnNames[col])
	case strings.Contains(s, ",") && strings.Contains(s, "."):
		c.probs.add(line, "%s is %q; write numbers without marks between thousands", columnNames[col], shorten(s))
	case err == nil || errors.Is(err, strconv.ErrRange):
		c.probs.add(line, "%s is %q, not a finite number; leave the cell empty where the point is not known", columnNames[col], shorten(s))
	default:
		c.probs.add(line, "%s is %q, not a number", columnNames[col], shorten(s))
	}
	return 0
}

// plainNumber tells decimal numbers from what ParseFloat also takes: hex
// floats and underscores.
func plainNumber(s string) bool { return !strings.ContainsAny(s, "xX_pP") }

func (c *csvReader) frame(line int, s string) int {
	v := c.number(line, colFrame, s)
	if v != math.Trunc(v) || math.Abs(v) > 1e15 {
		c.probs.add(line, "frame is %q; frames are whole numbers counted from 0", shorten(s))
		return 0
	}
	return int(v)
}

func (c *csvReader) warn(t *Table, opt Options) {
	if c.empty > 0 {
		t.Warnings = append(t.Warnings, fmt.Sprintf("%d rows have no x_px and y_px and were left out", c.empty))
	}
	t.warnWeak(c.weak, opt)
}

func (t *Table) warnWeak(n int, opt Options) {
	if n > 0 {
		t.Warnings = append(t.Warnings, fmt.Sprintf("%d points were left out for their confidence (0, or below %g)", n, opt.MinConfidence))
	}
}

func blank(rec []string) bool {
	for _, s := range rec {
		if strings.TrimSpace(s) != "" {
			return false
		}
	}
	return true
}

var landmarkList = func() string {
	names := make([]string, body.NumLandmarks)
	for i := range names {
		names[i] = body.Landmark(i).String()
	}
	return strings.Join(names, ", ")
}()
