package web

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"log/slog"
	"math"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/drawing"
	"underkick/internal/kick"
	"underkick/internal/kick/kicktest"
	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

// fixture answers the use cases from a squad that is made here: what the pages
// show of it is compared with golden files. The browser test and the end-to-end
// tests run on the real thing.
type fixture struct {
	lessonFixture
	privacyFixture
	keepFixture
	aims         goalFixture
	moved        []string // what was put right
	mu           sync.Mutex
	squads       []record.Squad
	swimmer      record.Swimmer
	run          record.Run
	marks        []poolside.MarkView
	seq          int64
	taken        []byte // content of the last clip brought in
	fps          float64
	slow         poolside.SlowMotionView
	nothingToAsk bool
	job          poolside.JobView
	layers       drawing.Switches
	guess        poolside.GuessView
	fail         error // answered by everything when set

	result  *kick.Result
	finding *limit.Finding

	worth     poolside.WorthView
	lens      poolside.LensView
	steady    poolside.SteadyView
	poor      bool   // the run is too poor for the model
	reference string // last one named
	clips     clipFixture
	again     int // estimates begun anew
	chosen    []poolside.RunChoice

	gave      []poolside.Giving
	changed   []poolside.GivenChange
	keptDrill record.OwnDrill
}

const (
	fixtureFrames = 313
	fixtureRate   = 120.0
	pxPerM        = 330.0
)

var fixtureMeasured = sync.OnceValues(func() (*kick.Result, error) {
	swimmer := kicktest.Reference()
	swimmer.Size = func(n int) float64 { return 1 + 0.04*float64(n%3-1) }
	m := swimmer.Fitted(kicktest.Times(0, (fixtureFrames-1)/fixtureRate, fixtureRate))
	return kick.MeasureRun(context.Background(), m, swimmer.Subject, kick.Options{Seed: 7})
})

func newFixture(t *testing.T) *fixture {
	t.Helper()
	r, err := fixtureMeasured()
	if err != nil {
		t.Fatal(err)
	}
	f := &fixture{
		squads:  []record.Squad{{ID: "q1", Name: "Harbour Juniors"}},
		swimmer: record.Swimmer{ID: "w1", SquadID: "q1", Name: "Mira Okonjo", Sex: record.Female, BirthYear: 2009, HeightM: 1.72, MassKg: 61, Level: record.National, Habit: record.Prone},
		run: record.Run{
			ID: "r1", ClipID: "c1", SwimmerID: "w1", ToFrame: fixtureFrames - 1, Effort: record.Max, Start: record.PushOff,
			Position: record.Prone, Scale: record.Scale{Kind: record.KnownLength, LengthM: 1, PointsPx: [2][2]float64{{100, 600}, {430, 600}}},
		},
		job:    poolside.JobView{ID: "j1", Doing: "taking the pictures", Fraction: 0.4, State: "running", ClipID: "c1"},
		result: r,
	}
	f.finding = limit.Find(limit.Input{
		Now:    limit.Run{ID: "r1", Visit: "v1", When: "3 May 2026", Result: r, Conditions: limit.Conditions{Effort: "max", Start: "push-off", Position: "prone"}},
		Person: limit.Person{BirthYear: 2009, Sex: body.Female, Level: limit.National}, Year: 2026,
		Worth: fixtureWorth(),
	})
	f.worth = poolside.WorthView{
		State: poolside.WorthReady, Result: fixtureWorth(), Reference: &poolside.RunName{ID: "r0", When: "8 March 2026"},
		Choices: []poolside.ReferenceChoice{
			{RunName: poolside.RunName{ID: "r0", When: "8 March 2026", Speed: "1.60 m/s"}, Chosen: true, Warn: []string{"State the effort of both runs."}},
			{RunName: poolside.RunName{ID: "easy", When: "1 March 2026", Speed: "1.10 m/s"}, Why: []string{"The effort differs: max now, easy then."}},
		},
	}
	return f
}

