package table

import (
	"encoding/json"
	"fmt"
	"io"
	"regexp"

	"underkick/internal/body"
)

// Name and version that stand at the head of our marks file.
const (
	MarksFormat  = "underkick marks"
	MarksVersion = 1
)

// marksFile is the marks file as it is written. Reading takes the same fields
// one by one, to keep their lines.
type marksFile struct {
	Format      string          `json:"format"`
	Version     int             `json:"version"`
	Clip        *clipEntry      `json:"clip,omitempty"`
	FPS         float64         `json:"fps,omitempty"`
	Who         string          `json:"who,omitempty"`
	Run         *runEntry       `json:"run,omitempty"`
	MetresPerPx float64         `json:"metres_per_px,omitempty"`
	Plane       json.RawMessage `json:"plane,omitempty"`
	Marks       []markEntry     `json:"marks"`
}

type clipEntry struct {
	Name   string `json:"name,omitempty"`
	SHA256 string `json:"sha256,omitempty"`
}

type runEntry struct {
	FirstFrame int `json:"first_frame"`
	LastFrame  int `json:"last_frame"`
}

type markEntry struct {
	Frame    *int     `json:"frame,omitempty"`
	Time     *float64 `json:"time_s,omitempty"`
	Landmark string   `json:"landmark"`
	X        *float64 `json:"x_px"`
	Y        *float64 `json:"y_px"`
	SD       float64  `json:"sd_px,omitempty"`
}

// ReadMarks reads our marks file. Unknown fields are refused: a misspelt name
// must not be lost without a word. The error is a *Problems unless reading
// itself failed.
func ReadMarks(r io.Reader) (*Table, error) {
	data, err := readAll(r)
	if err != nil {
		return nil, err
	}
	return parseMarks(newText(data))
}

func parseMarks(data *text) (*Table, error) {
	doc, probs := splitObject(data, "the marks file cannot be used")
	if err := probs.err(); err != nil {
		return nil, err
	}
	var file marksFile
	var marks, times field
	for name, f := range doc {
		into := map[string]any{
			"format": &file.Format, "version": &file.Version, "clip": &file.Clip, "fps": &file.FPS,
			"who": &file.Who, "run": &file.Run, "metres_per_px": &file.MetresPerPx,
		}[name]
		switch {
		case into != nil:
			f.decode(data, into, true, probs)
		case name == "plane":
			file.Plane = f.raw
		case name == "marks":
			marks = f
		case name == "times_s":
			times = f
		default:
			probs.add(data.line(f.offset), "unknown field %q; the fields are format, version, clip, fps, times_s, who, run, metres_per_px, plane, marks", shorten(name))
		}
	}
	checkHead(file, doc, data, probs)
	if err := probs.err(); err != nil {
		return nil, err
	}
	t := file.table()
	var frameTimes []float64
	if times.raw != nil {
		times.decode(data, &frameTimes, true, probs)
	}
	rows := readMarkRows(data, splitArray(data, marks, "marks", probs), frameTimes, probs)
	if err := t.finish(rows, probs); err != nil {
		return nil, err
	}
	return t, nil
}

var hexSum = regexp.MustCompile(`^[0-9a-f]{64}$`)

// checkHead looks at everything but the marks.
func checkHead(file marksFile, doc map[string]field, data *text, probs *Problems) {
	line := func(name string) int { return data.line(doc[name].offset) }
	switch {
	case file.Format != MarksFormat:
		probs.add(line("format"), `"format" is %q; a marks file says "format": %q`, shorten(file.Format), MarksFormat)
	case file.Version != MarksVersion:
		probs.add(line("version"), `"version" is %d; this program reads version %d`, file.Version, MarksVersion)
	}
	if _, ok := doc["marks"]; !ok {
		probs.add(0, `there is no list "marks"`)
	}
	if c := file.Clip; c != nil && c.SHA256 != "" && !hexSum.MatchString(c.SHA256) {
		probs.add(line("clip"), `"sha256" must be 64 lower-case hex digits`)
	}
	if _, ok := doc["fps"]; ok && !(file.FPS > 0 && file.FPS <= 100_000) {
		probs.add(line("fps"), `"fps" is %g; it must be above 0 and at most 100000`, file.FPS)
	}
	if _, ok := doc["metres_per_px"]; ok && !(file.MetresPerPx > 0 && file.MetresPerPx < 1000) {
		probs.add(line("metres_per_px"), `"metres_per_px" is %g; it must be above 0`, file.MetresPerPx)
	}
	if r := file.Run; r != nil && !(r.FirstFrame >= 0 && r.LastFrame >= r.FirstFrame) {
		probs.add(line("run"), `"run" goes from frame %d to %d; it must start at 0 or later and end after it starts`, r.FirstFrame, r.LastFrame)
	}
}

