package poolside

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"sync"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/report"
	"underkick/internal/store"
)

// squadSeason is the season of one squad as it was read. Nobody changes it: every request
// shares it.
type squadSeason struct {
	swimmers []string // whose lines were asked for, in the order of the store
	kept     int      // lines that had been kept in all when it was read
	lines    map[string]seasonLine
	scatter  limit.Scatters
}

// seasonCache keeps what was read of each squad. The store tells which lines still stand,
// at every request; the cache tells whether one was made since it read them. Both together
// say whether what it holds is what the store holds.
type seasonCache struct {
	mu      sync.Mutex
	making  int // lines that are being made: what is read meanwhile may be of before
	kept    int // lines made since the start
	bySquad map[string]*squadSeason
}

// make runs one making of a line.
func (c *seasonCache) make(line func() error) error {
	c.mu.Lock()
	c.making++
	c.mu.Unlock()
	defer func() {
		c.mu.Lock()
		c.making--
		c.kept++
		c.mu.Unlock()
	}()
	return line()
}

// state returns how many lines were kept; false while one is being made.
func (c *seasonCache) state() (kept int, settled bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.kept, c.making == 0
}

// get returns what is held of a squad if it is of the given state and swimmers, and no
// line was begun since that state.
func (c *seasonCache) get(squadID string, kept int, swimmers []string) *squadSeason {
	c.mu.Lock()
	defer c.mu.Unlock()
	s := c.bySquad[squadID]
	if s == nil || c.making > 0 || c.kept != kept || s.kept != kept || !slices.Equal(s.swimmers, swimmers) {
		return nil
	}
	return s
}

// put holds what was read of a squad if no line was begun since the state it is of.
func (c *seasonCache) put(squadID string, s *squadSeason) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.making > 0 || c.kept != s.kept {
		return
	}
	if c.bySquad == nil {
		c.bySquad = map[string]*squadSeason{}
	}
	c.bySquad[squadID] = s
}

// seasonTries is how often lines are made anew that fall away while others are made.
const seasonTries = 5

// squadSeason returns the season of a squad. Lines that do not stand are made and kept;
// all are read only when one of them changed since the last time.
func (a *App) squadSeason(ctx context.Context, squadID string) (*squadSeason, error) {
	for range seasonTries {
		kept, settled := a.seasons.state()
		swimmers, stands, err := a.store.SeasonStands(ctx, squadID, seasonMethod)
		if err != nil {
			return nil, err
		}
		if slices.Contains(stands, false) {
			for i, id := range swimmers {
				if !stands[i] {
					if err := a.makeSeason(ctx, id); err != nil {
						return nil, err
					}
				}
			}
			continue
		}
		if settled {
			if s := a.seasons.get(squadID, kept, swimmers); s != nil {
				return s, nil
			}
		}
		s, whole, err := a.readSeason(ctx, squadID)
		switch {
		case err != nil:
			return nil, err
		case !whole:
			continue
		case settled:
			s.kept = kept
			a.seasons.put(squadID, s)
		}
		return s, nil
	}
	s, _, err := a.readSeason(ctx, squadID) // somebody writes faster than we read: what is there now
	return s, err
}

// readSeason reads the lines of a squad; whole says that none was missing.
func (a *App) readSeason(ctx context.Context, squadID string) (s *squadSeason, whole bool, err error) {
	list, err := a.store.SeasonLines(ctx, squadID, seasonMethod)
	if err != nil {
		return nil, false, err
	}
	s = &squadSeason{lines: make(map[string]seasonLine, len(list)), scatter: limit.Scatters{}}
	whole = true
	for _, l := range list {
		s.swimmers = append(s.swimmers, l.SwimmerID)
		if l.Line == nil {
			whole = false
			continue
		}
		var line seasonLine
		if err := json.Unmarshal(l.Line, &line); err != nil {
			return nil, false, fmt.Errorf("read the season of swimmer %s: %w", l.SwimmerID, err)
		}
		s.lines[l.SwimmerID] = line
		var own limit.Scatters
		if err := json.Unmarshal(l.Scatter, &own); err != nil {
			return nil, false, fmt.Errorf("read the scatter of swimmer %s: %w", l.SwimmerID, err)
		}
		s.scatter.Merge(own)
	}
	return s, whole, nil
}

// resultsCache keeps the results of the swimmers last looked at, without kicks, by id. A
// kept result never changes, so nothing in it can be out of date.
type resultsCache struct {
	mu        sync.Mutex
	bySwimmer map[string]map[string]*kick.Result
	order     []string // swimmers, longest ago first
	count     int
}

// resultsKept bounds it: about 10 kB each.
const resultsKept = 3000

// of returns what is held of a swimmer; the map is not to be changed.
func (c *resultsCache) of(swimmerID string) map[string]*kick.Result {
	c.mu.Lock()
	defer c.mu.Unlock()
	own := c.bySwimmer[swimmerID]
	if own != nil {
		c.touch(swimmerID)
	}
	return own
}

func (c *resultsCache) touch(swimmerID string) {
	if i := slices.Index(c.order, swimmerID); i >= 0 {
		c.order = append(slices.Delete(c.order, i, i+1), swimmerID)
	}
}

// put holds exactly the given results of a swimmer.
func (c *resultsCache) put(swimmerID string, own map[string]*kick.Result) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.bySwimmer == nil {
		c.bySwimmer = map[string]map[string]*kick.Result{}
	}
	if before, have := c.bySwimmer[swimmerID]; have {
		c.count -= len(before)
		c.touch(swimmerID)
	} else {
		c.order = append(c.order, swimmerID)
	}
	c.bySwimmer[swimmerID] = own
	for c.count += len(own); c.count > resultsKept && len(c.order) > 1; c.order = c.order[1:] {
		c.count -= len(c.bySwimmer[c.order[0]])
		delete(c.bySwimmer, c.order[0])
	}
}

// measuredRuns returns a swimmer's measured runs, oldest first, as they are kept and as
// the finding compares them; their results come without kicks and are not to be changed.
func (a *App) measuredRuns(ctx context.Context, swimmerID string) ([]store.Brief, []limit.Run, error) {
	held := a.results.of(swimmerID)
	known := make([]string, 0, len(held))
	for id := range held {
		known = append(known, id)
	}
	briefs, err := a.store.Briefs(ctx, swimmerID, known...)
	if err != nil {
		return nil, nil, err
	}
	own := make(map[string]*kick.Result, len(briefs))
	runs := make([]limit.Run, 0, len(briefs))
	for _, b := range briefs {
		result := held[b.ResultID]
		if b.Body != nil {
			if result, err = report.ReadJSON(bytes.NewReader(b.Body)); err != nil {
				return nil, nil, fmt.Errorf("result of run %s: %w", b.Run.ID, err)
			}
		}
		own[b.ResultID] = result
		runs = append(runs, limitRun(store.Whole{Visit: b.Visit, Run: b.Run}, result))
	}
	a.results.put(swimmerID, own)
	return briefs, runs, nil
}