var facts = record.Facts{WidthPx: 1280, HeightPx: 720, Frames: fixtureFrames, DurationS: fixtureFrames / fixtureRate, MeanFPS: fixtureRate, Codec: "h264", Engine: "native"}

func (f *fixture) clip() record.Clip {
	return record.Clip{ID: "c1", VisitID: "v1", SwimmerID: "w1", Name: "lane4.mp4", Size: 1 << 20, Facts: facts}
}

func (f *fixture) visit() record.Visit {
	return record.Visit{ID: "v1", SquadID: "q1", On: "2026-05-03", Pool: "Harbour Baths"}
}

func (f *fixture) speed() *kick.Measure {
	m, _ := f.result.Measure("speed")
	return &m
}

func (f *fixture) Squad(context.Context) (poolside.SquadView, error) {
	if f.fail != nil {
		return poolside.SquadView{}, f.fail
	}
	row := poolside.SwimmerRow{
		ID: "w1", Name: f.swimmer.Name, LastVisit: "2026-05-03", LastRunID: "r1", Finding: f.finding.Word, Speed: f.speed(), Measured: 3,
		Trend: []poolside.TrendPoint{{On: "2026-03-01", Value: 1.21, Low: 1.15, High: 1.27, Runs: 1}, {On: "2026-04-01", Value: 1.3, Low: 1.25, High: 1.35, Runs: 2}, {On: "2026-05-03", Value: 1.4, Low: 1.34, High: 1.46, Runs: 1}},
	}
	plain := poolside.SwimmerRow{ID: "w2", Name: "Mira Okonja", Alike: []string{f.swimmer.Name}}
	var view poolside.SquadView
	for i, q := range f.squads {
		section := poolside.SquadSection{ID: q.ID, Name: q.Name}
		if i == 0 {
			section.Rows = []poolside.SwimmerRow{row, plain}
		}
		view.Squads = append(view.Squads, section)
	}
	return view, nil
}

func (f *fixture) AddSquad(_ context.Context, q record.Squad) (string, error) {
	q.ID = fmt.Sprintf("q%d", len(f.squads)+1)
	f.squads = append(f.squads, q)
	return q.ID, q.Validate()
}

func (f *fixture) Swimmer(_ context.Context, id string) (poolside.SwimmerView, error) {
	if id != f.swimmer.ID {
		return poolside.SwimmerView{}, poolside.ErrNotFound
	}
	job := f.job
	return poolside.SwimmerView{
		Swimmer: f.swimmer, Squad: f.squads[0], Sentence: f.finding.Sentence, LastRun: "r1",
		Visits: []poolside.VisitView{{Visit: f.visit(), Clips: []poolside.ClipRow{
			{Clip: f.clip(), Runs: []poolside.RunRow{{Run: f.run, Marks: 84, Sentence: f.finding.Sentence, Speed: f.speed()}}},
			{Clip: record.Clip{ID: "c2", Name: "lane5 <2>.mp4"}, Job: &job},
		}}},
	}, nil
}

func (f *fixture) AddSwimmer(_ context.Context, w record.Swimmer) (string, []string, error) {
	w.ID = "w3"
	f.swimmer = w
	return w.ID, nil, w.Validate()
}

func (f *fixture) UpdateSwimmer(_ context.Context, w record.Swimmer) ([]string, error) {
	if err := w.Validate(); err != nil {
		return nil, err
	}
	f.swimmer = w
	return nil, nil
}

func (f *fixture) BringIn(_ context.Context, in poolside.BringIn) (poolside.BroughtIn, error) {
	content, err := io.ReadAll(in.Content)
	if err != nil {
		return poolside.BroughtIn{}, err
	}
	if bytes.HasPrefix(content, []byte("not a film")) {
		return poolside.BroughtIn{}, fmt.Errorf("%s was not kept: it is not a film: %w", in.FileName, poolside.ErrInput)
	}
	if !in.On.Valid() {
		return poolside.BroughtIn{}, record.Faults{{Field: "on", Text: "is no day; write it as YYYY-MM-DD"}}
	}
	f.taken, f.fps = content, in.TrueFPS
	return poolside.BroughtIn{ClipID: "c1", JobID: "j1"}, nil
}

