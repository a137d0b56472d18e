package web

import (
	"context"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// ownDrillCases is what the pages of own drills need of package poolside.
type ownDrillCases interface {
	OwnDrills(ctx context.Context) (poolside.OwnDrillsView, error)
	OurDrill(id string) (record.Drill, error)
	DrillVersions(ctx context.Context, id string) ([]record.OwnDrill, error)
	KeepDrill(ctx context.Context, o record.OwnDrill) (record.OwnDrill, error)
	RetireDrill(ctx context.Context, id string, retired bool, by string) error
	TakeDrills(ctx context.Context, r io.Reader, by string) ([]record.OwnDrill, error)
	WriteDrills(ctx context.Context, w io.Writer) error
}

// ownDrillsPage lists the coach's own drills.
type ownDrillsPage struct {
	shell
	Drills   []drillCard
	Retired  []record.OwnDrill
	Ours     []drillOption
	Cautions []string
	Refused  string // why a file was not taken
	Took     int    // drills of a file just taken
}

func (s *server) ownDrills(w http.ResponseWriter, r *http.Request) {
	s.ownDrillsPage(w, r, http.StatusOK, "")
}

func (s *server) ownDrillsPage(w http.ResponseWriter, r *http.Request, status int, refused string) {
	view, err := s.opt.App.OwnDrills(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := ownDrillsPage{shell: s.shell("Your own drills", "practice"), Ours: options(view.Ours), Cautions: view.Cautions, Refused: refused}
	page.Took = wholeField(r.URL.Query().Get("took"), "took", new(record.Faults))
	for _, o := range view.Own {
		if o.Retired {
			page.Retired = append(page.Retired, o)
			continue
		}
		page.Drills = append(page.Drills, newCard(practice.Choice{Drill: o.Drill}))
	}
	s.render(w, r, status, "own_drills", page)
}

// doseRows is how many doses the form has room for.
const doseRows = 4

// drillForm is the form of an own drill.
type drillForm struct {
	shell
	Drill    record.OwnDrill
	From     string // title of the drill it is made from
	Doses    []doseRow
	Stages   []stageRow
	Measures []measureChoice
	Versions []record.OwnDrill // newest first; none for a new one
	Shown    int64             // the version in the fields, 0 = the newest
	Faults   record.Faults
	Cautions []string
}

// doseRow is one dose as typed.
type doseRow struct {
	N                                                        int
	FromAge, Level, Repeats, Kicks, Seconds, PerWeek, Rested string
}

// stageRow is one stage as typed.
type stageRow struct {
	N                        int
	FromWeek, Percent, Words string
}

// stageRows is how many stages the form has room for.
const stageRows = 3

// measureChoice is a measure in which a drill may show.
type measureChoice struct {
	ID, Name string
	Chosen   bool
}

// Phases are what is proposed for the part of the kick.
func (drillForm) Phases() []string {
	return []string{"the whole kick", "downkick", "its start", "its finish", "upkick"}
}

// Serves and Places are what the lists of the form hold.
func (drillForm) Serves() []record.Serves { return record.AllServes() }

func (drillForm) Places() []record.Place {
	return []record.Place{record.UnderWater, record.AtSurface, record.DryLand}
}

// Steps are the drill's steps, one a line.
func (f drillForm) Steps() string { return strings.Join(f.Drill.How, "\n") }

// UnderWaterRest is the rest there always is under water.
func (drillForm) UnderWaterRest() string { return record.RestUnderWater }

func (s *server) newDrill(w http.ResponseWriter, r *http.Request) {
	var o record.OwnDrill
	if from := r.FormValue("from"); from != "" {
		ours, err := s.opt.App.OurDrill(from)
		if err != nil {
			s.fail(w, r, err)
			return
		}
		o.Drill, o.CopyOf = ours, from
	}
	o.ID = ""
	s.drillForm(w, r, http.StatusOK, drillForm{Drill: o})
}

func (s *server) editDrill(w http.ResponseWriter, r *http.Request) {
	versions, err := s.opt.App.DrillVersions(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	form := drillForm{Drill: versions[len(versions)-1]}
	if n, err := strconv.ParseInt(r.FormValue("version"), 10, 64); err == nil && n >= 1 && int(n) < len(versions) {
		form.Drill, form.Shown = versions[n-1], n
	}
	s.drillForm(w, r, http.StatusOK, form)
}

func (s *server) drillForm(w http.ResponseWriter, r *http.Request, status int, form drillForm) {
	title := "A drill of your own"
	if form.Drill.ID != "" {
		versions, err := s.opt.App.DrillVersions(r.Context(), form.Drill.ID)
		if err != nil {
			s.fail(w, r, err)
			return
		}
		title = versions[len(versions)-1].Title
		form.Drill.CopyOf, form.Drill.Retired = versions[0].CopyOf, versions[len(versions)-1].Retired
		slices.Reverse(versions)
		form.Versions = versions
	}
	if form.Drill.CopyOf != "" {
		if ours, err := s.opt.App.OurDrill(form.Drill.CopyOf); err == nil { // gone from the library: it is named no more
			form.From = ours.Title
		}
	}
	if form.Doses == nil {
		form.Doses = doseRowsOf(form.Drill.Doses)
	}
	if form.Stages == nil {
		form.Stages = stageRowsOf(form.Drill.Stages)
	}
	for _, d := range kick.Definitions() {
		if d.Unit != "" {
			form.Measures = append(form.Measures, measureChoice{d.ID, limit.Name(d.ID), slices.Contains(form.Drill.Measures, d.ID)})
		}
	}
	form.shell, form.Cautions = s.shell(title, "practice"), poolside.PracticeCautions()
	s.render(w, r, status, "drill_form", form)
}

func doseRowsOf(doses []record.Dose) []doseRow {
	rows := make([]doseRow, max(doseRows, len(doses)))
	for i := range rows {
		rows[i].N = i + 1
		if i < len(doses) {
			d := doses[i]
			rows[i] = doseRow{i + 1, digits(d.FromAge), string(d.Level), digits(d.Repeats), digits(d.Kicks), digits(d.Seconds), digits(d.PerWeek), d.Rest}
		}
	}
	return rows
}

func stageRowsOf(stages []record.Stage) []stageRow {
	rows := make([]stageRow, max(stageRows, len(stages)))
	for i := range rows {
		rows[i].N = i + 1
		if i < len(stages) {
			rows[i] = stageRow{i + 1, digits(stages[i].FromWeek), digits(stages[i].Percent), stages[i].Words}
		}
	}
	return rows
}

// digits writes a number, "" for 0.
func digits(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// read takes the form's fields over.
func (f *drillForm) read(r *http.Request) {
	line := func(field string) string { return strings.TrimSpace(r.PostFormValue(field)) }
	d := &f.Drill.Drill
	d.Title, d.Serves, d.Phase, d.Place = line("title"), record.Serves(line("serves")), line("phase"), record.Place(line("place"))
	d.Step, d.MinAge = wholeField(line("step"), "step", &f.Faults), wholeField(line("min_age"), "min_age", &f.Faults)
	d.Why, d.Source, d.Cue, d.Error = line("why"), line("source"), line("cue"), line("common_error")
	d.Equipment, d.Caution, d.Sign = line("equipment"), strings.ReplaceAll(line("caution"), "\r\n", "\n"), line("works_when")
	d.Joint, d.Measures, d.How, d.Doses, d.Stages = line("joint") != "", r.PostForm["measures"], nil, nil, nil
	for _, step := range strings.Split(r.PostFormValue("how"), "\n") {
		if step = strings.TrimSpace(step); step != "" {
			d.How = append(d.How, step)
		}
	}
	f.readDoses(r)
	f.readStages(r)
}

func (f *drillForm) readStages(r *http.Request) {
	for i := 1; r.PostForm.Has("from_week_" + strconv.Itoa(i)); i++ {
		at := func(field string) string {
			return strings.TrimSpace(r.PostFormValue(field + "_" + strconv.Itoa(i)))
		}
		row := stageRow{i, at("from_week"), at("percent"), at("stage_words")}
		f.Stages = append(f.Stages, row)
		if row.FromWeek+row.Percent+row.Words == "" {
			continue
		}
		stage := record.Stage{FromWeek: wholeField(row.FromWeek, "stages", &f.Faults), Percent: wholeField(row.Percent, "stages", &f.Faults), Words: row.Words}
		if row.Percent == "" {
			stage.Percent = 100
		}
		f.Drill.Stages = append(f.Drill.Stages, stage)
	}
}

func (f *drillForm) readDoses(r *http.Request) {
	for i := 1; r.PostForm.Has("repeats_" + strconv.Itoa(i)); i++ {
		at := func(field string) string {
			return strings.TrimSpace(r.PostFormValue(field + "_" + strconv.Itoa(i)))
		}
		row := doseRow{i, at("from_age"), at("level"), at("repeats"), at("kicks"), at("seconds"), at("per_week"), at("rest")}
		f.Doses = append(f.Doses, row)
		if row.Repeats+row.Kicks+row.Seconds+row.PerWeek == "" {
			continue
		}
		number := func(text string) int { return wholeField(text, "doses", &f.Faults) }
		dose := record.Dose{
			FromAge: number(row.FromAge), Level: record.Level(row.Level), Repeats: number(row.Repeats),
			Kicks: number(row.Kicks), Seconds: number(row.Seconds), PerWeek: number(row.PerWeek), Rest: row.Rested,
		}
		if f.Drill.Place == record.UnderWater && dose.Rest == "" {
			dose.Rest = record.RestUnderWater
		}
		f.Drill.Doses = append(f.Drill.Doses, dose)
	}
}

func (s *server) addDrill(w http.ResponseWriter, r *http.Request) {
	s.keepDrill(w, r, "")
}

func (s *server) changeDrill(w http.ResponseWriter, r *http.Request) {
	s.keepDrill(w, r, r.PathValue("id"))
}

func (s *server) keepDrill(w http.ResponseWriter, r *http.Request, id string) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	var form drillForm
	form.Drill.ID, form.Drill.CopyOf = id, r.PostFormValue("copy_of")
	form.read(r)
	var err error
	if len(form.Faults) == 0 {
		if _, err = s.opt.App.KeepDrill(r.Context(), form.Drill); err == nil {
			http.Redirect(w, r, "/practice/own", http.StatusSeeOther)
			return
		}
	}
	s.formFailed(w, r, err, &form.Faults, func(status int) { s.drillForm(w, r, status, form) })
}

func (s *server) retireDrill(w http.ResponseWriter, r *http.Request) {
	if err := s.opt.App.RetireDrill(r.Context(), r.PathValue("id"), r.PostFormValue("retired") == "1", ""); err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/practice/own", http.StatusSeeOther)
}
