package web

import (
	"bytes"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/wall"
)

// ladderPage is a tempo ladder: the answer, if there is one, the form and the click track.
type ladderPage struct {
	shell
	Swimmer  record.Swimmer
	Plan     record.Plan
	Name, On string
	Typed    string // the steps as typed
	Faults   record.Faults
	Runs     []ladderRun
	Problem  string
	Answer   *poolside.LadderAnswer
	Chart    template.HTML
	Reasons  []string
	Best     string
	Speed    string
	Click    clickForm
	Cautions []string
}

// ladderRun is a measured run that may be a step.
type ladderRun struct {
	Key, Words string
	Chosen     bool
}

func (s *server) ladderPage(v poolside.LadderView) ladderPage {
	p := ladderPage{Swimmer: v.Swimmer, Plan: v.Plan, Problem: sentence(v.Problem), Answer: v.Answer, Cautions: poolside.BreathCautions()}
	title := "Tempo ladder of " + v.Swimmer.Name
	if v.Plan.ID != "" {
		title = "Tempo ladder " + v.Plan.Name + ", " + v.Swimmer.Name
		p.Name = v.Plan.Name
	}
	p.shell, p.On = s.shell(title, "walls"), string(v.Input.On)
	chosen := map[string]bool{}
	var typedSteps strings.Builder
	for _, step := range v.Input.Steps {
		chosen[step.Run] = true
		if step.Run == "" {
			fmt.Fprintf(&typedSteps, "%s %s\n", strconv.FormatFloat(step.Tempo, 'f', -1, 64), strconv.FormatFloat(step.Speed, 'f', -1, 64))
		}
	}
	p.Typed = typedSteps.String()
	for _, r := range v.Runs {
		words := fmt.Sprintf("%s: %.2f kicks per second, %.2f m/s", r.Words, r.Tempo.Value, r.Speed.Value)
		p.Runs = append(p.Runs, ladderRun{r.Key, words, chosen[r.Key]})
	}
	p.Click = newClickForm(0)
	if a := v.Answer; a != nil {
		p.Chart = ladderChart(a.Ladder)
		p.Best = fmt.Sprintf("%.2f to %.2f kicks per second", a.Best[0], a.Best[1])
		p.Speed = fmt.Sprintf("%.2f ± %.2f m/s", a.Top.Value, 1.96*a.Top.SD)
		for _, r := range a.Reasons {
			p.Reasons = append(p.Reasons, r.Text)
		}
		p.Click = newClickForm(a.Tempo.Value)
	}
	return p
}

func (s *server) newLadder(w http.ResponseWriter, r *http.Request) {
	v, err := s.opt.App.NewLadder(r.Context(), r.PathValue("id"), poolside.LadderInput{})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "ladder", s.ladderPage(v))
}

func (s *server) ladder(w http.ResponseWriter, r *http.Request) {
	v, err := s.opt.App.Ladder(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "ladder", s.ladderPage(v))
}

func (s *server) addLadder(w http.ResponseWriter, r *http.Request) {
	v, err := s.opt.App.NewLadder(r.Context(), r.PathValue("id"), poolside.LadderInput{})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.keepLadder(w, r, v)
}

func (s *server) changeLadder(w http.ResponseWriter, r *http.Request) {
	v, err := s.opt.App.Ladder(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.keepLadder(w, r, v)
}

// keepLadder keeps the form as a new ladder or a new version of one.
func (s *server) keepLadder(w http.ResponseWriter, r *http.Request, v poolside.LadderView) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	name := strings.TrimSpace(r.PostFormValue("name"))
	in := poolside.LadderInput{On: record.Date(strings.TrimSpace(r.PostFormValue("on")))}
	var faults record.Faults
	steps, line := pairsOf(r.PostFormValue("steps"))
	if line > 0 {
		faults = append(faults, record.Fault{Field: "steps", Text: fmt.Sprintf("cannot be read in line %d; write tempo and speed, such as 2.1 1.42, on each line", line)})
	}
	for _, p := range steps {
		in.Steps = append(in.Steps, wall.Step{Tempo: p[0], Speed: p[1]})
	}
	for _, run := range v.Runs {
		for _, key := range r.PostForm["run"] {
			if run.Key == key {
				in.Steps = append(in.Steps, wall.Step{Tempo: run.Tempo.Value, Speed: run.Speed.Value, Run: key})
			}
		}
	}
	if in.On != "" && !in.On.Valid() {
		faults = append(faults, record.Fault{Field: "on", Text: "is no day; write it as YYYY-MM-DD"})
	}
	shown := name
	if shown == "" {
		shown = day(string(in.On))
	}
	if shown == "" {
		shown = "undated"
	}
	id, err := "", error(nil)
	if len(faults) == 0 {
		id, err = s.opt.App.KeepLadder(r.Context(), v.Swimmer.ID, v.Plan.ID, shown, in)
	}
	if err == nil && len(faults) == 0 {
		http.Redirect(w, r, "/ladder/"+id, http.StatusSeeOther)
		return
	}
	s.formFailed(w, r, err, &faults, func(status int) {
		v.Answer, v.Problem, v.Input = nil, "", in
		p := s.ladderPage(v)
		p.Name, p.Typed, p.Faults = name, r.PostFormValue("steps"), faults
		s.render(w, r, status, "ladder", p)
	})
}

// clickForm is the form of a click track.
type clickForm struct{ Tempo string }

func newClickForm(tempo float64) clickForm {
	if tempo == 0 {
		return clickForm{}
	}
	return clickForm{strconv.FormatFloat(tempo, 'f', 2, 64)}
}

// clickTrack answers with a WAV file.
func (s *server) clickTrack(w http.ResponseWriter, r *http.Request) {
	c, err := clickOf(r.URL.Query())
	if err == nil {
		err = c.Check()
	}
	if err != nil {
		s.problem(w, r, http.StatusUnprocessableEntity, "There is no such click track", sentence(err.Error()))
		return
	}
	var track bytes.Buffer
	if err := c.WriteWAV(&track); err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "audio/wav")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="click-%.0f-per-minute.wav"`, 60*c.Tempo))
	w.Header().Set("Content-Length", strconv.Itoa(track.Len()))
	if _, err := track.WriteTo(w); err != nil {
		s.opt.Log.Debug("answer not delivered", "path", r.URL.Path, "err", err)
	}
}

func clickOf(q url.Values) (wall.Click, error) {
	var c wall.Click
	var volume, count float64
	for _, f := range []struct {
		name, words string
		to          *float64
	}{{"tempo", "tempo", &c.Tempo}, {"seconds", "length", &c.Seconds}, {"volume", "volume", &volume}, {"count_in", "counting-in", &count}} {
		x, wrong := numberField(q.Get(f.name))
		if wrong != "" {
			return c, fmt.Errorf("the %s %s", f.words, wrong)
		}
		*f.to = x
	}
	if c.CountIn = int(min(count, 99)); q.Get("count_in") == "0" {
		c.CountIn = -1
	}
	c.Volume = volume / 100
	return c, nil
}
