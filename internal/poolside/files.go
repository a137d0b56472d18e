package poolside

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"path/filepath"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/film"
	"underkick/internal/table"
)

// FileRequest asks for a measurement of files, past the store.
type FileRequest struct {
	Clip    string       // film; "" with Traces
	Film    *film.Engine // reads Clip
	Marks   string       // file of marks on Clip
	Mapping string       // keypoint map of COCO marks, "" for none
	Traces  string       // landmark table without film

	FPS         float64 // of a table without times
	TrueFPS     float64 // at which a slow-motion clip was really filmed; 0 = as the file plays
	MetresPerPx float64 // plain scale; 0 = Plane or the table's own or body height
	Plane       string  // plane file, "" for none
	Subject     body.Subject
	Supine      bool

	Guess *FileGuess // beside the marks of Clip, which may then be none; nil = marks alone

	Shutter  float64               // time for which the shutter is open, s of true time; 0 = not known
	Steady   bool                  // follow a moving camera by what stands still in the pictures of Clip
	Progress func(done, total int) // of steadying, pictures; nil for none
}

// MeasureFiles measures one clip or one landmark table. Errors about the files
// wrap ErrInput or are the reader's own (*table.Problems, film.ErrRefused).
func MeasureFiles(ctx context.Context, req FileRequest) (*Measured, error) {
	if req.Guess != nil {
		return measureGuessed(ctx, req)
	}
	name := req.Marks
	if req.Clip == "" {
		name = req.Traces
	}
	marks, err := readTable(name, req.Mapping)
	if err != nil {
		return nil, err
	}
	in := chainInput{Subject: req.Subject, Supine: req.Supine, Shutter: req.Shutter}
	warnings := marks.Warnings
	if req.Clip == "" {
		err = in.placeWithoutFilm(marks, req.FPS)
	} else {
		warnings, err = in.placeOnFilm(ctx, marks, req)
	}
	if err != nil {
		return nil, err
	}
	notes, err := in.scaleOrSteady(ctx, req, marks)
	if err != nil {
		return nil, err
	}
	out, err := measure(ctx, in)
	if err != nil {
		return nil, err
	}
	out.Result.Warnings = append(out.Result.Warnings, append(warnings, notes...)...)
	return out, nil
}

// scaleOrSteady sets the view of in: of a camera that stands still, or of one that moves.
func (in *chainInput) scaleOrSteady(ctx context.Context, req FileRequest, marks *table.Table) (notes []string, err error) {
	if req.Steady {
		return in.steady(ctx, req, marks)
	}
	return nil, in.scale(req, marks)
}

// IndexFile lists the frames of a clip outside the store.
func IndexFile(ctx context.Context, e *film.Engine, path string) (*film.Index, error) {
	index, err := e.Index(ctx, path, nil)
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrPermission) {
		return nil, openError(path, err)
	}
	return index, err
}

// placeWithoutFilm takes times from the table itself or from a rate.
func (in *chainInput) placeWithoutFilm(t *table.Table, fps float64) error {
	timed, err := t.AtRate(fps)
	if err != nil {
		return inputf("%w (--fps)", err)
	}
	in.Marks, in.Frames, in.Times = timed.Marks, timed.Frames(), timed.Times()
	in.fillGaps()
	return nil
}

// fillGaps gives a table with a steady rate the frames between its marks, so
// that a table of few marks is filled like marks on film. Without film only a
// whole multiple of the smallest spacing can be known to be a frame.
func (in *chainInput) fillGaps() {
	n := len(in.Frames)
	if n < 3 {
		return
	}
	first, last := in.Frames[0], in.Frames[n-1]
	span := last - first
	if span == n-1 || span <= 0 || span > film.MaxFrames*10 {
		return
	}
	step := (in.Times[n-1] - in.Times[0]) / float64(span)
	for i, f := range in.Frames {
		if math.Abs(in.Times[i]-in.Times[0]-step*float64(f-first)) > step/2 {
			return // frame numbers and times do not go together: keep what was given
		}
	}
	known := make(map[int]float64, n)
	for i, f := range in.Frames {
		known[f] = in.Times[i]
	}
	start := in.Times[0]
	in.Frames, in.Times = make([]int, 0, span+1), make([]float64, 0, span+1)
	for f := first; f <= last; f++ {
		t, ok := known[f]
		if !ok {
			t = start + step*float64(f-first)
		}
		in.Frames, in.Times = append(in.Frames, f), append(in.Times, t)
	}
}

// placeOnFilm takes times from the clip's own pictures.
func (in *chainInput) placeOnFilm(ctx context.Context, t *table.Table, req FileRequest) (warnings []string, err error) {
	index, factor, err := timedIndex(ctx, req.Film, req.Clip, req.TrueFPS)
	if err != nil {
		return nil, err
	}
	film := frameTimes(index)
	placed, err := t.OnFilm(film)
	if err != nil {
		return nil, inputf("put the marks of %s on %s: %w", req.Marks, req.Clip, err)
	}
	if err := outsidePicture(placed, index.Info.Width, index.Info.Height); err != nil {
		return nil, err
	}
	in.takeRange(placed, film, factor)
	in.Clip.FrameRate = index.Info.FPS / factor
	for _, w := range index.Info.Warnings {
		warnings = append(warnings, w.Text)
	}
	return append(warnings, placed.Warnings...), nil
}

