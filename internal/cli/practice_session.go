package cli

import (
	"context"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// sessionOut is a session as JSON.
type sessionOut struct {
	Squad     string       `json:"squad"`
	On        string       `json:"on"`
	Equipment []kitOut     `json:"equipment"`
	Stations  []stationOut `json:"stations"`
	Idle      []string     `json:"nothing_given"`
	Retests   []string     `json:"film_today"`
	Cautions  []string     `json:"cautions"`
}

type kitOut struct {
	Name string `json:"name"`
	For  int    `json:"for"`
}

type stationOut struct {
	Number int          `json:"number"`
	Drill  record.Drill `json:"drill"`
	Who    []whoOut     `json:"who"`
}

type whoOut struct {
	Names []string `json:"names"`
	Dose  string   `json:"dose"`
	Words string   `json:"different,omitempty"`
	Notes []string `json:"notes,omitempty"`
}

func (o *practiceOptions) printSession(ctx context.Context, app *poolside.App, w io.Writer) error {
	squad, err := app.FindSquad(ctx, o.squad)
	if err != nil {
		return err
	}
	var only []string
	for _, who := range listed(o.only) {
		s, err := app.FindSwimmer(ctx, who)
		if err != nil {
			return err
		}
		only = append(only, s.ID)
	}
	view, err := app.Session(ctx, squad.ID, record.Date(o.on), only)
	if err != nil {
		return err
	}
	if o.asJSON {
		return writeJSON(w, newSessionOut(view))
	}
	fmt.Fprintf(w, "%s, %s\n", view.Squad.Name, view.On)
	printCautions(w, view.Cautions)
	for _, k := range view.Equipment {
		fmt.Fprintf(w, "bring: %s, for %d\n", k.Name, k.For)
	}
	for _, d := range view.Retests {
		fmt.Fprintf(w, "film today: %s\n", d.Name)
	}
	for _, s := range view.Stations {
		printStation(w, s)
	}
	if len(view.Stations) == 0 {
		fmt.Fprintln(w, "Nobody of these practises anything on that day.")
	}
	if len(view.Idle) > 0 {
		fmt.Fprintf(w, "\nnothing given: %s\n", strings.Join(view.Idle, ", "))
	}
	return nil
}

func newSessionOut(view poolside.SessionView) sessionOut {
	out := sessionOut{Squad: view.Squad.Name, On: string(view.On), Equipment: []kitOut{}, Stations: []stationOut{}, Idle: append([]string{}, view.Idle...), Retests: []string{}, Cautions: view.Cautions}
	for _, k := range view.Equipment {
		out.Equipment = append(out.Equipment, kitOut{k.Name, k.For})
	}
	for _, d := range view.Retests {
		out.Retests = append(out.Retests, d.Name)
	}
	for _, s := range view.Stations {
		station := stationOut{Number: s.Number, Drill: s.Drill, Who: []whoOut{}}
		for _, r := range s.Rows {
			station.Who = append(station.Who, whoOut{r.Names, r.Dose, r.Words, r.Notes})
		}
		out.Stations = append(out.Stations, station)
	}
	return out
}

func printStation(w io.Writer, s poolside.SessionStation) {
	fmt.Fprintf(w, "\n%d. %s, %s, %s\n", s.Number, s.Drill.Title, s.Drill.Place, s.Drill.Phase)
	for _, r := range s.Rows {
		fmt.Fprintf(w, "  %s: %s\n", strings.Join(r.Names, ", "), r.Dose)
		if r.Words != "" {
			fmt.Fprintf(w, "    %s\n", r.Words)
		}
		for _, n := range r.Notes {
			fmt.Fprintf(w, "    %s\n", n)
		}
	}
	fmt.Fprintf(w, "  cue:     %s\n", s.Drill.Cue)
	for _, step := range s.Drill.How {
		fmt.Fprintf(w, "  - %s\n", step)
	}
	fmt.Fprintf(w, "  error:   %s\n", s.Drill.Error)
	if s.Drill.Equipment != "" {
		fmt.Fprintf(w, "  needs:   %s\n", s.Drill.Equipment)
	}
	if s.Drill.Caution != "" {
		fmt.Fprintf(w, "  caution: %s\n", s.Drill.Caution)
	}
	fmt.Fprintf(w, "  works when: %s\n", s.Drill.Sign)
}

// dueOut is a retest as JSON.
type dueOut struct {
	Swimmer  string   `json:"swimmer"`
	Name     string   `json:"name"`
	On       string   `json:"on"`
	DaysLeft int      `json:"days_left"`
	Drills   []string `json:"drills"`
}

func (o *practiceOptions) printDue(ctx context.Context, app *poolside.App, w io.Writer) error {
	squad, err := app.FindSquad(ctx, o.squad)
	if err != nil {
		return err
	}
	due, err := app.RetestsDue(ctx, squad.ID)
	if err != nil {
		return err
	}
	if o.asJSON {
		out := []dueOut{}
		for _, d := range due {
			out = append(out, dueOut{d.SwimmerID, d.Name, string(d.On), d.DaysLeft, d.Drills})
		}
		return writeJSON(w, map[string]any{"due": out, "cautions": poolside.PracticeCautions()})
	}
	printCautions(w, poolside.PracticeCautions())
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "swimmer\tretest on\tdays left\tpractised")
	for _, d := range due {
		fmt.Fprintf(t, "%s\t%s\t%d\t%s\n", d.Name, d.On, d.DaysLeft, strings.Join(d.Drills, ", "))
	}
	return t.Flush()
}
