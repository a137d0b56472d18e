package poolside

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/kick"
	"underkick/internal/record"
	"underkick/internal/report"
	"underkick/internal/store"
)

// chainInput gathers what a kept run's measurement stands on.
func (a *App) chainInput(ctx context.Context, rc store.Whole) (chainInput, error) {
	in := chainInput{Subject: rc.Swimmer.Subject(), Supine: rc.Run.Position == record.Supine}
	if err := filmGone(rc.Clip); err != nil {
		return in, err
	}
	if !rc.Clip.Facts.Known() {
		return in, inputf("The film is still being read. Wait for it to finish.")
	}
	engine, err := a.engine(ctx)
	if err != nil {
		return in, err
	}
	index, err := engine.Index(ctx, a.store.ClipPath(rc.Clip), nil)
	if err != nil {
		return in, err
	}
	film := frameTimes(index)
	if rc.Run.ToFrame >= len(film) {
		return in, inputf("The run ends on frame %d, the clip has %d. Set the run's last frame again.", rc.Run.ToFrame, len(film))
	}
	speed := rc.Clip.Speed(rc.Run)
	in.Frames, in.Times = framesOf(film, rc.Run.FromFrame, rc.Run.ToFrame, 1/speed)
	in.Clip.FrameRate = index.Info.FPS * speed
	steps, err := a.store.Steps(ctx, rc.Run.ID)
	if err != nil {
		return in, err
	}
	in.history = record.Replay(steps)
	if in.Marker, err = a.markerError(ctx, rc.Run, steps); err != nil {
		return in, err
	}
	in.takeMarks(in.history.Marks)
	if in.View, err = in.keptView(rc.Run.Scale); err != nil {
		return in, err
	}
	if rc.Run.Scale.Steady {
		if err := a.takeSteadied(ctx, rc, &in); err != nil {
			return in, err
		}
	}
	return in, a.takeGuess(ctx, rc, &in, filmTimes{film, 1 / speed})
}

// takeMarks takes the marks on the run's frames, with those frames' times.
func (in *chainInput) takeMarks(marks []body.Mark) {
	first := in.Frames[0]
	for _, m := range marks {
		if i := m.Frame - first; i >= 0 && i < len(in.Times) {
			m.Time = in.Times[i]
			in.Marks = append(in.Marks, m)
		}
	}
}

// keptView returns the view of a kept scale, nil where the swimmer's height has
// to serve.
func (in *chainInput) keptView(s record.Scale) (*camera.View, error) {
	var view camera.View
	var err error
	switch {
	case !s.Known():
		return nil, nil
	case s.Kind == record.Plane:
		var entries []camera.PlaneEntry
		if entries, err = s.PlaneEntries(); err == nil {
			view, err = camera.FromPlane(entries, in.timeOf)
		}
	case s.Kind == record.KnownLength:
		view, err = camera.FromLength(s.LengthM, s.PointsPx, s.Lens)
	default:
		return nil, nil
	}
	if err != nil {
		return nil, inputf("the scale cannot be used: %w", err)
	}
	return &view, nil
}

// knownScale is the scale of a known length, m/px; its ends are never together.
func knownScale(s record.Scale) float64 {
	p, q := s.PointsPx[0], s.PointsPx[1]
	return s.LengthM / math.Hypot(q[0]-p[0], q[1]-p[1])
}

// scaleView says in words how a run's pixels become metres.
func scaleView(rc store.Whole, in chainInput) ScaleView {
	if in.View == nil {
		if rc.Swimmer.HeightM == 0 {
			return ScaleView{Words: "no scale", Problem: "Set a known length or a rectangle, or enter the swimmer's height."}
		}
		return ScaleView{Words: "from the swimmer's height, doubtful", Problem: "A known length in the swimmer's plane makes every length better."}
	}
	t := in.Times[0]
	perPx := in.View.MetresPerPx(t, float64(rc.Clip.Facts.WidthPx)/2, float64(rc.Clip.Facts.HeightPx)/2)
	v := ScaleView{Known: true, PxPerM: 1 / perPx, Words: in.View.Errors().Source.String()}
	if rc.Run.Scale.Kind == record.KnownLength {
		v.Words = fmt.Sprintf("known length %.2f m", rc.Run.Scale.LengthM)
	}
	return v
}

