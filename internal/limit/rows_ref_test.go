package limit

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick"
)

// printed is one line of testdata/published.csv: the value with its authors,
// year and place, as taken down from the source (or from whoever quotes it)
// before this package was written.
type printed struct {
	n                   int
	mean, sd, low, high float64
	sex                 body.Sex
	source              string
	quoted              bool
}

func readPrinted(t *testing.T) map[string]printed {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "published.csv"))
	if err != nil {
		t.Fatal(err)
	}
	recs, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	num := func(s string) float64 {
		if s == "" {
			return 0
		}
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	all := map[string]printed{}
	for _, r := range recs[1:] {
		sex := map[string]body.Sex{"F": body.Female, "M": body.Male}[r[4]]
		all[r[0]] = printed{int(num(r[5])), num(r[6]), num(r[7]), num(r[8]), num(r[9]), sex, r[10], r[11] == "secondary quotation"}
	}
	return all
}

func TestRowsAreThePrintedValues(t *testing.T) {
	all := readPrinted(t)
	for _, row := range Rows() {
		ids := strings.Fields(row.ID)
		p, ok := all[ids[0]]
		if !ok {
			t.Errorf("%s is not among the printed values", row.ID)
			continue
		}
		mean, tol := p.mean, 0.0
		switch {
		case len(ids) == 2: // a product of two printed means, rounded to two decimals
			mean, tol = p.mean*all[ids[1]].mean, 0.0051
			if row.SD != 0 || !row.Derived {
				t.Errorf("%s: a product has no printed spread", row.ID)
			}
			p.sd = 0
		case row.ID == "J05" || row.ID == "J06": // printed as joint angles, 180 = straight
			mean, tol = 180-p.mean, 0.005
		}
		if math.Abs(row.Mean-mean) > tol+1e-12 || row.SD != p.sd || row.Low != p.low || row.High != p.high || row.N != p.n || row.Sex != p.sex {
			t.Errorf("%s is %+v, printed %+v", row.ID, row, p)
		}
		if row.Quoted != p.quoted {
			t.Errorf("%s: quoted %v, want %v", row.ID, row.Quoted, p.quoted)
		}
		// The citation names the first author and the year of the source.
		first := strings.TrimRight(strings.Fields(row.Source.Authors)[0], ",")
		if first == "von" {
			first = "Loebbecke"
		}
		if !strings.Contains(p.source, first) || !strings.Contains(p.source, strconv.Itoa(row.Source.Year)) {
			t.Errorf("%s cites %s; the source is %s", row.ID, row.Source.Cite(), p.source)
		}
	}
}

// Peak toe speeds and joint rates that no periodic motion can have (W01, W02,
// U01, U02 and their ratio U03) and the speed with push-off in it (V09) must
// never be a range.
func TestDoubtfulRowsAreNotUsed(t *testing.T) {
	for _, row := range Rows() {
		for _, id := range strings.Fields(row.ID) {
			switch id {
			case "W01", "W02", "U01", "U02", "U03", "V09":
				t.Errorf("%s is used", id)
			}
		}
	}
	for _, id := range []string{"toe_peak_speed_down", "toe_peak_speed_up", "toe_speed_ratio", "facing", "build", "end_lead"} {
		for g := Children; g <= Elite; g++ {
			if r := Published(id, g, body.SexUnknown); len(r.Rows) > 0 {
				t.Errorf("%s has a published range for %s: %v", id, g, r.Rows)
			}
		}
	}
}

func TestRowsStandOnMeasuresAndSources(t *testing.T) {
	seen := map[string]bool{}
	for _, row := range Rows() {
		if Name(row.Measure) == row.Measure {
			t.Errorf("%s is held against %q, which kick does not measure", row.ID, row.Measure)
		}
		if row.Mean == 0 && row.High == 0 || row.High < row.Low || row.Group == NoGroup {
			t.Errorf("%s: %+v", row.ID, row)
		}
		if row.Source.Authors == "" || row.Source.Where == "" || row.Source.Year < 1990 {
			t.Errorf("%s has no full source: %+v", row.ID, row.Source)
		}
		if seen[row.ID] {
			t.Errorf("%s stands twice", row.ID)
		}
		seen[row.ID] = true
	}
}

