package poolside

import (
	"strings"

	"underkick/internal/kick"
	"underkick/internal/report"
)

// captionLine is a measure that a moment shows, in words.
type captionLine struct{ words, measure string }

// captionLines are what can be seen at each key moment.
var captionLines = map[string][]captionLine{
	"set":        {{"knees bent most", "knee_flexion_max"}, {"toes behind the body line", "toe_above_hip"}},
	"drive":      {{"foot and shank face back over the downkick", "facing"}},
	"fastest":    {{"foot against the hips", "foot_peak_speed_down"}, {"its peak comes:", "build_peak"}},
	"finish":     {{"feet ahead of the hips", "end_lead"}, {"sweep", "sweep"}},
	"set-up":     {{"knees straightest", "knee_flexion_min"}, {"toes in front of the body line", "toe_below_hip"}},
	"drive-up":   {{"foot and shank face back over the upkick", "facing_upkick"}},
	"fastest-up": {{"foot against the hips", "foot_peak_speed_up"}, {"its peak comes:", "build_peak_upkick"}},
	"finish-up":  {{"sweep of the upkick", "sweep_upkick"}},
}

// FacingCaption is the line of a still's caption that tells of facing, with its band, ""
// for moments that do not show it.
func (v StillView) FacingCaption() string {
	for i, l := range captionLines[v.Moment] {
		if strings.HasPrefix(l.measure, "facing") && i < len(v.Caption) {
			return v.Caption[i]
		}
	}
	return ""
}

// CaptionRule says what the numbers of captions are.
const CaptionRule = "Numbers in captions: mean of the run's counted kicks, in brackets the 95 % band."

// caption is what the run's measures say of a key moment: words, value with unit, band.
// What the clip does not give is said.
func (m *Measured) caption(moment string) []string {
	var out []string
	for _, l := range captionLines[moment] {
		if v, ok := m.Result.Measure(l.measure); ok {
			out = append(out, l.words+" "+valueWithBand(v))
		}
	}
	return out
}

func valueWithBand(v kick.Measure) string {
	if !v.Known() {
		return "not known" + because(v)
	}
	words := report.Banded(v)
	if len(v.Reasons) > 0 {
		words += ", doubtful"
	}
	return words
}

// because gives the first reason against a measure.
func because(v kick.Measure) string {
	if len(v.Reasons) == 0 {
		return ""
	}
	return ": " + strings.TrimSuffix(v.Reasons[0].Text, ".")
}