func (f *fixture) Job(_ context.Context, id string) (poolside.JobView, error) {
	if id != f.job.ID {
		return poolside.JobView{}, poolside.ErrNotFound
	}
	return f.job, nil
}

func (f *fixture) CancelJob(_ context.Context, id string) error {
	if id != f.job.ID {
		return poolside.ErrNotFound
	}
	f.job.State = "cancelled"
	return nil
}

func (f *fixture) ReadAgain(_ context.Context, clipID string) (string, error) {
	if clipID != "c1" {
		return "", poolside.ErrNotFound
	}
	f.job.State = "waiting"
	return f.job.ID, nil
}

func (f *fixture) FilmNote() string { return "" }

// Picture is plain water, a little lighter towards the surface.
func (f *fixture) Picture(_ context.Context, clipID string, n int) ([]byte, error) {
	if picture, ok := comparedPicture(clipID, n); ok {
		return picture, nil
	}
	if clipID != "c1" || n >= fixtureFrames {
		return nil, poolside.ErrNotFound
	}
	img := image.NewRGBA(image.Rect(0, 0, 320, 180))
	for y := range 180 {
		for x := range 320 {
			img.Set(x, y, color.RGBA{uint8(70 - y/6), uint8(140 - y/4 + (x+n)%7), uint8(170 - y/5), 255})
		}
	}
	var b bytes.Buffer
	err := jpeg.Encode(&b, img, nil)
	return b.Bytes(), err
}

func (f *fixture) SetTrueFPS(_ context.Context, _ string, fps float64) error {
	f.fps = fps
	return nil
}

func (f *fixture) Run(_ context.Context, id string) (record.Run, error) {
	if id != f.run.ID {
		return record.Run{}, poolside.ErrNotFound
	}
	return f.run, nil
}

func (f *fixture) UpdateRun(_ context.Context, r record.Run) error {
	if err := r.Validate(fixtureFrames); err != nil {
		return err
	}
	f.run = r
	return nil
}

func (f *fixture) Marking(_ context.Context, id string) (poolside.MarkingView, error) {
	if id != f.run.ID {
		return poolside.MarkingView{}, poolside.ErrNotFound
	}
	v := poolside.MarkingView{
		Swimmer: f.swimmer, Visit: f.visit(), Clip: f.clip(), Run: f.run, WidthPx: 1280, HeightPx: 720,
		Lens: f.lens, Steady: f.steady, Scale: poolside.ScaleView{Known: true, Words: "known length 1.00 m", PxPerM: pxPerM}, Marks: f.marksView(), SlowMotion: f.slow,
		Guess: poolside.GuessView{State: poolside.GuessNone, Words: "Show the two points."},
	}
	if f.guess.State != "" {
		v.Guess = f.guess
	}
	for i := range fixtureFrames {
		v.Frames = append(v.Frames, poolside.FrameView{N: i, Time: float64(i) / fixtureRate})
	}
	for i, id := range []string{"toe", "ankle", "knee", "hip", "shoulder", "fingertip"} {
		v.Landmarks = append(v.Landmarks, poolside.LandmarkView{ID: id, Key: fmt.Sprint(i + 1), Sentence: "Where a hand puts the " + id + ".", Needed: id != "fingertip"})
	}
	return v, nil
}

