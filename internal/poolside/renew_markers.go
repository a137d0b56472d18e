package poolside

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"sync"
)

// markersSetting holds the markers' errors that results were last noted against.
const markersSetting = "markers-measured-with"

// noticedMarkers is the state of what was marked again that was looked at last.
type noticedMarkers struct {
	mu      sync.Mutex
	version [5]int64
	looked  bool
}

// noticeMarkers notes which runs were measured with another error of their marker than is
// known now. It looks only after something was marked again.
func (a *App) noticeMarkers(ctx context.Context) error {
	version, err := a.store.MarkersVersion(ctx)
	if err != nil {
		return err
	}
	a.noticed.mu.Lock()
	defer a.noticed.mu.Unlock()
	if a.noticed.looked && a.noticed.version == version {
		return nil
	}
	now, err := a.markerNumbers(ctx)
	if err != nil {
		return err
	}
	text, _, err := a.store.Setting(ctx, markersSetting)
	if err != nil {
		return err
	}
	before := map[string][]float64{}
	if text != "" {
		if err := json.Unmarshal([]byte(text), &before); err != nil {
			return fmt.Errorf("read the markers' earlier errors: %w", err)
		}
	}
	var changed []string
	for _, name := range slices.Sorted(maps.Keys(merged(before, now))) {
		if !slices.Equal(before[name], now[name]) {
			changed = append(changed, name)
		}
	}
	if len(changed) > 0 {
		err = a.store.Together(ctx, func(ctx context.Context) error {
			for _, name := range changed {
				if err := a.store.RenewMarked(ctx, name); err != nil {
					return err
				}
			}
			return a.keepMarkers(ctx)
		})
	}
	if err == nil {
		a.noticed.version, a.noticed.looked = version, true
	}
	return err
}

// markerNumbers are the markers' errors as results hang on them, by name.
func (a *App) markerNumbers(ctx context.Context) (map[string][]float64, error) {
	known, err := a.markers(ctx)
	if err != nil {
		return nil, err
	}
	now := map[string][]float64{}
	for name, e := range known.estimates {
		now[name] = []float64{rounded(e.Offset), rounded(e.Spread)}
	}
	return now, nil
}

// keepMarkers keeps the markers' errors as what results were noted against.
func (a *App) keepMarkers(ctx context.Context) error {
	now, err := a.markerNumbers(ctx)
	if err != nil {
		return err
	}
	text, err := json.Marshal(now)
	if err != nil {
		return fmt.Errorf("write the markers' errors: %w", err)
	}
	return a.store.SetSetting(ctx, markersSetting, string(text))
}

func merged(a, b map[string][]float64) map[string][]float64 {
	all := maps.Clone(a)
	maps.Copy(all, b)
	return all
}
