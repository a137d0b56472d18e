// Package exportedtest holds an export against the rules of the Frictionless Data Package
// standard, version 1 (Walsh and Pollock, specs.frictionlessdata.io, 2017 to 2024), rule by
// rule; each check names the page of the standard it is from. It knows nothing of how an
// export is made.
package exportedtest

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// Field is a column, as the description has it.
type Field struct {
	Name, Type, Unit, Description string
	Constraints                   struct{ Required bool }
}

// Resource is a file of an export, as the description has it.
type Resource struct {
	Name, Path, Profile, Hash, Encoding string
	Bytes                               int64
	Schema                              struct {
		Fields        []Field
		MissingValues []string
		PrimaryKey    []string
		ForeignKeys   []struct {
			Fields    []string
			Reference struct {
				Resource string
				Fields   []string
			}
		}
	}
}

// Package is an export that was read.
type Package struct {
	Name, Profile, Created, Description string
	TextGuard                           string
	Resources                           []Resource
	// Rows are the rows by table, each cell by its field, as it was before the guard.
	Rows map[string][]map[string]string `json:"-"`

	dir string
}

// Check reads the export in the folder dir, reports every rule that it breaks, and returns
// what it holds.
func Check(t *testing.T, dir string) *Package {
	t.Helper()
	p := &Package{Rows: map[string][]map[string]string{}, dir: dir}
	text, err := os.ReadFile(filepath.Join(dir, "datapackage.json")) // Data Package, "Descriptor": named so, at the top
	if err := errors.Join(err, json.Unmarshal(text, p)); err != nil {
		t.Fatal(err)
	}
	p.checkDescriptor(t)
	for _, r := range p.Resources {
		p.checkFile(t, r)
		if r.Profile == "tabular-data-resource" {
			p.checkTable(t, r)
		}
	}
	p.checkData(t)
	return p
}

var lowerName = regexp.MustCompile(`^[-a-z0-9._/]+$`)

func (p *Package) checkDescriptor(t *testing.T) {
	t.Helper()
	// Data Package, "name", "profile", "created".
	if !lowerName.MatchString(p.Name) || len(p.Resources) == 0 {
		t.Errorf("package %q with %d resources", p.Name, len(p.Resources))
	}
	if _, err := time.Parse(time.RFC3339, p.Created); err != nil {
		t.Error(err)
	}
	allTables, seen := true, map[string]bool{}
	for _, r := range p.Resources {
		allTables = allTables && r.Profile == "tabular-data-resource"
		// Data Resource, "name": unique, lower case; "path": relative, within the package.
		if !lowerName.MatchString(r.Name) || seen[r.Name] {
			t.Errorf("resource %q", r.Name)
		}
		seen[r.Name] = true
		if !filepath.IsLocal(r.Path) || strings.Contains(r.Path, `\`) {
			t.Errorf("%s lies at %q", r.Name, r.Path)
		}
	}
	// Data Package, "profile": not that of tabular packages, since not every resource is one.
	if p.Profile != "data-package" || allTables {
		t.Errorf("profile %q, all are tables: %v", p.Profile, allTables)
	}
}

// checkFile: Data Resource, "bytes" and "hash" (algorithm before a colon).
func (p *Package) checkFile(t *testing.T, r Resource) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(p.dir, r.Path))
	sum := sha256.Sum256(text)
	if err != nil || int64(len(text)) != r.Bytes || r.Hash != "sha256:"+hex.EncodeToString(sum[:]) {
		t.Errorf("%s: %d bytes where %d are said, %v", r.Path, len(text), r.Bytes, err)
	}
}
