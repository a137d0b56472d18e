package cli

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"underkick/internal/record"
)

// minorOf makes a data folder with one swimmer who is eleven this year.
func minorOf(t *testing.T) (data, id string) {
	t.Helper()
	data, ids := squadFolder(t, record.Swimmer{Name: "Wilma Reed", BirthYear: time.Now().Year() - 11})
	return data, ids[0]
}

// saying runs commands on one data folder and looks at what they say.
type saying struct {
	args []string
	code int
	says string // in either stream
	not  string
}

func tells(t *testing.T, data string, list []saying) {
	t.Helper()
	for _, c := range list {
		code, out, errOut := underkick(t, append(c.args, "--data", data)...)
		if code != c.code || !strings.Contains(out+errOut, c.says) || c.not != "" && strings.Contains(out+errOut, c.not) {
			t.Errorf("%q: code %d, want %d and %q:\n%s%s", c.args, code, c.code, c.says, out, errOut)
		}
	}
}

func TestConsentCommand(t *testing.T) {
	data, id := minorOf(t)
	tells(t, data, []saying{
		{args: []string{"consent"}, says: "none recorded"},
		{args: []string{"consent", "Wilma Reed"}, says: "Allowed now: none recorded. To be given by the parent or guardian."},
		{args: []string{"consent", "Wilma Reed", "--record", "--by", "Wilma Reed", "--as", "swimmer", "--for", "filming"}, says: "under age"},
		{args: []string{"consent", id, "--record", "--by", "Ada Reed", "--as", "parent", "--for", "filming,squad"}, says: "Recorded. Allowed now: filming until 31 December"},
		{args: []string{"consent", id, "--record", "--by", "Ada Reed", "--as", "coach", "--for", "filming"}, code: exitUsage, says: "swimmer or parent"},
		{args: []string{"consent", id, "--record", "--by", "Ada Reed", "--as", "parent", "--for", "sale"}, code: exitInput, says: "filming, squad, outside"},
		{args: []string{"consent", id, "--by", "Ada Reed"}, code: exitUsage, says: "go with --record"},
		{args: []string{"consent", "--record"}, code: exitUsage, says: "which swimmer"},
		{args: []string{"consent", "Nobody"}, code: exitInput, says: "no swimmer"},
		{args: []string{"consent", id, "--withdraw", "zz"}, code: exitInput, says: "not found"},
	})
	_, out, _ := underkick(t, "consent", id, "--json", "--data", data)
	var lines []consentLine
	if err := json.Unmarshal([]byte(out), &lines); err != nil || len(lines) != 2 || !lines[0].Counts || lines[0].GivenBy != "Ada Reed" || lines[1].Counts {
		t.Fatalf("%v: %s", err, out)
	}
	tells(t, data, []saying{
		{args: []string{"consent", id, "--withdraw", lines[0].ID}, says: "Withdrawn. Allowed now: none now."},
		{args: []string{"consent", id}, says: "withdrawn on"},
	})
}

func TestGrowthCommand(t *testing.T) {
	data, id := minorOf(t)
	tells(t, data, []saying{
		{args: []string{"growth", id}, says: "height, m"},
		{args: []string{"growth", "Wilma Reed", "--height", "1.41", "--mass", "33.5", "--on", "2026-03-01"}, says: "2026-03-01  1.41       33.5"},
		{args: []string{"growth", id, "--height", "1.44", "--on", "2026-09-01"}, says: "2026-09-01  1.44       -"},
		{args: []string{"growth", id, "--height", "144"}, code: exitInput, says: "between 0.8 and 2.5"},
		{args: []string{"growth", id, "--on", "2026-09-01"}, code: exitUsage, says: "goes with"},
		{args: []string{"growth"}, code: exitUsage, says: "which swimmer"},
		{args: []string{"growth", id, "--remove", "2026-09-01"}, says: "1.41", not: "1.44"},
		{args: []string{"growth", id, "--remove", "2026-09-01"}, code: exitInput, says: "not found"},
	})
}

func TestNamesCommand(t *testing.T) {
	data, _ := minorOf(t)
	tells(t, data, []saying{
		{args: []string{"names"}, says: "Names are shown."},
		{args: []string{"names", "hide"}, says: "Names are hidden."},
		{args: []string{"names"}, says: "Names are hidden."},
		{args: []string{"consent"}, says: "Swimmer 1", not: "Wilma"},
		{args: []string{"consent", "Wilma Reed"}, says: "Swimmer 1.", not: "Wilma"},
		{args: []string{"names", "blur"}, code: exitUsage, says: "hide or show"},
		{args: []string{"names", "show"}, says: "Names are shown."},
		{args: []string{"consent"}, says: "Wilma Reed"},
	})
}

func TestDueCommand(t *testing.T) {
	data, id := minorOf(t)
	tells(t, data, []saying{
		{args: []string{"due"}, says: "Nothing is due"},
		{args: []string{"due", "--squad", "Quiet Lane", "--months", "24"}, says: "film is kept 24 months after the visit"},
		{args: []string{"due", "--squad", "Quiet Lane"}, code: exitUsage, says: "go together"},
		{args: []string{"due", "--squad", "Loud Lane", "--months", "24"}, code: exitInput, says: "there is no squad"},
		{args: []string{"due", "--squad", "Quiet Lane", "--months", "999"}, code: exitInput, says: "1 to 240"},
		{args: []string{"due", "--erase-film", "zz"}, code: exitInput, says: "not found"},
		{args: []string{"consent", id, "--record", "--by", "Ada Reed", "--as", "parent", "--for", "filming", "--on", "2020-01-01", "--until", "2020-12-31"}, says: "ended on 31 December 2020"},
		{args: []string{"due"}, says: "2021-01-01"},
		{args: []string{"due", "--json"}, says: `"why": "consent for filming has ended`},
	})
}
