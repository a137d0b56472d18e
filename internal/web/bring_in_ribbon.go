package web

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"underkick/internal/poolside"
)

// Size of the ribbon's own view box; it is drawn out to the page's width.
const (
	ribbonWide = 1000.0
	ribbonHigh = 100.0
)

// motionRibbon draws how much of the picture moves over the clip, and its runs: kept
// ones with a whole outline, proposed ones dashed. The page's script moves their ends.
func motionRibbon(v poolside.ClipView, rows []runRow) template.HTML {
	frames := v.Clip.Facts.Frames
	if frames < 2 {
		return ""
	}
	at := func(frame float64) float64 { return ribbonWide * frame / float64(frames-1) }
	var b strings.Builder
	var words []string
	fmt.Fprintf(&b, `<path class="motion" d="%s"/>`, motionPath(v.Look, at))
	for _, r := range rows {
		from, err1 := strconv.Atoi(r.From)
		to, err2 := strconv.Atoi(r.To)
		if err1 != nil || err2 != nil || to <= from {
			from, to = 0, 0
		}
		class := "proposed"
		if r.Kept {
			class = "kept"
		}
		fmt.Fprintf(&b, `<rect class="run %s" data-run="%d" x="%.2f" y="2" width="%.2f" height="%.0f"/>`, class, r.N, at(float64(from)), at(float64(to-from)), ribbonHigh-4)
		if to > 0 {
			words = append(words, fmt.Sprintf("%s run from frame %d to %d", class, from, to))
		}
	}
	title := "Motion over the clip"
	if len(words) > 0 {
		title += ": " + strings.Join(words, ", ")
	}
	return template.HTML(fmt.Sprintf(`<svg class="ribbon" viewBox="0 0 %.0f %.0f" preserveAspectRatio="none" role="img" aria-label="%s" data-frames="%d" xmlns="http://www.w3.org/2000/svg">%s</svg>`, //nolint:gosec // numbers and our own words
		ribbonWide, ribbonHigh, template.HTMLEscapeString(title), frames, b.String()))
}

// motionPath is the outline of the motion, as high as the greatest is.
func motionPath(look *poolside.LookView, at func(frame float64) float64) string {
	if look == nil || len(look.Ribbon) == 0 {
		return ""
	}
	most := 0.0
	for _, bit := range look.Ribbon {
		most = max(most, bit.Share)
	}
	if most == 0 {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "M%.1f %.0f", at(float64(look.Ribbon[0].Frame)), ribbonHigh)
	for _, bit := range look.Ribbon {
		fmt.Fprintf(&b, "L%.1f %.1f", at(float64(bit.Frame)), ribbonHigh*(1-0.9*bit.Share/most))
	}
	fmt.Fprintf(&b, "L%.1f %.0fZ", at(float64(look.Ribbon[len(look.Ribbon)-1].Frame)), ribbonHigh)
	return b.String()
}
