package table

import (
	"bufio"
	"fmt"
	"io"
	"strconv"

	"underkick/internal/body"
)

// CSVHeader is the first line of what WriteCSV writes.
const CSVHeader = "frame,time_s,landmark,x_px,y_px,sd_px"

// WriteCSV writes marks or trace points as a CSV table, one row each, in the
// order given: the frame, its time with every digit that tells it from other
// times, the landmark's id, the position and its standard error with four
// decimals (a ten-thousandth of a pixel, far below any error of marking). An
// SD of 0 (not known) is written as an empty field, and so are the times of marks
// on several frames that all have time 0: they are not known. Lines end in \n.
func WriteCSV(w io.Writer, marks []body.Mark) error {
	out := bufio.NewWriter(w)
	timed := hasTimes(marks)
	line := []byte(CSVHeader + "\n") // what is written next
	for _, m := range marks {
		if _, err := out.Write(line); err != nil {
			return fmt.Errorf("write landmark table: %w", err)
		}
		line = appendRow(line[:0], m, timed)
	}
	if _, err := out.Write(line); err != nil {
		return fmt.Errorf("write landmark table: %w", err)
	}
	if err := out.Flush(); err != nil {
		return fmt.Errorf("write landmark table: %w", err)
	}
	return nil
}

func appendRow(line []byte, m body.Mark, timed bool) []byte {
	line = strconv.AppendInt(line, int64(m.Frame), 10)
	line = append(line, ',')
	if timed {
		line = strconv.AppendFloat(line, m.Time, 'f', -1, 64)
	}
	line = append(line, ',')
	line = append(line, m.Landmark.String()...)
	for _, v := range []float64{m.X, m.Y} {
		line = append(line, ',')
		line = strconv.AppendFloat(line, v, 'f', 4, 64)
	}
	line = append(line, ',')
	if m.SD > 0 {
		line = strconv.AppendFloat(line, m.SD, 'f', 4, 64)
	}
	return append(line, '\n')
}

func hasTimes(marks []body.Mark) bool {
	for _, m := range marks {
		if m.Time != 0 {
			return true
		}
	}
	return len(marks) == 0 || marks[0].Frame == marks[len(marks)-1].Frame
}
