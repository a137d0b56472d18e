package web

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"underkick/internal/chart"
	"underkick/internal/limit/worth"
	"underkick/internal/poolside"
)

// slider is one what-if of the kick page.
type slider struct {
	Name, Words, Unit string
	Low, High, Value  float64
	Hint              string
	More              bool // folded away
}

// sliders are the what-ifs offered, with what the model can and cannot say of each
// (docs/methods/worth.md).
var sliders = []slider{
	{Name: "foot", Words: "Foot pointed further", Unit: "°", Low: -10, High: 15, Hint: "The part of the kick that can give speed at the same effort. Pointing a well pointed foot further gives little."},
	{Name: "sweep", Words: "Feet sweep further, same tempo", Unit: "cm", Low: -5, High: 10, Hint: "Buys speed with effort."},
	{Name: "tempo", Words: "Faster tempo", Unit: "%", Low: -15, High: 15, Hint: "Only if the sweep is kept: when tempo was forced up, the sweep shrank and speed did not rise."},
	{Name: "hip_end", Words: "Hip bent further at the end", Unit: "°", Low: -5, High: 10, Hint: "The feet finish further in front of the body line."},
	{Name: "peak", Words: "Foot fastest later in the downkick", Unit: "%", Low: -12, High: 12, Hint: "Not resolved by the model: the answer lies between about −1 and +1 % of speed, and it costs effort.", More: true},
	{Name: "sweep_same_speed", Words: "Feet sweep further, same foot speed", Unit: "cm", Low: -5, High: 10, Hint: "The tempo falls as the sweep grows.", More: true},
	{Name: "knee", Words: "More knee bend", Unit: "%", Low: -20, High: 20, Hint: "The whole knee curve; buys speed with effort.", More: true},
}

// whatIfPiece is the part of the kick page with the sliders.
type whatIfPiece struct {
	Run     string
	Kick    int
	Of      string
	Sliders []slider
	PhasePC int // 0 to 100, from toe top to the next
	Opened  bool
	answerWords
	Paths   outlinePaths
	ViewBox string
	Line    [2]string // ends of the body line, x
}

// answerWords are an answer as the page and its script show it.
type answerWords struct {
	Same    string   `json:"same"`  // at the same effort; stands first
	Whole   string   `json:"whole"` // as swum, with band and effort
	Notes   []string `json:"notes"`
	Refused string   `json:"refused"`
	Where   string   `json:"where"` // the phase in words
}

// outlinePaths are the outlines as SVG path data, cm, y down.
type outlinePaths struct {
	Measured     string `json:"measured"`
	MeasuredLoop string `json:"measured_loop"`
	Changed      string `json:"changed"`
	ChangedLoop  string `json:"changed_loop"`
}

// asked reads the sliders out of an address; what is no number or 0 asks nothing. A phase
// that is not given is NaN.
func asked(q url.Values) (changes []worth.Change, phase float64) {
	for _, s := range sliders {
		v, err := strconv.ParseFloat(strings.Replace(q.Get(s.Name), ",", ".", 1), 64)
		if err == nil && v != 0 && !math.IsNaN(v) {
			changes = append(changes, worth.Change{Name: s.Name, Amount: math.Max(s.Low, math.Min(s.High, v))})
		}
	}
	percent, err := strconv.ParseFloat(q.Get("phase"), 64)
	if err != nil || !(percent >= 0 && percent <= 100) {
		return changes, math.NaN()
	}
	return changes, percent / 100
}

// noPhase is where the swimmer is drawn if nobody says: about the toe's lowest place.
const noPhase = 0.45

// whatIfAsked answers the sliders of an address.
func (s *server) whatIfAsked(ctx context.Context, id string, q url.Values, band bool) (poolside.WhatIfView, []worth.Change, float64, error) {
	changes, phase := asked(q)
	if math.IsNaN(phase) {
		phase = noPhase
	}
	v, err := s.opt.App.WhatIf(ctx, poolside.WhatIfRequest{RunID: id, Of: q.Get("of"), Changes: changes, Phase: phase, Band: band && len(changes) > 0})
	return v, changes, phase, err
}

// whatIf answers a move of a slider as JSON; band=1 asks for the band too.
func (s *server) whatIf(w http.ResponseWriter, r *http.Request) {
	v, changes, phase, err := s.whatIfAsked(r.Context(), r.PathValue("id"), r.URL.Query(), r.URL.Query().Get("band") == "1")
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, struct {
		Of string `json:"of"`
		answerWords
		outlinePaths
	}{v.Of, wordsOf(v, changes, phase), pathsOf(v)})
}

// whatIfPart fills the sliders' part of the kick page. What was asked in the address is
// answered with its band, so that the form does all that the script does.
func (s *server) whatIfPart(r *http.Request, view poolside.KickView) (*whatIfPiece, error) {
	q := r.URL.Query()
	q.Del("of")
	v, changes, phase, err := s.whatIfAsked(r.Context(), view.Run.ID, q, true)
	if err != nil {
		return nil, err
	}
	p := &whatIfPiece{Run: view.Run.ID, Kick: view.Chosen, Of: v.Of, PhasePC: int(math.Round(100 * phase)), answerWords: wordsOf(v, changes, phase)}
	if len(v.Measured.Loop) == 0 { // too poor for any answer
		return p, nil
	}
	p.Paths = pathsOf(v)
	const margin = 18 // cm, so that a changed kick stays inside
	box := v.Measured.Box
	p.ViewBox = fmt.Sprintf("%.0f %.0f %.0f %.0f", 100*box[0][0]-margin, -100*box[1][1]-margin, 100*(box[1][0]-box[0][0])+2*margin, 100*(box[1][1]-box[0][1])+2*margin)
	p.Line = [2]string{fmt.Sprintf("%.0f", 100*box[0][0]-margin), fmt.Sprintf("%.0f", 100*box[1][0]+margin)}
	amount := map[string]float64{}
	for _, c := range changes {
		amount[c.Name] = c.Amount
	}
	for _, sl := range sliders {
		sl.Value = amount[sl.Name]
		p.Opened = p.Opened || sl.More && sl.Value != 0
		p.Sliders = append(p.Sliders, sl)
	}
	return p, nil
}

