package store_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// The driver is tested by its makers with one version of its C library only,
// and asks that programs use exactly that one.
func TestDriverAndLibraryAreThePairThatWasTested(t *testing.T) {
	ours := requirement(t, filepath.Join("..", "..", "go.mod"), "modernc.org/libc")
	out, err := exec.CommandContext(t.Context(), "go", "list", "-m", "-f", "{{.GoMod}}", "modernc.org/sqlite").Output()
	if err != nil {
		t.Fatalf("find the driver's go.mod: %v", err)
	}
	theirs := requirement(t, strings.TrimSpace(string(out)), "modernc.org/libc")
	if ours != theirs {
		t.Errorf("go.mod asks for libc %s, the driver for %s; run: go get modernc.org/libc@%s", ours, theirs, theirs)
	}
}

func requirement(t *testing.T, file, module string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`(?m)^\s*(?:require )?` + regexp.QuoteMeta(module) + ` (\S+)`).FindSubmatch(text)
	if m == nil {
		t.Fatalf("%s does not name %s", file, module)
	}
	return string(m[1])
}
