package camera

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
)

// PlaneEntry is one description of the swimmer's plane: points in the picture
// and the same points in metres, two for a plain scale, four or more for a plane.
type PlaneEntry struct {
	Frame    *int         `json:"frame,omitempty"` // picture it holds for; nil = all of a camera that stands still
	PointsPx [][2]float64 `json:"points_px"`       // px, see the package's conventions
	PointsM  [][2]float64 `json:"points_m"`        // m, X along the pool to the right of the picture, Y up
	Lens     *PlaneLens   `json:"lens,omitempty"`  // of the camera; in a list the first entry's holds for all
}

// Most that a plane file may hold; beyond it the file is not a plane file.
const (
	maxPlaneEntries = 10000
	maxPlanePoints  = 1000
)

// ParsePlane reads the text of a plane file:
//
//	{"points_px": [[x,y], ...], "points_m": [[X,Y], ...], "lens": {...}}
//
// where the lens (PlaneLens) may be left out, or a list of such objects, each with "frame", for a moving camera. All entries
// of a list must be of one kind (all scales or all planes) and name different
// frames; a list of one needs no frame. Unknown fields, wrong shapes and points
// that cannot be used are refused, naming the entry.
func ParsePlane(data []byte) ([]PlaneEntry, error) {
	raw, list, err := splitPlane(data)
	if err != nil {
		return nil, fmt.Errorf("read plane file: %w", err)
	}
	entries := make([]PlaneEntry, len(raw))
	seen := map[int]int{}
	for i, r := range raw {
		where := "read plane file"
		if list {
			where = fmt.Sprintf("read plane file: entry %d", i+1)
		}
		if entries[i], err = parseEntry(r); err != nil {
			return nil, fmt.Errorf("%s: %w", where, err)
		}
		e := entries[i]
		if (len(e.PointsPx) == 2) != (len(entries[0].PointsPx) == 2) {
			return nil, fmt.Errorf("%s: has %d points where the first has %d; use two points in every entry or four and more in every entry", where, len(e.PointsPx), len(entries[0].PointsPx))
		}
		if i > 0 && e.Lens != nil {
			return nil, fmt.Errorf("%s: has a lens; a clip has one lens, which goes into the first entry", where)
		}
		if len(raw) == 1 {
			break
		}
		if e.Frame == nil {
			return nil, fmt.Errorf("%s: has no \"frame\"; every entry of a list needs the picture it holds for", where)
		}
		if j, ok := seen[*e.Frame]; ok {
			return nil, fmt.Errorf("%s: frame %d is already entry %d; keep one", where, *e.Frame, j+1)
		}
		seen[*e.Frame] = i
	}
	return entries, nil
}

// splitPlane cuts the text into its entries.
func splitPlane(data []byte) (raw []json.RawMessage, list bool, err error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	switch t := bytes.TrimLeft(data, " \t\r\n"); {
	case len(t) == 0:
		return nil, false, errors.New("it is empty; it should hold points_px and points_m")
	case t[0] == '{':
		return []json.RawMessage{data}, false, nil
	case t[0] != '[':
		return nil, false, errors.New("it is not JSON; it should hold an object with points_px and points_m, or a list of them")
	}
	if err := json.Unmarshal(data, &raw); err != nil {
		return nil, true, fmt.Errorf("it is not valid JSON: %w", err)
	}
	if len(raw) == 0 || len(raw) > maxPlaneEntries {
		return nil, true, fmt.Errorf("it lists %d entries; 1 to %d can be used", len(raw), maxPlaneEntries)
	}
	return raw, true, nil
}