// Reference-notes (c), the cells that rest on numbers read in their source.
func TestPublishedCells(t *testing.T) {
	for _, c := range []struct {
		measure   string
		group     Group
		sex       body.Sex
		low, high float64
		where     string
	}{
		{"speed", Children, body.Female, 0.95, 1.21, "1.08 ± 0.13, Wądrzyk 2017"},
		{"speed", Youth, body.Female, 1.24, 1.24, "1.24, Wądrzyk c. 2019"},
		{"speed", Youth, body.Male, 1.35, 1.35, "1.35, the same"},
		{"speed", Youth, body.SexUnknown, 1.24, 1.35, "both"},
		{"speed", Adults, body.Male, 1.23, 1.59, "groups 1.31 ± 0.08 and 1.53 ± 0.06, flume study c. 2024"},
		{"speed", Elite, body.Male, 1.12, 1.85, "1.12-1.85, von Loebbecke 2009"},
		{"kick_frequency", Children, body.Male, 1.61, 2.39, "2.00 ± 0.39, Wądrzyk 2017"},
		{"kick_frequency", Elite, body.Male, 1.6, 2.2, "1.9 ± 0.3, Matsuura 2020"},
		{"toe_amplitude", Children, body.Male, 0.38, 0.54, "0.46 ± 0.08, Wądrzyk 2017"},
		{"kick_length", Children, body.Male, 0.48, 0.68, "0.58 ± 0.10, Wądrzyk 2017"},
		{"frequency_amplitude", Children, body.Male, 0.79, 1.01, "0.90 ± 0.11, Wądrzyk 2017"},
		{"strouhal", Children, body.Male, 0.75, 0.91, "0.83 ± 0.08, Wądrzyk 2017"},
		{"knee_flexion_max", Children, body.Male, 62.22, 80.52, "71.37 ± 9.15, Wądrzyk 2017"},
		{"ankle_range", Youth, body.Female, 64, 64, "64, Wądrzyk c. 2019"},
	} {
		r := Published(c.measure, c.group, c.sex)
		if r.Orientation || math.Abs(r.Low-c.low) > 1e-9 || math.Abs(r.High-c.high) > 1e-9 {
			t.Errorf("%s of %s: %.3f to %.3f, orientation %v; want %.3f to %.3f (%s)", c.measure, c.group, r.Low, r.High, r.Orientation, c.low, c.high, c.where)
		}
	}
	// Cells of secondary quotations or imposed rates only are orientation.
	for _, c := range []struct {
		measure string
		group   Group
		sex     body.Sex
	}{
		{"kick_frequency", Adults, body.Male},
		{"toe_amplitude", Adults, body.Female},
		{"kick_length", Adults, body.Male},
		{"strouhal", Elite, body.Male},
		{"knee_flexion_max", Elite, body.Male},
		{"knee_range", Adults, body.Male},
		{"slender_body_efficiency", Adults, body.Female},
		{"toe_amplitude", Elite, body.Female},
	} {
		r := Published(c.measure, c.group, c.sex)
		if !r.Orientation || math.IsNaN(r.Low) {
			t.Errorf("%s of %s is not orientation only: %+v", c.measure, c.group, r)
		}
		if s := r.Standing(kick.Measure{Value: 99, Low: 98, High: 100}); s != OrientationOnly {
			t.Errorf("%s of %s: standing %d, want orientation only", c.measure, c.group, s)
		}
		if w := r.Words("m"); !strings.Contains(w, "Orientation only: ") {
			t.Errorf("%q does not say that it is orientation", w)
		}
	}
}

// Printed means agree with each other as reference-notes (f), checks 2, 6 and 8,
// say: the arithmetic layer of the notes holds for our rows too.
func TestPrintedMeansFitTogether(t *testing.T) {
	mean := func(id string) float64 {
		for _, r := range Rows() {
			if r.ID == id {
				return r.Mean
			}
		}
		t.Fatalf("no row %s", id)
		return 0
	}
	near := func(what string, got, want, tol float64) {
		if math.Abs(got-want) > tol {
			t.Errorf("%s: %.4f, want %.4f ± %.4f", what, got, want, tol)
		}
	}
	near("check 2: f*A / v of S01, V01 against S04", mean("S01")/mean("V01"), mean("S04"), 0.01)
	near("check 6: boys' f from S03/A04", mean("S03")/mean("A04"), mean("F03"), 0.006)
	near("check 8: girls' St", mean("S02")/mean("V02"), 0.847, 0.005)
	near("check 8: boys' St", mean("S03")/mean("V03"), 0.852, 0.005)
	near("check 12: St of F12, A09, V15", mean("F12")*mean("A09")/mean("V15"), 0.708, 0.001)
	near("check 13: St of F06, A06, V20", mean("F06")*mean("A06")/mean("V20"), 0.805, 0.001)
}
