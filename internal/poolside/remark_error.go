package poolside

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"
	"time"

	"underkick/internal/kick"
	"underkick/internal/marker"
	"underkick/internal/record"
)

// Who marks at this computer is a setting of the data folder.
const (
	markerSetting = "marker"
	defaultMarker = "the coach at this computer"
)

// MarkerName returns the name that goes into every mark made here.
func (a *App) MarkerName(ctx context.Context) (string, error) {
	name, known, err := a.store.Setting(ctx, markerSetting)
	if err != nil || !known {
		return defaultMarker, err
	}
	return name, nil
}

// SetMarkerName keeps the name of who marks here from now on. Marks made before keep
// the name they were made under.
func (a *App) SetMarkerName(ctx context.Context, name string) error {
	name = strings.Join(strings.Fields(name), " ")
	if err := (record.Remark{RunID: "any", By: name}).Validate(); err != nil {
		return record.Faults{{Field: "marker", Text: "is empty or too long; write a name"}}
	}
	return a.store.SetSetting(ctx, markerSetting, name)
}

// markerError is the marking error that a run is measured with. The zero value is
// what is assumed of anybody.
type markerError struct {
	By             string  // who marked
	Offset, Spread float64 // standard errors per axis, body lengths
	Frames         int     // marked again, on which this rests
	Held           bool    // the offset is held at its least
}

// numbers are what a result hangs on; nil where nothing is known.
func (e markerError) numbers() []float64 {
	if e.Offset == 0 {
		return nil
	}
	return []float64{e.Offset, e.Spread}
}

// words say where a run's marking error came from.
func (e markerError) words(offsetM float64) string {
	if offsetM == 0 {
		return fmt.Sprintf("%.0f mm per point, assumed; mark one frame again to use your own", 1000*kick.DefaultOffset)
	}
	frames := "1 frame"
	if e.Frames != 1 {
		frames = fmt.Sprintf("%d frames", e.Frames)
	}
	words := fmt.Sprintf("%.1f mm per point, from what %s marked again on %s", 1000*offsetM, e.By, frames)
	if e.Held {
		words += " (not taken as smaller before frames were marked again on a later day)"
	}
	return words
}

// laterAfter is how long after the first mark a second one counts as made in a later
// sitting: after a night or half a day hardly anybody recalls where a click was.
const laterAfter = 6 * time.Hour

// RemarkPoint is a landmark placed twice on one frame.
type RemarkPoint struct {
	Frame    int
	Landmark string
	First    [2]float64 // px
	Second   [2]float64
	SizePart float64 // distance in body lengths; NaN where the body's length is not known
	FirstBy  string
	Later    bool
}

// knownMarkers is what is known of everybody who marked something again.
type knownMarkers struct {
	sittings  []remarked
	estimates map[string]marker.Estimate
	frames    map[string]int
}

// markersCache keeps the last reckoning.
type markersCache struct {
	mu      sync.Mutex
	version [5]int64
	known   *knownMarkers
}

// markers reckons everybody's marking error, or finds it in memory.
func (a *App) markers(ctx context.Context) (*knownMarkers, error) {
	version, err := a.store.MarkersVersion(ctx)
	if err != nil {
		return nil, err
	}
	a.markersKept.mu.Lock()
	defer a.markersKept.mu.Unlock()
	if a.markersKept.known != nil && a.markersKept.version == version {
		return a.markersKept.known, nil
	}
	known, err := a.reckonMarkers(ctx)
	if err != nil {
		return nil, err
	}
	a.markersKept.version, a.markersKept.known = version, known
	return known, nil
}

func (a *App) reckonMarkers(ctx context.Context) (*knownMarkers, error) {
	remarks, err := a.store.Remarks(ctx, "")
	if err != nil {
		return nil, err
	}
	pairs, err := a.store.Pairs(ctx, "")
	if err != nil {
		return nil, err
	}
	known := &knownMarkers{estimates: map[string]marker.Estimate{}, frames: map[string]int{}}
	histories := map[string][]record.Step{}
	steps := func(runID string) ([]record.Step, error) {
		h, have := histories[runID]
		if !have {
			var err error
			if h, err = a.store.Steps(ctx, runID); err != nil {
				return nil, err
			}
			histories[runID] = h
		}
		return h, nil
	}
	for _, r := range remarks {
		h, err := steps(r.RunID)
		if err != nil {
			return nil, err
		}
		known.sittings = append(known.sittings, remarkedFrame(r, h))
	}
	for _, p := range pairs {
		for side, runID := range p.RunIDs {
			h, err := steps(runID)
			if err != nil {
				return nil, err
			}
			if s := remarkedRun(p, side, h); len(s.Points) > 0 {
				known.sittings = append(known.sittings, s)
			}
		}
	}
	known.estimate()
	return known, nil
}

// estimate puts the sittings of each marker together.
func (k *knownMarkers) estimate() {
	by := map[string][]marker.Difference{}
	for _, s := range k.sittings {
		if s.Counts && len(s.differences) > 0 {
			by[s.By] = append(by[s.By], s.differences...)
			k.frames[s.By] += s.Frames
		}
	}
	for name, ds := range by {
		k.estimates[name] = marker.Fit(ds)
	}
}

// markerError returns the marking error of a run with this history: that of whoever
// placed most of its standing marks, or of whom its conditions name where the marks
// have no name.
func (a *App) markerError(ctx context.Context, r record.Run, history []record.Step) (markerError, error) {
	known, err := a.markers(ctx)
	if err != nil {
		return markerError{}, err
	}
	if len(known.estimates) == 0 {
		return markerError{}, nil
	}
	name := mainMarker(record.Standing(history))
	if name == "" {
		name = r.MarkedBy
	}
	e, have := known.estimates[name]
	if !have {
		return markerError{}, nil
	}
	return markerError{
		By: name, Frames: known.frames[name], Held: e.Held,
		Offset: rounded(e.Offset), Spread: rounded(e.Spread),
	}, nil
}

// rounded keeps four digits, so that the same marks give the same result on any machine.
func rounded(v float64) float64 { return math.Round(v*1e7) / 1e7 }

// mainMarker is who placed most marks, the first in the alphabet of several.
func mainMarker(placed []record.Placed) string {
	count := map[string]int{}
	for _, p := range placed {
		count[p.By]++
	}
	best := ""
	for _, name := range slices.Sorted(maps.Keys(count)) {
		if count[name] > count[best] {
			best = name
		}
	}
	return best
}