// marksView holds the marks and, as traces, the course of the measured swimmer.
func (f *fixture) marksView() poolside.MarksView {
	f.mu.Lock()
	defer f.mu.Unlock()
	v := poolside.MarksView{Seq: f.seq, Marks: append([]poolside.MarkView{}, f.marks...), CanUndo: len(f.marks) > 0, Traces: map[string]poolside.TraceView{}, Note: "Mark the toe once more."}
	v.Next = &poolside.NextView{Frame: 7, Landmarks: []string{"toe", "ankle"}, Others: []int{3}, Why: "This frame helps most."}
	v.Meter = poolside.MeterView{Speed: 1, Sweep: 0.994, Build: 0.5, Facing: 0.2, Enough: "Enough for speed."}
	if f.nothingToAsk {
		v.Next = nil
	}
	for _, l := range []body.Landmark{body.Toe, body.Ankle, body.Knee, body.Hip, body.Shoulder} {
		var tr poolside.TraceView
		for i := range fixtureFrames {
			p, sd := f.pictured(l, float64(i)/fixtureRate), 4.0
			tr.XPx, tr.YPx, tr.SDPx = append(tr.XPx, &p.X), append(tr.YPx, &p.Y), append(tr.SDPx, &sd)
		}
		v.Traces[l.String()] = tr
	}
	return v
}

// pictured puts a landmark of the measured swimmer on the picture.
func (f *fixture) pictured(l body.Landmark, t float64) drawing.Point {
	s := f.result.Signals
	pts := s.Points[l]
	i := 0
	for i < len(s.T)-1 && s.T[i] < t {
		i++
	}
	return drawing.Point{X: 700 + pxPerM*pts.X[i], Y: 330 - pxPerM*pts.Y[i]}
}

func (f *fixture) Mark(_ context.Context, id, _ string, act poolside.MarkAction) (poolside.MarksView, error) {
	if id != f.run.ID {
		return poolside.MarksView{}, poolside.ErrNotFound
	}
	switch act.Do {
	case "place":
		if act.XPx > 1280 {
			return poolside.MarksView{}, fmt.Errorf("the toe was put outside the picture: %w", poolside.ErrInput)
		}
		f.mu.Lock()
		f.marks = append(f.marks, poolside.MarkView{Frame: act.Frame, Landmark: act.Landmark, XPx: act.XPx, YPx: act.YPx})
		f.seq++
		f.mu.Unlock()
	case "undo":
		f.mu.Lock()
		f.marks = f.marks[:max(0, len(f.marks)-1)]
		f.seq++
		f.mu.Unlock()
	default:
		return poolside.MarksView{}, fmt.Errorf("%w: %q", poolside.ErrAction, act.Do)
	}
	return f.marksView(), nil
}

// The fixture's guess goes from none to running to stopped; a start off the run is refused.
func (f *fixture) Guess(_ context.Context, id string) (poolside.GuessView, error) {
	if id != f.run.ID {
		return poolside.GuessView{}, poolside.ErrNotFound
	}
	if f.guess.State == "" {
		f.guess = poolside.GuessView{State: poolside.GuessNone, Words: "Show the two points."}
	}
	return f.guess, nil
}

func (f *fixture) StartGuess(ctx context.Context, id string, s poolside.GuessStart) (poolside.GuessView, error) {
	if s.Frame > f.run.ToFrame {
		return poolside.GuessView{}, fmt.Errorf("frame %d is not among the frames: %w", s.Frame, poolside.ErrInput)
	}
	f.guess = poolside.GuessView{State: poolside.GuessRunning, Fraction: 0.25, Words: "Guessing <here>."}
	return f.Guess(ctx, id)
}

func (f *fixture) GuessOn(ctx context.Context, id string) (poolside.GuessView, error) {
	return f.StartGuess(ctx, id, poolside.GuessStart{})
}

func (f *fixture) CancelGuess(context.Context, string) error {
	f.guess = poolside.GuessView{State: poolside.GuessStopped, GoOn: true, Words: "Stopped."}
	return nil
}

func (f *fixture) SetGuessing(_ context.Context, on bool) error {
	f.guess = poolside.GuessView{State: poolside.GuessOff, Words: "Switched off."}
	if on {
		f.guess = poolside.GuessView{}
	}
	return nil
}

