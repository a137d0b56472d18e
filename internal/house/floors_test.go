package house

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

const module = "underkick"

// floors is the house of docs/architecture.md. A sub-package not named here
// stands on its parent's floor.
var floors = map[string]int{
	"internal/series": 0, "internal/raster": 0, "internal/spread": 0, "internal/chart": 0, "internal/disk": 0,
	"internal/body": 1, "internal/camera": 1, "internal/hydro": 1,
	"internal/marker": 2, "internal/sight": 2, "internal/table": 2, "internal/trace": 2, "internal/kick": 2, "internal/swim": 2,
	"internal/drawing": 3, "internal/limit": 3, "internal/score": 3, "internal/wall": 3,
	"internal/compare": 4, "internal/drawing/burn": 4, "internal/record": 4,
	"internal/door": 5, "internal/film": 5, "internal/guess": 5, "internal/practice": 5, "internal/press": 5, "internal/store": 5, "internal/report": 5,
	"internal/jobs": 6, "internal/demo": 6,
	"internal/poolside": 7,
	"internal/web":      8, "internal/cli": 8,
	"cmd/underkick":  9,
	".":              0, // the texts that go with the binary
	"internal/house": 9,
}

// impure are the packages that floors 0-4 must not touch.
var impure = []string{module + "/internal/disk", "os", "io/fs", "log", "log/slog", "net", "net/http", "database/sql", "os/exec", "path/filepath", "math/rand"}

func TestPackagesImportOnlyFromLowerFloors(t *testing.T) {
	seen := map[string]bool{}
	for _, file := range goFiles(t) {
		dir := path.Dir(file)
		home, floor, ok := floorOf(dir)
		if !ok {
			t.Errorf("%s is in no floor; add it to docs/architecture.md and to this table, with a decision record", dir)
			continue
		}
		seen[home] = true
		for _, imported := range importsOf(t, file) {
			if floor <= 4 && dir != "internal/disk" {
				for _, bad := range impure {
					if imported == bad {
						t.Errorf("%s imports %s; floors 0-4 are pure", file, imported)
					}
				}
			}
			inside, found := strings.CutPrefix(imported, module+"/")
			if !found {
				continue
			}
			if strings.HasPrefix(inside, dir+"/") || dir == inside+"/"+path.Base(inside)+"test" {
				continue // a parent may use its sub-packages; <pkg>/<pkg>test may use its package
			}
			_, lower, ok := floorOf(inside)
			if !ok || lower >= floor {
				t.Errorf("%s (floor %d) imports %s (floor %d)", file, floor, inside, lower)
			}
		}
	}
	for home := range floors {
		if !seen[home] {
			t.Errorf("%s is in the table but has no Go files", home)
		}
	}
}

// TestArchitectureShowsTheFloors holds the table that people read against the one above.
func TestArchitectureShowsTheFloors(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(root(), "docs", "architecture.md"))
	if err != nil {
		t.Fatal(err)
	}
	shown := map[string]int{".": 0, "internal/house": floors["internal/house"]} // told in words below the table
	for _, row := range tableRow.FindAllStringSubmatch(string(text), -1) {
		floor, _ := strconv.Atoi(row[1])
		dir := row[2]
		if !strings.HasPrefix(dir, "cmd/") {
			dir = "internal/" + dir
		}
		if was, twice := shown[dir]; twice {
			t.Errorf("docs/architecture.md has %s twice, on floor %d and %d", dir, was, floor)
		}
		shown[dir] = floor
	}
	for dir, floor := range floors {
		if got, ok := shown[dir]; !ok || got != floor {
			t.Errorf("docs/architecture.md has %s on floor %d (there: %v), want %d", dir, got, ok, floor)
		}
	}
	for dir := range shown {
		if _, ok := floors[dir]; !ok {
			t.Errorf("docs/architecture.md has %s, which is on no floor", dir)
		}
	}
}

var tableRow = regexp.MustCompile("(?m)^\\| ([0-9]) \\| `([a-z/]+)` \\|")

// floorOf returns the named package that dir belongs to and its floor.
func floorOf(dir string) (string, int, bool) {
	for d := dir; ; d = path.Dir(d) {
		if f, ok := floors[d]; ok && (d != "." || dir == ".") {
			return d, f, true
		}
		if d == "." {
			return "", 0, false
		}
	}
}

func root() string { return filepath.Join("..", "..") }

// goFiles lists the module's Go files that are not tests, by slash path.
func goFiles(t *testing.T) []string {
	t.Helper()
	var files []string
	err := filepath.WalkDir(root(), func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root(), p)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			switch {
			case rel == ".git" || rel == "tools" || d.Name() == "testdata" || d.Name() == "node_modules":
				return filepath.SkipDir
			}
			return nil
		}
		if strings.HasSuffix(rel, ".go") && (!strings.HasSuffix(rel, "_test.go") || strings.HasPrefix(rel, "internal/house")) {
			files = append(files, rel)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func importsOf(t *testing.T, file string) []string {
	t.Helper()
	src, err := os.ReadFile(filepath.Join(root(), file))
	if err != nil {
		t.Fatal(err)
	}
	parsed, err := parser.ParseFile(token.NewFileSet(), file, src, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	var paths []string
	for _, spec := range parsed.Imports {
		p, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		paths = append(paths, p)
	}
	return paths
}
