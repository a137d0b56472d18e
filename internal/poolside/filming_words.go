package poolside

import (
	"fmt"
	"math"

	"underkick/internal/chart"
	"underkick/internal/kick"
)

// FilmingLine is one answer of the card in words.
type FilmingLine struct{ ID, Name, Text string }

// Lines are the card's answers in words, in the order in which they matter.
func (c FilmingCard) Lines() []FilmingLine {
	in := c.Input
	shutter := fmt.Sprintf("1/%.0f s", 1/c.ShutterS)
	if !c.Known {
		shutter = "about " + shutter + " by the light"
	}
	out := []FilmingLine{
		{"seen", "seen in water", fmt.Sprintf("%.1f m wide, %.1f m high; %.0f degrees of view in water, %.0f in air", c.WidthM, c.HeightM, c.FieldWaterDeg, c.FieldAirDeg)},
		{"kicks", "whole kicks in view", fmt.Sprintf("%s on a way of %.1f m in %.1f s, the whole body in the picture", kickRange(c.KicksLeast, c.KicksMost), c.WayM, c.SecondsInView)},
		{"scale", "size in the picture", fmt.Sprintf("body %.0f px, foot %.0f px, %.1f mm per px", c.BodyPx, c.FootPx, c.MMPerPx)},
		{"blur", "blur of the fastest toe", fmt.Sprintf("%.1f cm, %.2f foot lengths, at %.1f m/s with the shutter open %s", 100*c.BlurM, c.BlurFeet, c.ToeSpeed, shutter)},
		{"timing", "timing of the toe's peak", fmt.Sprintf("within %.1f ms either way, %.1f %% of a kick", 1000*c.TimingS, 100*c.TimingShare)},
		{"distance", "swimmer off the lane", fmt.Sprintf("0.3 m nearer: lengths %s; 0.3 m farther: %s", largeBy(c.NearerRel), largeBy(c.FartherRel))},
	}
	if math.Abs(c.EdgeRel) > 0.005 {
		out = append(out, FilmingLine{"edges", "sides of the picture", "lengths " + largeBy(c.EdgeRel) + " against the middle"})
	}
	return append(out, FilmingLine{"swimmer", "the card's swimmer", fmt.Sprintf("%.2f m tall, %.2f m/s, %.3g kicks per second (%s)", in.HeightM, in.SpeedMPS, in.TempoHz, in.Level)})
}

func kickRange(least, most int) string {
	if least == most {
		return fmt.Sprint(least)
	}
	return fmt.Sprintf("%d or %d", least, most)
}

func largeBy(rel float64) string {
	if rel >= 0 {
		return fmt.Sprintf("%.0f %% too large", 100*rel)
	}
	return fmt.Sprintf("%.0f %% too small", -100*rel)
}

// leastDrop is the drop of the bands below which a change is not worth a word: the
// bands are good to some per cent.
const leastDrop = 0.03

// Advice says in one sentence which change helps most, or that none does.
func (b FilmingBands) Advice() string {
	if len(b.Changes) == 0 || !(b.Changes[0].Drop >= leastDrop) {
		return "No single change of the set-up tried here helps much."
	}
	c := b.Changes[0]
	if b.Kicks < kick.MinForVerdict {
		return fmt.Sprintf("What helps most: %s. It brings the whole kicks that a verdict needs nearer.", c.Words)
	}
	return fmt.Sprintf("What helps most: %s. It makes the bands of speed, sweep, facing and build %.0f %% narrower on average.", c.Words, 100*c.Drop)
}

// Words say what a change does to the bands.
func (c FilmingChange) Effect() string {
	switch {
	case c.Drop >= leastDrop:
		return fmt.Sprintf("%.0f %% narrower", 100*c.Drop)
	case c.Drop > -leastDrop:
		return "next to nothing"
	case c.Drop < -1:
		return "too few whole kicks, or a measure is lost"
	}
	return fmt.Sprintf("%.0f %% wider", -100*c.Drop)
}

// Text is the value and its band, or why there is none.
func (b FilmingBand) Text() string {
	if b.Withheld {
		return "withheld"
	}
	unit := b.Unit
	if unit == "1" {
		unit = ""
	} else {
		unit = " " + unit
	}
	digits := max(0, 1-int(math.Floor(math.Log10(math.Max(b.Half, 1e-6)))))
	return fmt.Sprintf("%.*f ± %.*f%s", digits, b.Value, digits, b.Half, unit)
}

// FilmingCautions stand on every card.
func FilmingCautions() []string {
	return append([]string{
		"Ask the swimmer, and for a minor a parent or guardian in writing, saying what the film is for. Whoever says no still trains.",
		"Follow the club's safeguarding policy and ask the pool's operator. Keep others out of the picture, film in the water only, put no names with the film, and delete it when asked or done with.",
		"Use no electrical gear at the poolside that is not meant for it: no mains leads, no chargers, no lamps on extension cords near water. Battery gear in a tested case only.",
	}, BreathCautions()...)
}

// FilmingSteps say how to film with a completed set-up.
func FilmingSteps(c FilmingCard) []string {
	in := c.Input
	where := fmt.Sprintf("Hold the camera %.1f m under water, %.1f m from the swimmer's lane, looking straight across it, and keep it still.", in.CameraDepthM, in.DistanceM)
	if in.Housing == "window" {
		where = fmt.Sprintf("Put the camera at the window, level with a depth of %.1f m, with %.1f m of water to the swimmer's lane, looking straight across it, and keep it still.", in.CameraDepthM, in.DistanceM)
	}
	out := []string{where, fmt.Sprintf("Film %.4g frames per second, %d × %d px; the lens setting that keeps straight lines straight.", in.FPS, in.WidthPx, in.HeightPx)}
	if c.Known {
		out = append(out, fmt.Sprintf("Set the shutter to 1/%.0f s.", 1/in.ShutterS))
	}
	switch in.Scale {
	case "rectangle":
		out = append(out, "Film a rectangle of known size, hung level in the swimmer's lane, before the swimmer.")
	case "length":
		out = append(out, "Film something of known length, 1 m or more, level in the swimmer's lane, before the swimmer.")
	}
	return append(out,
		fmt.Sprintf("The swimmer passes %.1f m deep with feet and hands below the surface, well after the push-off.", in.SwimmerDepthM),
		"Six whole kicks are asked for: film two or three short runs, with full recovery at the surface between them.")
}

// OffText says how far the bent picture puts the value beside it.
func (b FilmingBand) OffText() string {
	if rel := b.Off / b.Value; math.Abs(rel) >= 0.005 {
		return chart.Signed(100*rel, 0, " %")
	}
	return "nothing"
}
