package web

import (
	"fmt"
	"math"

	"underkick/internal/chart"
	"underkick/internal/wall"
)

// bandText writes a number with its band: "6.1 m (5.8 to 6.5)".
func bandText(b wall.Band, decimals int, unit string) string {
	if !b.Known() {
		return "–"
	}
	return chart.FormatNumber(b.Value, decimals) + "\u00a0" + unit + bandIn(b, decimals)
}

// bandIn writes a band in brackets, nothing where it has no width.
func bandIn(b wall.Band, decimals int) string {
	if !(b.High > b.Low) {
		return ""
	}
	return fmt.Sprintf(" (%s to %s)", chart.FormatNumber(b.Low, decimals), chart.FormatNumber(b.High, decimals))
}

// signedSeconds writes a cost: "+0.04 s (0.01 to 0.07)".
func signedSeconds(b wall.Band) string {
	if !b.Known() {
		return "–"
	}
	return chart.Signed(b.Value, 2, "\u00a0s") + bandIn(b, 2)
}

func windowText(p *wall.Plan) string {
	if p.Kicks == 0 {
		return "no kick"
	}
	if p.Window[1]-p.Window[0] < 0.05 {
		return fmt.Sprintf("at once, %.1f\u00a0m", p.Window[0])
	}
	return fmt.Sprintf("%.1f to %.1f\u00a0m", p.Window[0], p.Window[1])
}

func kicksText(p *wall.Plan) string { return fmt.Sprint(p.Kicks) }

// wallLines says a plan in sentences.
func wallLines(p *wall.Plan) []string {
	lines := []string{windowLine(p)}
	if p.Kicks < 0 {
		return lines
	}
	lines = append(lines, kicksLine(p))
	lines = append(lines, fmt.Sprintf("Head up at %s, after %s under water. 15 m after %s.",
		bandText(p.Breakout, 1, "m"), bandText(p.Underwater, 1, "s"), bandText(p.To15, 2, "s")))
	if p.Mark != wall.Limit {
		lines = append(lines, fmt.Sprintf("%.1f m after %s.", p.Mark, bandText(p.ToMark, 2, "s")))
	}
	if p.OneFewer.Known() {
		lines = append(lines, "One kick fewer costs "+signedSeconds(p.OneFewer)+moreLine(p))
	}
	return lines
}

func moreLine(p *wall.Plan) string {
	if !p.OneMore.Known() {
		return "."
	}
	return "; one more " + signedSeconds(p.OneMore) + "."
}

func windowLine(p *wall.Plan) string {
	if p.Kicks == 0 {
		return "No kick: hold the glide and come up."
	}
	flat := " Anywhere in there costs at most 0.02 s: there is no best point."
	if p.AtOnce && p.Window[1]-p.Window[0] < 0.05 {
		return fmt.Sprintf("First kick at once, with the head at %.1f m: the glide slows more than kicking does.", p.Window[0])
	}
	text := fmt.Sprintf("First kick with the head anywhere from %.1f to %.1f m.", p.Window[0], p.Window[1]) + flat
	if !math.IsInf(p.WindowSpeed.Value, 1) && p.WindowSpeed.Known() {
		text += fmt.Sprintf(" The speed there is near %.1f m/s.", p.WindowSpeed.Value)
	}
	if p.TooEarly.Value >= 0.05 {
		text += " Kicking at once costs " + signedSeconds(p.TooEarly) + "."
	}
	return text
}

func kicksLine(p *wall.Plan) string {
	text := plural(p.Kicks, "kick", "kicks") + "."
	if p.AsFast[1] > p.AsFast[0] {
		text += fmt.Sprintf(" %d to %d are equally fast; the fewest are planned.", p.AsFast[0], p.AsFast[1])
	}
	switch p.Bound {
	case "rule":
		text += " The 15 m rule ends them."
	case "own":
		text += " The swimmer's own limit ends them."
	case "speed":
		if p.AsFast[1] > p.AsFast[0] {
			text += fmt.Sprintf(" More than %d would be slower.", p.AsFast[1])
		} else {
			text += " More would be slower."
		}
	}
	return text
}
