package web

import (
	"context"
	"errors"
	"fmt"
	"html"
	"io"
	"net/http"
	"strings"
	"testing"

	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

func (f *fixture) Drill(_ context.Context, id string) (record.Drill, error) {
	if id == "own-1" {
		return f.ownDrill().Drill, nil
	}
	return poolside.OurDrill(id)
}

func (f *fixture) PracticeWeeks(_ context.Context, id string) (poolside.WeeksView, error) {
	if id != f.swimmer.ID {
		return poolside.WeeksView{}, poolside.ErrNotFound
	}
	given := f.given()
	return poolside.WeeksView{
		Swimmer: f.swimmer, Name: f.swimmer.Name, Today: "2026-05-20", Weeks: practice.Weeks(given, "2026-05-20"), Given: given, RetestOn: "2026-06-08", Cautions: poolside.PracticeCautions(),
	}, nil
}

func (f *fixture) TakeDrills(_ context.Context, r io.Reader, _ string) ([]record.OwnDrill, error) {
	text, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	if strings.Contains(string(text), "as far as you can") {
		faults := record.Faults{{Field: "how", Text: `says "as far as you can"; nothing is practised here that rewards time or distance without breathing`}}
		return nil, fmt.Errorf("%w: drill 2, %q: %w", poolside.ErrInput, "Far", faults)
	}
	return []record.OwnDrill{f.ownDrill()}, nil
}

func (f *fixture) WriteDrills(_ context.Context, w io.Writer) error {
	_, err := io.WriteString(w, `{"format": "underkick drills"}`)
	return err
}

var practiceWeeksScenarios = []scenario{
	{name: "weeks", path: "/swimmer/w1/practice/weeks", status: 200, must: append([]string{
		"Practice of Mira Okonjo, week by week", "4 to 10 May", "1 to 7 June", "8 to 14 June", "this week", "Retest on 8 June 2026", "Slow enough to feel it", "Two flat, two long", "Rest: full recovery at the surface between", "Given by R. Alder.", "Works when",
	}, always...)},
	{name: "weeks of nobody", path: "/swimmer/zz/practice/weeks", status: 404},
	{name: "one drill", path: "/practice/drill/kneel-and-lean", status: 200, must: append([]string{"Kneel and lean back a little", "from 13, club and above", "from week 3", "Not with knee pain.", "step 2 of 3, from 13", `href="/practice/own/new?from=kneel-and-lean"`}, always...)},
	{name: "one own drill", path: "/practice/drill/own-1", status: 200, must: append([]string{"Two and two, my way", "your own", `href="/practice/own/own-1"`}, always...)},
	{name: "no such drill", path: "/practice/drill/gills", status: 404},
	{name: "own drills as a file", path: "/practice/own/file", status: 200, must: []string{`"underkick drills"`}},
	{name: "told that they are kept", path: "/practice/own?took=2", status: 200, must: append([]string{"2 drills kept from the file"}, always...)},
	{name: "a stage of more than the dose", method: "POST", path: "/practice/own/new", form: with(with(drillFields(), "from_week_1", "1"), "percent_1", "101"), status: 422, must: append([]string{`id="wrong-stages"`, `value="101"`}, always...)},
}

func init() { scenarios = append(scenarios, practiceWeeksScenarios...) }

// A file of own drills is taken whole or refused in words that name drill, field and word.
func TestDrillsOfAFile(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	client := srv.Client()
	client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	for _, c := range []struct {
		name, field, content string
		status               int
		must                 []string
	}{
		{"taken", "drills", "{}", http.StatusSeeOther, nil},
		{"rewards staying under", "drills", "Kick as far as you can.", http.StatusUnprocessableEntity, append([]string{"Nothing was kept.", "drill 2", "how: says", "as far as you can", "rewards time or distance without breathing"}, always...)},
		{"another field", "other", "{}", http.StatusUnprocessableEntity, append([]string{"No file came in."}, always...)},
		{"too large", "drills", strings.Repeat("x", formBytes+1), http.StatusRequestEntityTooLarge, append([]string{"The file is larger than 1 MB."}, always...)},
	} {
		resp, err := client.Do(uploadTo(t, srv.URL+"/practice/own/file", c.field, nil, "d.json", c.content))
		if err != nil {
			t.Fatal(err)
		}
		body, err := io.ReadAll(resp.Body)
		if err := errors.Join(err, resp.Body.Close()); err != nil {
			t.Fatal(err)
		}
		if resp.StatusCode != c.status || c.status == http.StatusSeeOther && resp.Header.Get("Location") != "/practice/own?took=1" {
			t.Errorf("%s: %d to %q", c.name, resp.StatusCode, resp.Header.Get("Location"))
		}
		page := html.UnescapeString(string(body))
		for _, must := range c.must {
			if !strings.Contains(page, must) {
				t.Errorf("%s: the page lacks %q", c.name, must)
			}
		}
	}
}
