package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"underkick/internal/kick"
)

// WriteSummaryCSV writes one row per measure of the run: id, value, unit, sd, n,
// low, high, reasons. A number that is not known is an empty field.
func WriteSummaryCSV(w io.Writer, r *kick.Result) error {
	rows := [][]string{{"measure", "value", "unit", "sd", "n", "low", "high", "reasons"}}
	for _, m := range r.Summary {
		value := field(m.Value)
		if m.Text != "" {
			value = m.Text
		}
		why := make([]string, len(m.Reasons))
		for i, reason := range m.Reasons {
			why[i] = reason.Text
		}
		rows = append(rows, []string{m.ID, value, m.Unit, field(m.SD), strconv.Itoa(m.N), field(m.Low), field(m.High), strings.Join(why, " ")})
	}
	return writeRows(w, rows)
}

// WriteKicksCSV writes one row per kick: its number, times in s, whether it
// counts, and every measure that is had per kick, in the order of the summary
// and with its unit in the column's name.
func WriteKicksCSV(w io.Writer, r *kick.Result) error {
	head := []string{"kick", "start_s", "bottom_s", "end_s", "counted", "why_not_counted"}
	var ids []string
	for _, m := range r.Summary {
		if hadPerKick(r.Kicks, m.ID) {
			ids = append(ids, m.ID)
			head = append(head, columnName(m.ID, m.Unit))
		}
	}
	rows := [][]string{head}
	for _, k := range r.Kicks {
		row := []string{strconv.Itoa(k.Number), field(k.Start), field(k.Bottom), field(k.End), strconv.FormatBool(k.Counted), k.Why}
		for _, id := range ids {
			if v, ok := k.Values[id]; ok {
				row = append(row, field(v))
			} else {
				row = append(row, "")
			}
		}
		rows = append(rows, row)
	}
	return writeRows(w, rows)
}

func hadPerKick(kicks []kick.Kick, id string) bool {
	for _, k := range kicks {
		if _, ok := k.Values[id]; ok {
			return true
		}
	}
	return false
}

// columnName is a measure's id with its unit, such as "toe_amplitude m".
func columnName(id, unit string) string {
	if unit == "" || unit == "1" {
		return id
	}
	return id + " " + unit
}

func field(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', 8, 64)
}

func writeRows(w io.Writer, rows [][]string) error {
	c := csv.NewWriter(w)
	if err := c.WriteAll(rows); err != nil {
		return fmt.Errorf("write the result as CSV: %w", err)
	}
	return nil
}