// hash identifies the inputs of a measurement.
func (in chainInput) hash(scale record.Scale) (string, error) {
	text, err := json.Marshal(struct {
		Frames  []int
		Times   []float64
		Marks   []body.Mark
		Kind    record.ScaleKind
		Scale   record.Scale
		Subject body.Subject
		Supine  bool
		Clip    kick.Clip
		Marker  []float64 `json:",omitempty"` // so that results from before there was such a thing keep their hash
		Guess   string    `json:",omitempty"`
		Steady  string    `json:",omitempty"`
	}{in.Frames, in.Times, in.Marks, scale.Kind, scale, in.Subject, in.Supine, in.Clip, in.Marker.numbers(), in.guessed, in.steadied.found})
	if err != nil {
		return "", fmt.Errorf("hash the inputs: %w", err)
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:]), nil
}

// measuredCache keeps the last measurements in memory, so that choosing another
// kick on the page costs nothing.
type measuredCache struct {
	mu    sync.Mutex
	byKey map[string]*Measured
	order []string                 // oldest first
	busy  map[string]chan struct{} // being made now
}

// once returns what is kept under a key, or makes it; who wants it while it is being made
// waits for that.
func (c *measuredCache) once(ctx context.Context, key string, measure func() (*Measured, error)) (*Measured, error) {
	for {
		c.mu.Lock()
		m, busy := c.byKey[key], c.busy[key]
		if m == nil && busy == nil {
			break
		}
		c.mu.Unlock()
		if m != nil {
			return m, nil
		}
		select {
		case <-busy:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	if c.busy == nil {
		c.busy = map[string]chan struct{}{}
	}
	done := make(chan struct{})
	c.busy[key] = done
	c.mu.Unlock()
	defer func() {
		c.mu.Lock()
		delete(c.busy, key)
		c.mu.Unlock()
		close(done)
	}()
	m, err := measure()
	if err == nil {
		c.put(key, m)
	}
	return m, err
}

const measuredKept = 32

func (c *measuredCache) put(key string, m *Measured) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.byKey == nil {
		c.byKey = map[string]*Measured{}
	}
	if _, have := c.byKey[key]; !have {
		c.order = append(c.order, key)
	}
	c.byKey[key] = m
	if len(c.order) > measuredKept {
		delete(c.byKey, c.order[0])
		c.order = c.order[1:]
	}
}

// measureRun measures a run, or finds the measurement in memory.
func (a *App) measureRun(ctx context.Context, rc store.Whole, in chainInput) (*Measured, string, error) {
	hash, err := in.hash(rc.Run.Scale)
	if err != nil {
		return nil, "", err
	}
	if len(in.Marks) == 0 {
		return nil, "", inputf("Nothing is marked yet. Mark toe, ankle, knee and hip on a few frames of each kick.")
	}
	if in.steadied.missing != "" {
		return nil, "", inputf("%s", in.steadied.missing)
	}
	if in.unchecked() {
		return nil, "", inputf("A guess alone gives no numbers. Mark toe, ankle, knee and hip on at least one frame.")
	}
	m, err := a.measured.once(ctx, hash, func() (*Measured, error) { return measure(ctx, in) })
	if err != nil {
		return nil, "", err
	}
	return m, hash, nil
}

// keepResult keeps what was measured and found. Lists show a run's newest result, so what
// stands now is added anew where something else was found in between, such as against
// another reference run.
func (a *App) keepResult(ctx context.Context, rc store.Whole, hash string, view *KickView) error {
	earlier, err := a.store.Results(ctx, rc.Run.ID)
	if err != nil {
		return err
	}
	if len(earlier) > 0 {
		if last := earlier[0]; strings.HasPrefix(last.InputHash, hash) && last.Method == view.Result.Method && last.Sentence == view.Finding.Sentence {
			return nil
		}
		if slices.ContainsFunc(earlier, func(e record.Result) bool { return e.InputHash == hash }) {
			hash = fmt.Sprintf("%s.%d", hash, len(earlier))
		}
	}
	var body bytes.Buffer
	if err := report.WriteJSON(&body, view.Result); err != nil {
		return err
	}
	kept := record.Result{
		RunID: rc.Run.ID, Method: view.Result.Method, InputHash: hash,
		Word: view.Finding.Word, Sentence: view.Finding.Sentence, Body: body.Bytes(),
	}
	for _, m := range view.Result.Summary {
		if m.Known() && !math.IsNaN(m.Value) {
			kept.Values = append(kept.Values, record.Value{Measure: m.ID, Unit: m.Unit, Value: m.Value, SD: m.SD, Low: m.Low, High: m.High, N: m.N})
		}
	}
	if _, err := a.store.AddResult(ctx, kept); err != nil {
		return fmt.Errorf("keep the result of run %s: %w", rc.Run.ID, err)
	}
	return nil
}