// parseEntry reads one object and tries its points.
func parseEntry(raw []byte) (PlaneEntry, error) {
	var in struct {
		Frame    *int        `json:"frame"`
		PointsPx [][]float64 `json:"points_px"`
		PointsM  [][]float64 `json:"points_m"`
		Lens     *PlaneLens  `json:"lens"`
	}
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&in); err != nil {
		return PlaneEntry{}, fmt.Errorf("it should be {\"points_px\": [[x,y], ...], \"points_m\": [[X,Y], ...]} with an optional \"frame\": %w", err)
	}
	if _, err := dec.Token(); err != io.EOF {
		return PlaneEntry{}, errors.New("something follows the closing brace; a moving camera's entries go into one list [ ... ]")
	}
	if in.PointsPx == nil || in.PointsM == nil {
		return PlaneEntry{}, errors.New("points_px or points_m is missing; both are needed")
	}
	if in.Frame != nil && *in.Frame < 0 {
		return PlaneEntry{}, fmt.Errorf("frame %d is before the film; the first picture is frame 0", *in.Frame)
	}
	e := PlaneEntry{Frame: in.Frame, Lens: in.Lens}
	var err error
	if e.PointsPx, err = pairs("points_px", in.PointsPx); err != nil {
		return PlaneEntry{}, err
	}
	if e.PointsM, err = pairs("points_m", in.PointsM); err != nil {
		return PlaneEntry{}, err
	}
	if _, err := e.View(); err != nil {
		return PlaneEntry{}, err
	}
	return e, nil
}

func pairs(name string, in [][]float64) ([][2]float64, error) {
	if len(in) > maxPlanePoints {
		return nil, fmt.Errorf("%s holds %d points; at most %d can be used", name, len(in), maxPlanePoints)
	}
	out := make([][2]float64, len(in))
	for i, p := range in {
		if len(p) != 2 {
			return nil, fmt.Errorf("%s: point %d has %d numbers; each point is [x, y]", name, i+1, len(p))
		}
		out[i] = [2]float64{p[0], p[1]}
	}
	return out, nil
}

// View returns the view of this entry alone, through its lens.
func (e PlaneEntry) View() (View, error) {
	lens, note, err := e.Lens.Lens()
	if err != nil {
		return View{}, err
	}
	v, err := e.straight(lens)
	if err != nil {
		return View{}, err
	}
	return v.through(lens, note), nil
}

// straight returns the entry's view of the straight picture.
func (e PlaneEntry) straight(l Lens) (View, error) {
	px := make([][2]float64, len(e.PointsPx))
	for i, p := range e.PointsPx {
		px[i][0], px[i][1] = l.Straight(p[0], p[1])
		if math.IsNaN(px[i][0]) {
			return View{}, pointsError("point %d lies so far outside the lens's picture that the lens cannot be undone there; is picture_px the picture's size?", i+1)
		}
	}
	return FromPoints(px, e.PointsM)
}

// through is WithLens that adds a note.
func (v View) through(l Lens, note string) View {
	if !l.Bends() {
		return v
	}
	v = v.WithLens(l)
	if note != "" {
		v.errs.Note = strings.TrimSpace(v.errs.Note + " " + note)
	}
	return v
}

// FromPlane returns the view of a plane file's entries: the only one of a camera
// that stands still, or a moving view keyed at the frames' times. timeOf returns
// a frame's presentation time, s, or an error for a frame that the clip does not
// have; it is not called for an entry without a frame.
func FromPlane(entries []PlaneEntry, timeOf func(frame int) (float64, error)) (View, error) {
	if len(entries) == 1 {
		return entries[0].View()
	}
	if len(entries) == 0 {
		return Moving(nil)
	}
	lens, note, err := entries[0].Lens.Lens()
	if err != nil {
		return View{}, err
	}
	keys := make([]KeyView, len(entries))
	for i, e := range entries {
		if e.Frame == nil {
			return View{}, fmt.Errorf("plane entry %d has no frame; every entry of a moving camera needs one", i+1)
		}
		t, err := timeOf(*e.Frame)
		if err != nil {
			return View{}, fmt.Errorf("plane entry %d: %w", i+1, err)
		}
		v, err := e.straight(lens)
		if err != nil {
			return View{}, fmt.Errorf("plane entry %d: %w", i+1, err)
		}
		keys[i] = KeyView{Time: t, View: v}
	}
	moving, err := Moving(keys)
	if err != nil {
		return View{}, err
	}
	return moving.through(lens, note), nil
}