func (f *fixture) ImportMarks(_ context.Context, _, _ string, file, _ io.Reader) ([]string, error) {
	content, err := io.ReadAll(file)
	if err != nil {
		return nil, err
	}
	if bytes.Contains(content, []byte("elbow patch")) {
		return nil, fmt.Errorf("read the marks: line 2: unknown landmark: %w", poolside.ErrInput)
	}
	f.taken = content
	if bytes.Contains(content, []byte("other clip")) {
		return []string{"The marks say they belong to another <clip>."}, nil
	}
	return nil, nil
}

func (f *fixture) WriteMarks(_ context.Context, _ string, w io.Writer) error {
	_, err := io.WriteString(w, `{"marks":[]}`)
	return err
}

func (f *fixture) Kick(_ context.Context, id string, chosen int) (poolside.KickView, error) {
	if id != f.run.ID {
		return poolside.KickView{}, poolside.ErrNotFound
	}
	v := poolside.KickView{
		Swimmer: f.swimmer, Visit: f.visit(), Clip: f.clip(), Run: f.run, Result: f.result, Finding: f.finding,
		Chosen: 2, Own: []limit.Run{{ID: "r0", When: "8 March 2026", Result: f.result}, {ID: "r1", When: "3 May 2026", Result: f.result}},
		Worth: f.worth, Layers: f.layers, Scale: poolside.ScaleView{Known: true, Words: "known length 1.00 m"}, Warnings: []string{"A warning <of the run>."},
	}
	if v.Steady = f.steady; f.steady.State == poolside.SteadyWorking {
		v.Problem, v.Result, v.Finding = "The camera has not been steadied yet.", nil, nil
	}
	if chosen > 0 {
		v.Chosen = chosen
	}
	for _, k := range f.result.Kicks {
		if k.Number == v.Chosen {
			v.Stills = f.stills(k)
		}
	}
	return v, nil
}

func (f *fixture) stills(k kick.Kick) []poolside.StillView {
	run := f.drawn()
	frame := drawing.Frame{
		WidthPx: 1280, HeightPx: 720, Kick: k.Number, KeepOff: true,
		Crop: drawing.Crop{X: 300, Y: 130, W: 520, H: 390},
	}
	var out []poolside.StillView
	for _, m := range k.Moments.List() {
		i := drawing.Nearest(run.Motion.T, m.T)
		out = append(out, poolside.StillView{
			Moment: m.Name, Upkick: m.Upkick, Time: m.T, Frame: int(math.Round(m.T * fixtureRate)),
			Crop: frame.Crop, Scene: run.Scene(i, f.layers, frame), Caption: fixtureCaption(m.Name), Facing: true,
		})
	}
	return out
}

// fixtureCaption is what captions say at a moment.
func fixtureCaption(moment string) []string {
	if moment == "drive" || moment == "drive-up" {
		return []string{"foot and shank face back over the kick 29\u00a0% (25 to 33\u00a0%)"}
	}
	return []string{"knees bent most 72° (70 to 74°)"}
}

// drawn is the fixture's run as it is drawn: where pictured puts it.
func (f *fixture) drawn() *drawing.Run {
	s := f.result.Signals
	run := &drawing.Run{Motion: body.Motion{T: s.T}, View: camera.FromScale(1 / pxPerM), Result: f.result}
	for l, pts := range s.Points {
		if pts == nil {
			continue
		}
		path := &body.Path{X: make([]float64, len(s.T)), Y: make([]float64, len(s.T))}
		for i := range s.T {
			path.X[i], path.Y[i] = 700/pxPerM+pts.X[i], pts.Y[i]-330/pxPerM
		}
		run.Motion.Paths[l] = path
	}
	return run
}

// serve starts the pages over a fixture.
func serve(t *testing.T, f *fixture, opt Options) *httptest.Server {
	t.Helper()
	opt.App, opt.Licence, opt.Notices, opt.Version = f, "the licence's text", "the notices", "test"
	opt.Log = slog.New(slog.NewTextHandler(t.Output(), nil))
	h, err := New(opt)
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(h)
	t.Cleanup(srv.Close)
	srv.Client().CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return srv
}
