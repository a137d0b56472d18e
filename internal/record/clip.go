package record

import (
	"math"
	"strings"
	"time"
)

// Clip is a film file that was brought in, for one swimmer at one visit. The
// file itself is kept unchanged under its content hash.
type Clip struct {
	ID        string
	VisitID   string
	SwimmerID string // whom it was brought in for; a run in it may show another
	Hash      string // SHA-256 of the content, 64 hex digits
	File      string // name of the kept file in the clips folder
	Name      string // original file name
	Size      int64  // bytes
	Facts     Facts  // zero until the film was read
	// TrueFPS is the rate at which the film was really taken, pictures per
	// second: in a slow-motion file higher than the rate at which it plays.
	// 0 = it plays at true speed.
	TrueFPS float64
	// TrueFPSConfirmed says that a person looked at TrueFPS, be it 0 or not.
	TrueFPSConfirmed bool
	// FilmGone is when the film was erased while the records were kept; zero = it is there.
	FilmGone time.Time
	Created  time.Time
}

// Facts is what the film engine found in a clip.
type Facts struct {
	WidthPx, HeightPx int     // of the upright, square-pixel picture
	Frames            int     // pictures shown
	DurationS         float64 // from the first picture to the end of the last, s
	MeanFPS           float64 // pictures per second over the whole
	NominalFPS        float64 // as the file states it, 0 = not stated
	TaggedFPS         float64 // rate at which the file says it was taken, 0 = not stated
	Codec             string  // "h264"
	Engine            string  // film engine that read it
	Warnings          []ClipWarning
}

// ClipWarning is something about a clip that a result depends on.
type ClipWarning struct {
	Code string `json:"code"` // kind, stable between versions
	Text string `json:"text"` // for the user
}

// Known reports whether the film was read.
func (f Facts) Known() bool { return f.Frames > 0 }

// Speed returns how many seconds of film time pass in one true second, the
// factor by which the film's times must be divided: TrueFPS of the run if set,
// else of the clip, over the clip's mean rate. 1 = it plays at true speed or its
// rate is not known.
func (c Clip) Speed(r Run) float64 {
	fps := r.TrueFPS
	if fps == 0 {
		fps = c.TrueFPS
	}
	if fps == 0 || !(c.Facts.MeanFPS > 0) {
		return 1
	}
	return fps / c.Facts.MeanFPS
}

// Validate returns nil or Faults of visit, swimmer, hash, name, size, true_fps
// (1 to 2000) and of the facts.
func (c Clip) Validate() error {
	var f Faults
	f.required("visit", c.VisitID, "the visit")
	f.required("swimmer", c.SwimmerID, "the swimmer")
	if !isHash(c.Hash) {
		f.add("hash", "is not a SHA-256 sum")
	}
	f.name("name", c.Name)
	if c.Size <= 0 {
		f.add("size", "is %d bytes; the file is empty", c.Size)
	}
	f.number("true_fps", c.TrueFPS, 1, 2000, "pictures per second")
	c.Facts.faults(&f)
	return f.err()
}

// Validate returns nil or Faults: nothing negative, no NaN, no infinity, and a
// picture size when there are pictures.
func (f Facts) Validate() error {
	var faults Faults
	f.faults(&faults)
	return faults.err()
}

func (f Facts) faults(out *Faults) {
	if f.WidthPx < 0 || f.HeightPx < 0 || (f.Frames > 0 && (f.WidthPx == 0 || f.HeightPx == 0)) {
		out.add("size_px", "is %d x %d; a picture needs a width and a height", f.WidthPx, f.HeightPx)
	}
	if f.Frames < 0 {
		out.add("frames", "is %d; it cannot be negative", f.Frames)
	}
	for _, n := range []struct {
		field string
		value float64
	}{{"duration_s", f.DurationS}, {"mean_fps", f.MeanFPS}, {"nominal_fps", f.NominalFPS}, {"tagged_fps", f.TaggedFPS}} {
		if !(n.value >= 0) || math.IsInf(n.value, 0) {
			out.add(n.field, "is %g; it must be 0 or a positive number", n.value)
		}
	}
}

func isHash(s string) bool {
	return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == ""
}
