package web

import (
	"fmt"
	"html/template"
	"net/http"
	"strconv"
	"strings"

	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/report"
)

// kickPage is the kick page of a run, with every drawing finished.
type kickPage struct {
	shell
	poolside.KickView
	Headline    string
	Stills      []stillPiece
	UpStills    []stillPiece
	Drawn       layerSwitches
	Loops       []report.Loop
	FacingKnown bool // the clip supports facing; else none is drawn
	ToePath     template.HTML
	Curve       template.HTML
	FacingCurve template.HTML
	AngleCurve  template.HTML // knee or ankle, where the finding rests on it
	AngleName   string
	AngleFile   string // name of its curve as a file
	LookAt      string // what shows the finding
	Qualities   []qualityPiece
	Context     []measurePiece
	Changes     []string // of speed and rhythm since the earlier visit
	Groups      []measureGroup
	WorthRows   []worthLine
	WhatIf      *whatIfPiece // nil where nothing was measured
	KickColumns []string
	KickRows    []kickRow
	OtherRuns   []otherRun
	Method      string
}

// otherRun is another measured run of the swimmer.
type otherRun struct{ ID, When, Speed string }

func (s *server) kick(w http.ResponseWriter, r *http.Request) {
	chosen, err := strconv.Atoi(r.URL.Query().Get("kick"))
	if err != nil {
		chosen = 0
	}
	view, err := s.opt.App.Kick(r.Context(), r.PathValue("id"), chosen)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := kickPage{KickView: view}
	page.shell = s.shell("Kicks of "+view.Swimmer.Name, "squad")
	page.fill()
	if view.Result != nil {
		if page.WhatIf, err = s.whatIfPart(r, view); unusable(err) {
			page.WhatIf, err = &whatIfPiece{answerWords: answerWords{Refused: sentence(err.Error())}}, nil
		}
		if err != nil {
			s.fail(w, r, err)
			return
		}
	}
	s.render(w, r, http.StatusOK, "kick", page)
}

// fill draws everything that stands on the page.
func (p *kickPage) fill() {
	p.Headline = "This run is not measured yet"
	if p.Problem != "" || p.Result == nil || p.Finding == nil {
		return
	}
	p.Headline, p.Method = p.Finding.Sentence, p.Result.Method
	facing, _ := p.Result.Measure("facing")
	p.FacingKnown = facing.Known()
	for _, v := range p.KickView.Stills {
		if piece := still(p.KickView, v); v.Upkick {
			p.UpStills = append(p.UpStills, piece)
		} else {
			p.Stills = append(p.Stills, piece)
		}
	}
	p.Drawn = newLayerSwitches(p.Layers, fmt.Sprintf("/run/%s?kick=%d#stills", p.Run.ID, p.Chosen))
	p.Loops = report.Loops(p.Result)
	p.ToePath = report.ToePath(p.Result, p.Chosen)
	p.Curve = report.PhaseCurve(p.Result, p.Chosen, report.FootSpeed())
	if p.FacingKnown {
		p.FacingCurve = report.PhaseCurve(p.Result, p.Chosen, report.FootFacing())
	}
	p.fillEvidence()
	for _, q := range p.Finding.Qualities {
		piece := quality(q)
		piece.Worth = worthOfQuality(p.Worth, q.Name)
		p.Qualities = append(p.Qualities, piece)
	}
	for _, c := range p.Finding.Context {
		p.Context = append(p.Context, comparison(c))
	}
	p.Changes = otherChanges(p.Finding)
	p.WorthRows = worthRows(p.Worth.Result)
	p.Groups = measureGroups(p.Result)
	p.fillKickTable()
	for _, o := range p.Own {
		if speed, ok := o.Result.Measure("speed"); ok && o.ID != p.Run.ID {
			p.OtherRuns = append(p.OtherRuns, otherRun{o.ID, o.When, report.Value(speed)})
		}
	}
}

// otherChanges are the changes that no quality shows.
func otherChanges(f *limit.Finding) []string {
	shown := map[string]bool{}
	for _, q := range f.Qualities {
		for _, c := range q.Change {
			shown[c.Measure] = true
		}
	}
	var words []string
	for _, c := range f.Changes {
		if !shown[c.Measure] {
			words = append(words, report.ChangeWords(c))
		}
	}
	return words
}

// fillEvidence says where to look, and draws the curve of an angle where the
// finding rests on one.
func (p *kickPage) fillEvidence() {
	e := p.Finding.Evidence
	switch e.Curve {
	case limit.CurveKnee:
		p.AngleName, p.AngleFile, p.AngleCurve = "Knee angle", "knee", report.PhaseCurve(p.Result, p.Chosen, report.KneeAngle())
	case limit.CurveAnkle:
		p.AngleName, p.AngleFile, p.AngleCurve = "Ankle angle", "ankle", report.PhaseCurve(p.Result, p.Chosen, report.AnkleAngle())
	}
	if e.Kick > 0 {
		p.LookAt = fmt.Sprintf("kick %d at %s, and its %s", e.Kick, listed(e.Moments), e.Curve)
	}
}

// listed joins words as a sentence does: "set, drive and finish".
func listed(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// stillPiece is a still with its words.
type stillPiece struct {
	Moment, When, Facing string
	SVG                  template.HTML
}

func still(view poolside.KickView, v poolside.StillView) stillPiece {
	facts := view.Clip.Facts
	st := report.Still{
		Picture: fmt.Sprintf("/clip/%s/frame/%d.jpg", view.Clip.ID, v.Frame),
		WidthPx: float64(facts.WidthPx), HeightPx: float64(facts.HeightPx),
		Crop: v.Crop, Scene: v.Scene,
		Title: fmt.Sprintf("The swimmer at %s of kick %d", v.Moment, view.Chosen),
	}
	return stillPiece{Moment: v.Moment, When: fmt.Sprintf("%.2f s", v.Time), Facing: v.FacingCaption(), SVG: st.SVG()}
}