// wordsOf writes an answer: the same effort first, never a power.
func wordsOf(v poolside.WhatIfView, changes []worth.Change, phase float64) answerWords {
	w := answerWords{Refused: v.Refused, Notes: []string{}, Where: whereWords(phase, v.Bottom)}
	if v.Refused != "" {
		w.Refused = sentence(strings.TrimPrefix(v.Refused, worth.ErrRefused.Error()+": "))
		return w
	}
	if len(changes) == 0 {
		w.Same, w.Whole = "Nothing changed yet.", "Move a slider to ask what the model expects."
		return w
	}
	w.Same = "At the same effort: about " + signed(v.EqualEffort) + "."
	if !(v.EqualEffort >= 0.005) {
		w.Same = "At the same effort: nothing gained"
		if about := signed(v.EqualEffort); about != chart.NoDifference {
			w.Same += " (about " + about + ")"
		}
		w.Same += "."
		if v.SpeedChange.Value > 0 {
			w.Same += " Faster only by working harder."
		}
	}
	w.Whole = "The model expects " + changeWords(v.SpeedChange) + effortWords(v.PowerChange) + " if everything else stays."
	w.Notes = notesOf(changes)
	return w
}

// changeWords writes a change of speed with its band, if there is one.
func changeWords(b worth.Band) string {
	text := "about " + signed(b.Value)
	if !math.IsNaN(b.Low) {
		text += fmt.Sprintf(" (%s to %s)", chart.FormatNumber(b.Low, 2), chart.FormatNumber(b.High, 2))
	}
	return text
}

// signed writes a change of speed: "+0.07 m/s", "−0.02 m/s".
func signed(v float64) string { return chart.Signed(v, 2, " m/s") }

// amount writes a slider's value with its sign: "+5 °", "0 cm".
func amount(v float64, unit string) string {
	text := chart.FormatNumber(v, 0) + " " + unit
	if v > 0 {
		text = "+" + text
	}
	return text
}

// effortWords say how much harder a change is to swim. The steps are ours.
func effortWords(power float64) string {
	size := "a little"
	switch p := math.Abs(power); {
	case p < 0.03:
		return " for about the same effort"
	case p > 0.35:
		size = "much"
	case p > 0.15:
		size = "clearly"
	}
	if power < 0 {
		return " for " + size + " less effort"
	}
	return " for " + size + " more effort"
}

func notesOf(changes []worth.Change) []string {
	notes := []string{}
	kinds := map[string]worth.Kind{}
	for _, k := range worth.Kinds() {
		kinds[k.Name] = k
	}
	for _, s := range sliders {
		for _, c := range changes {
			if c.Name == s.Name {
				notes = append(notes, fmt.Sprintf("%s: %s. Evidence: %s.", s.Words, strings.TrimSuffix(strings.ToLower(s.Hint[:1])+s.Hint[1:], "."), kinds[c.Name].Evidence))
			}
		}
	}
	return notes
}

// whereWords names a phase.
func whereWords(phase, bottom float64) string {
	switch {
	case !(bottom > 0):
		return ""
	case phase < 0.03 || phase > 0.97:
		return "toe top"
	case math.Abs(phase-bottom) < 0.03:
		return "toe bottom"
	case phase < bottom:
		return fmt.Sprintf("downkick, %.0f %%", 100*phase/bottom)
	}
	return fmt.Sprintf("upkick, %.0f %%", 100*(phase-bottom)/(1-bottom))
}

func pathsOf(v poolside.WhatIfView) outlinePaths {
	return outlinePaths{
		Measured: pathData(v.Measured.Body[:]), MeasuredLoop: pathData(v.Measured.Loop),
		Changed: pathData(v.Changed.Body[:]), ChangedLoop: pathData(v.Changed.Loop),
	}
}

// pathData joins points, m with y up, to SVG path data in cm with y down.
func pathData(points [][2]float64) string {
	var b strings.Builder
	pen := "M"
	for _, p := range points {
		fmt.Fprintf(&b, "%s%.1f %.1f", pen, 100*p[0], -100*p[1])
		pen = "L"
	}
	return b.String()
}

// worthPiece is what a quality is worth, in words.
func worthPiece(l worth.PartLine, reference string) string {
	if math.IsNaN(l.SpeedChange.Value) {
		return ""
	}
	what := "as in the reference run"
	if reference == "step" {
		what = stepWords(l.Step)
	}
	return fmt.Sprintf("Worth in the model, %s: at the same effort about %s; alone %s%s. Evidence: %s.",
		what, signed(l.EqualEffort), changeWords(l.SpeedChange), effortWords(l.PowerChange), worth.Label(l.Evidence))
}

// stepWords writes a step such as "foot +10 deg" as a person says it.
func stepWords(step string) string {
	name, amount, _ := strings.Cut(step, " ")
	for _, s := range sliders {
		if s.Name == name {
			return strings.ToLower(s.Words[:1]) + s.Words[1:] + " by " + strings.TrimPrefix(strings.Replace(amount, " deg", "°", 1), "+")
		}
	}
	return step
}
