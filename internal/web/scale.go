package web

import (
	"encoding/json"
	"errors"
	"net/http"

	"underkick/internal/camera"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

// setScale keeps how pixels become metres: a known length by its two ends, or a
// rectangle by its four corners and sides.
func (s *server) setScale(w http.ResponseWriter, r *http.Request) {
	s.changeRun(w, r, func(run *record.Run) record.Faults { return readScale(r, run) })
}

// scaleGrid answers with the metre grid of the scale that the form holds, kept or
// not, on the frame shown; without points with that of the kept scale.
func (s *server) scaleGrid(w http.ResponseWriter, r *http.Request) {
	run, err := s.opt.App.Run(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if points := r.FormValue("points_px"); points != "" && points != "[]" {
		if faults := readScale(r, &run); len(faults) > 0 {
			s.json(w, r, http.StatusOK, poolside.GridView{Words: faultList(faults), Lines: []poolside.GridLineView{}})
			return
		}
	}
	shown, fault := numberField(r.FormValue("shown"))
	if fault != "" {
		s.problem(w, r, http.StatusBadRequest, "There is no such frame", "The frame shown "+fault+". Load the page again.")
		return
	}
	grid, err := s.opt.App.ScaleGrid(r.Context(), run.ID, int(shown), run.Scale)
	if faults := (record.Faults{}); errors.As(err, &faults) {
		grid, err = poolside.GridView{Words: faultList(faults), Lines: []poolside.GridLineView{}}, nil
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, grid)
}

// readScale reads the form into a run's scale.
func readScale(r *http.Request, run *record.Run) (faults record.Faults) {
	var points [][2]float64
	if err := json.Unmarshal([]byte(r.FormValue("points_px")), &points); err != nil {
		return record.Faults{{Field: "points_px", Text: "are no list of points; set them on the picture again"}}
	}
	number := func(field string) float64 {
		x, fault := numberField(r.FormValue(field))
		if fault == "" && x == 0 {
			fault = "is missing; write it in metres"
		}
		if fault != "" {
			faults = append(faults, record.Fault{Field: field, Text: fault})
		}
		return x
	}
	frame, fault := numberField(r.FormValue("frame"))
	if fault != "" {
		return record.Faults{{Field: "frame", Text: fault}}
	}
	run.Scale.Lens = run.Scale.SeenThrough() // a lens belongs to the camera, whatever the scale is set by
	if r.FormValue("kind") == "rectangle" {
		set := rectangle{points: points, frame: int(frame), width: number("width_m"), height: number("height_m")}
		return set.keep(run, faults)
	}
	if len(points) != 2 {
		return record.Faults{{Field: "points_px", Text: "are not two; click both ends of the length"}}
	}
	run.Scale.Kind, run.Scale.LengthM = record.KnownLength, number("length_m")
	run.Scale.PointsPx = [2][2]float64(points)
	run.Scale.Frame = int(frame)
	return faults
}

// rectangle is what the form says of one.
type rectangle struct {
	points        [][2]float64 // px
	frame         int          // on which they were clicked
	width, height float64      // sides, m
}

// keep keeps the corners as a plane: corner 1 at the origin, the first
// side along x, and y upwards, whichever way round the corners were clicked.
func (q rectangle) keep(run *record.Run, faults record.Faults) record.Faults {
	if len(q.points) != 4 {
		return append(faults, record.Fault{Field: "points_px", Text: "are not four; click the four corners, going round"})
	}
	if len(faults) > 0 {
		return faults
	}
	plane, err := json.Marshal(camera.PlaneEntry{Frame: &q.frame, PointsPx: q.points, PointsM: rectangleMetres(q.points, q.width, q.height)})
	if err != nil {
		return append(faults, record.Fault{Field: "points_px", Text: "hold numbers that cannot be kept; set them again"})
	}
	run.Scale.Kind, run.Scale.Plane = record.Plane, plane
	return faults
}

// rectangleMetres returns the corners in the pool plane, x to the right of the
// picture and y up: sides are mirrored where the clicks went the other way.
func rectangleMetres(p [][2]float64, width, height float64) [][2]float64 {
	alongX := p[1][0] + p[2][0] - p[0][0] - p[3][0] // how far the first side goes right
	alongY := p[1][1] + p[2][1] - p[0][1] - p[3][1]
	side1, side2 := [2]float64{width, 0}, [2]float64{0, height}
	if abs(alongY) > abs(alongX) { // the first side is the upright one
		side1, side2 = [2]float64{0, width}, [2]float64{height, 0}
	}
	right1 := p[1][0]+p[2][0] >= p[0][0]+p[3][0]
	up1 := p[1][1]+p[2][1] <= p[0][1]+p[3][1]
	right2 := p[2][0]+p[3][0] >= p[0][0]+p[1][0]
	up2 := p[2][1]+p[3][1] <= p[0][1]+p[1][1]
	side1 = [2]float64{sign(right1) * side1[0], sign(up1) * side1[1]}
	side2 = [2]float64{sign(right2) * side2[0], sign(up2) * side2[1]}
	return [][2]float64{{0, 0}, side1, {side1[0] + side2[0], side1[1] + side2[1]}, side2}
}

func abs(x float64) float64 { return max(x, -x) }

func sign(positive bool) float64 {
	if positive {
		return 1
	}
	return -1
}