// frameTimes returns the presentation times of a clip's frames, s of film time.
func frameTimes(index *film.Index) []float64 {
	times := make([]float64, len(index.Frames))
	for i, f := range index.Frames {
		times[i] = f.Time
	}
	return times
}

// outsidePicture refuses marks that lie outside the picture.
func outsidePicture(t *table.Table, widthPx, heightPx int) error {
	out := table.Outside(t.Marks, widthPx, heightPx)
	if len(out) == 0 {
		return nil
	}
	return inputf("%d of the marks lie outside the picture (%d by %d px), the first %v on frame %d at (%.1f, %.1f). Marks count in pixels of the upright full-size picture; scale them to it",
		len(out), widthPx, heightPx, out[0].Landmark, out[0].Frame, out[0].X, out[0].Y)
}

// takeRange takes the table's own run, else the frames from the first mark to the
// last, in true time. Marks outside the run are left out.
func (in *chainInput) takeRange(t *table.Table, film []float64, factor float64) {
	marked := t.Frames()
	if len(marked) == 0 {
		return
	}
	first, last := marked[0], marked[len(marked)-1]
	if t.Run != nil && t.Run.LastFrame < len(film) {
		first, last = t.Run.FirstFrame, t.Run.LastFrame
	}
	in.Frames, in.Times = framesOf(film, first, last, factor)
	in.takeMarks(t.Marks)
}

// framesOf lists the frames first..last with their true times.
func framesOf(film []float64, first, last int, factor float64) (frames []int, times []float64) {
	for f := first; f <= last; f++ {
		frames, times = append(frames, f), append(times, film[f]*factor)
	}
	return frames, times
}

// timedIndex lists the frames of a clip outside the store, with the factor from
// its film time to true time.
func timedIndex(ctx context.Context, e *film.Engine, path string, trueFPS float64) (index *film.Index, factor float64, err error) {
	if index, err = IndexFile(ctx, e, path); err != nil {
		return nil, 0, err
	}
	factor, err = trueTime(&index.Info, trueFPS)
	return index, factor, err
}

// trueTime returns the factor from film time to true time. A file that says it
// was filmed faster than it plays must be confirmed: the speeds hang on it.
func trueTime(info *film.Info, trueFPS float64) (float64, error) {
	if trueFPS > 0 {
		return info.FPS / trueFPS, nil
	}
	if _, slow := info.SlowMotion(); slow {
		return 0, inputf("%s plays at %.4g pictures per second but says it was filmed at %.4g; speeds hang on which is true. Give --true-fps %.4g (slow motion) or --true-fps %.4g (plays as filmed)",
			info.Name, info.FPS, info.CaptureFPS, info.CaptureFPS, info.FPS)
	}
	return 1, nil
}

// scale takes the scale of the request, else the table's own.
func (in *chainInput) scale(req FileRequest, t *table.Table) error {
	text := json.RawMessage(nil)
	switch {
	case req.MetresPerPx > 0:
		v := camera.FromScale(req.MetresPerPx)
		in.View = &v
		return nil
	case req.Plane != "":
		read, err := readSmall(req.Plane)
		if err != nil {
			return err
		}
		text = read
	case t.MetresPerPx > 0:
		v := camera.FromScale(t.MetresPerPx)
		in.View = &v
		return nil
	default:
		text = t.Plane
	}
	if text == nil {
		return nil
	}
	view, err := in.planeView(text)
	if err != nil {
		return inputf("read the plane %s: %w", filepath.Base(req.Plane), err)
	}
	in.View = &view
	return nil
}

// planeView reads a plane file's text; its frames are this clip's.
func (in *chainInput) planeView(text []byte) (camera.View, error) {
	entries, err := camera.ParsePlane(text)
	if err != nil {
		return camera.View{}, err
	}
	return camera.FromPlane(entries, in.timeOf)
}

// timeOf returns the true time of a frame of the run.
func (in *chainInput) timeOf(frame int) (float64, error) {
	n := len(in.Frames)
	if n == 0 || frame < in.Frames[0] || frame > in.Frames[n-1] {
		// A plane may be keyed outside the run, but only where the rate tells when.
		if n < 2 {
			return 0, fmt.Errorf("frame %d is not in the run", frame)
		}
		step := (in.Times[n-1] - in.Times[0]) / float64(in.Frames[n-1]-in.Frames[0])
		return in.Times[0] + step*float64(frame-in.Frames[0]), nil
	}
	for i, f := range in.Frames {
		if f >= frame {
			return in.Times[i], nil
		}
	}
	return 0, fmt.Errorf("frame %d is not in the run", frame)
}

// WriteTraces writes every landmark at every frame as CSV.
func (m *Measured) WriteTraces(w io.Writer) error { return table.WriteCSV(w, m.Traces()) }