// table returns the table without its marks.
func (f marksFile) table() *Table {
	t := &Table{FPS: f.FPS, Who: f.Who, MetresPerPx: f.MetresPerPx, Plane: f.Plane}
	if f.Clip != nil {
		t.Clip = Clip(*f.Clip)
	}
	if f.Run != nil {
		r := Run(*f.Run)
		t.Run = &r
	}
	return t
}

func readMarkRows(data *text, list []field, frameTimes []float64, probs *Problems) []row {
	var rows []row
	for _, f := range list {
		r := row{line: data.line(f.offset)}
		var e markEntry
		if !f.decode(data, &e, true, probs) {
			continue
		}
		l, err := body.ParseLandmark(e.Landmark)
		if err != nil {
			probs.add(r.line, "unknown landmark %q; the landmarks are %s", shorten(e.Landmark), landmarkList)
			continue
		}
		if e.X == nil || e.Y == nil {
			probs.add(r.line, "x_px or y_px is missing; leave out marks whose place is not known")
			continue
		}
		r.mark = body.Mark{Landmark: l, X: *e.X, Y: *e.Y, SD: e.SD}
		if r.hasFrame = e.Frame != nil; r.hasFrame {
			r.mark.Frame = *e.Frame
		}
		if r.hasTime = e.Time != nil; r.hasTime {
			r.mark.Time = *e.Time
		} else if r.hasFrame && r.mark.Frame >= 0 && r.mark.Frame < len(frameTimes) {
			r.hasTime, r.mark.Time = true, frameTimes[r.mark.Frame]
		}
		if r.check(probs) {
			rows = append(rows, r)
		}
	}
	return rows
}

// WriteMarks writes the table as our marks file, one mark per line, every
// number with all its digits. Reading it back gives the same table.
func WriteMarks(w io.Writer, t *Table) error {
	file := marksFile{
		Format: MarksFormat, Version: MarksVersion,
		FPS: t.FPS, Who: t.Who, MetresPerPx: t.MetresPerPx, Plane: t.Plane,
	}
	if t.Clip != (Clip{}) {
		c := clipEntry(t.Clip)
		file.Clip = &c
	}
	if t.Run != nil {
		r := runEntry(*t.Run)
		file.Run = &r
	}
	head, err := json.MarshalIndent(file, "", "  ")
	if err != nil {
		return fmt.Errorf("write marks file: %w", err)
	}
	// The head ends in `"marks": null` and a brace; the marks go in its place.
	const tail = "null\n}"
	text := append(head[:len(head)-len(tail)], '[')
	for i, m := range t.Marks {
		line, err := json.Marshal(t.entry(m))
		if err != nil {
			return fmt.Errorf("write marks file: %s on frame %d: %w", m.Landmark, m.Frame, err)
		}
		if i > 0 {
			text = append(text, ',')
		}
		text = append(append(text, "\n    "...), line...)
	}
	if len(t.Marks) > 0 {
		text = append(text, "\n  "...)
	}
	if _, err := w.Write(append(text, "]\n}\n"...)); err != nil {
		return fmt.Errorf("write marks file: %w", err)
	}
	return nil
}

func (t *Table) entry(m body.Mark) markEntry {
	e := markEntry{Landmark: m.Landmark.String(), X: &m.X, Y: &m.Y, SD: m.SD}
	if t.HasFrame {
		e.Frame = &m.Frame
	}
	if t.HasTime {
		e.Time = &m.Time
	}
	return e
}
