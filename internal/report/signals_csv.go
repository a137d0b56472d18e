package report

import (
	"io"
	"math"

	"underkick/internal/body"
	"underkick/internal/kick"
)

// WriteSignalsCSV writes the curves behind the measures, one row per instant of
// the uniform grid: time in s, phase in kicks, speeds in m/s, facing as a part of
// 1, angles in degrees, and every landmark relative to the hip in m (x along the
// travel line towards the hands, y across it towards the back side). What is not
// known is an empty field.
func WriteSignalsCSV(w io.Writer, r *kick.Result) error {
	s := &r.Signals
	deg := 180 / math.Pi
	columns := []signalColumn{
		{"time_s", s.T, 1},
		{"phase", s.Phase, 1},
		{"speed_m_s", s.Speed, 1},
		{"foot_speed_m_s", s.FootSpeed, 1},
		{"facing_foot", s.FacingFoot, 1},
		{"facing_shank", s.FacingShank, 1},
		{"hip_deg", s.Hip, deg},
		{"knee_deg", s.Knee, deg},
		{"ankle_deg", s.Ankle, deg},
		{"pitch_deg", s.Pitch, deg},
	}
	for l, p := range s.Points {
		if p != nil {
			name := body.Landmark(l).String()
			columns = append(columns, signalColumn{name + "_x_m", p.X, 1}, signalColumn{name + "_y_m", p.Y, 1})
		}
	}
	var present []signalColumn
	var head []string
	for _, c := range columns {
		if len(c.values) == len(s.T) {
			present, head = append(present, c), append(head, c.name)
		}
	}
	rows := [][]string{head}
	for i := range s.T {
		row := make([]string, len(present))
		for k, c := range present {
			row[k] = field(c.values[i] * c.factor)
		}
		rows = append(rows, row)
	}
	return writeRows(w, rows)
}

// signalColumn is one curve with the factor into the unit of its name.
type signalColumn struct {
	name   string
	values []float64
	factor float64
}
