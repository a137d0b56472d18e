package web

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"
	"time"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report"
	"underkick/internal/wall"
)

// styles are the style sheets of every page, in order.
var styles = []string{"colours", "page", "frame", "forms", "lists", "charts"}

// words are what templates may call.
var words = template.FuncMap{
	"styles":     func() []string { return styles },
	"day":        day,
	"sentence":   sentence,
	"inc":        func(n int) int { return n + 1 },
	"join":       func(list []string) string { return strings.Join(list, ", ") },
	"percent":    func(part float64) string { return fmt.Sprintf("%.0f %%", 100*part) },
	"plural":     plural,
	"megabytes":  megabytes,
	"notePlace":  notePlace,
	"metres":     func(m float64) string { return fmt.Sprintf("%.2f\u00a0m", m) },
	"amount":     amount,
	"kilos":      func(kg float64) string { return fmt.Sprintf("%.0f\u00a0kg", kg) },
	"number":     typed,
	"rate":       func(fps float64) string { return strconv.FormatFloat(math.Round(fps*10)/10, 'f', -1, 64) },
	"facts":      factWords,
	"conditions": conditionWords,
	"value":      report.Value,
	"spread":     report.Spread,
	"trend":      speedTrend,
	"wrong":      wrongAttributes,
	"fault":      faultWords,
	"parts":      partsOf,
	"band":       bandText,
	"field":      newNumberField,
	"sexes":      func() []record.Sex { return []record.Sex{record.Female, record.Male} },
	"cautions":   poolside.PracticeCautions,
	"levels":     record.Levels,
	"habits":     func() []record.Position { return []record.Position{record.Prone, record.Supine} },
	"efforts":    func() []record.Effort { return []record.Effort{record.Easy, record.Race, record.Max} },
	"starts":     func() []record.Start { return []record.Start{record.PushOff, record.Still, record.Dive} },
	"body":       poolside.BodyWords,
	"strokes":    wall.Strokes,
	"purposes":   record.Purposes,
	"senses":     record.Senses,
	"swum":       limitWords,
	"shownUnit":  shownUnit,
	"givers":     record.Givers,
	"hiding":     func() bool { return false }, // of the pages shown while names are hidden: true
	"contacts":   func() []record.Contact { return []record.Contact{record.NoContact, record.Surface, record.Wall} },
	"positions":  func() []record.Position { return []record.Position{record.Prone, record.Supine, record.Side} },
}

// day writes a YYYY-MM-DD day in words; a text that is none stays as it is.
func day(text string) string {
	t, err := time.Parse("2006-01-02", text)
	if err != nil {
		return text
	}
	return t.Format("2 January 2006")
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// typed writes a number as a person would type it, "" for 0 = not known.
func typed(x float64) string {
	if x == 0 {
		return ""
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// factWords says what the film engine found in a clip.
func factWords(f record.Facts) string {
	if !f.Known() {
		return ""
	}
	return fmt.Sprintf("%d × %d, %s, %.1f s, %.0f frames per second", f.WidthPx, f.HeightPx, plural(f.Frames, "frame", "frames"), f.DurationS, f.MeanFPS)
}

// conditionWords says under which conditions a run was swum.
func conditionWords(r record.Run) string {
	var parts []string
	add := func(s string) {
		if s != "" {
			parts = append(parts, s)
		}
	}
	if r.Effort != "" {
		add(string(r.Effort) + " effort")
	}
	add(string(r.Start))
	add(string(r.Position))
	if r.DepthM != 0 {
		add(fmt.Sprintf("%.1f\u00a0m deep", r.DepthM))
	}
	if r.Contact == record.Surface || r.Contact == record.Wall {
		add("touching the " + string(r.Contact))
	}
	add(r.Equipment)
	if r.Repeat != 0 {
		add(fmt.Sprintf("number %d", r.Repeat))
	}
	if r.MarkedBy != "" {
		add("marked by " + r.MarkedBy)
	}
	return strings.Join(parts, ", ")
}

func speedTrend(points []poolside.TrendPoint) template.HTML {
	if len(points) < 2 {
		return ""
	}
	var values, low, high []float64
	for _, p := range points {
		values, low, high = append(values, p.Value), append(low, p.Low), append(high, p.High)
	}
	first, last := points[0], points[len(points)-1]
	return report.Trend(values, low, high, fmt.Sprintf("speed over %d visits, from %.2f (%.2f to %.2f) to %.2f (%.2f to %.2f) m/s",
		len(points), first.Value, first.Low, first.High, last.Value, last.Low, last.High))
}

// wrongAttributes ties a field to the words about its fault.
func wrongAttributes(f record.Faults, field string) template.HTMLAttr {
	if f.For(field) == "" {
		return ""
	}
	return template.HTMLAttr(` aria-invalid="true" aria-describedby="wrong-` + field + `"`) //nolint:gosec // field names are our own constants
}

// faultWords says what is wrong with a field.
func faultWords(f record.Faults, field string) template.HTML {
	text := f.For(field)
	if text == "" {
		return ""
	}
	return template.HTML(`<span class="wrong" id="wrong-` + field + `">` + template.HTMLEscapeString("This "+text) + `</span>`) //nolint:gosec // escaped here
}
